"""What must hold between the keys of one map of the file: one aim, one kind of step, one side of a row.

Each check takes a map whose values have been read and returns it, or raises `Misfit`.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from grader.loading.misfits import Misfit
from grader.vocabulary.techniques import WAYS

if TYPE_CHECKING:
    from grader.loading.file_model import (
        AlterationForm,
        FinishedForm,
        FitForm,
        GaugeForm,
        OverrideForm,
        RowForm,
        RuleForm,
        SizesForm,
        StepForm,
        StitchPatternForm,
    )

WORKS = ("round", "rounds", "part_round", "row", "rows")
KINDS = (
    "cast_on",
    "rounds",
    "rows",
    "round",
    "row",
    "part_round",
    "repeat",
    "pick_up",
    "arrange",
    "bind_off",
    "graft",
    "gather",
    "rest",
    "rejoin",
    "waste_yarn",
    "open",
)
_REPEATED = ("rounds", "rows", "round", "row", "repeat")


def check_gauge(form: GaugeForm) -> GaugeForm:
    """The gauge is one that can be knitted."""
    for key, amount in (("stitches", form.stitches), ("rounds", form.rounds)):
        if not Fraction(1, 5) <= amount / form.per <= 30:
            raise Misfit(
                f"{float(amount):g} {key} to {float(form.per):g} cm is no gauge for knitting",
                "count over 10 cm, such as {stitches: 32, rounds: 44, per: 10 cm}",
                key=key,
            )
    return form


def check_fit(form: FitForm) -> FitForm:
    """What is aimed at lies inside of what is allowed."""
    for key, aim, (low, high), limit in (
        ("foot_circumference", form.foot_circumference, form.allowed, "allowed"),
        ("foot_length", form.foot_length, form.length_allowed, "length_allowed"),
    ):
        if low > high:
            raise Misfit("the smaller percentage stands first", "turn the two round", key=limit)
        if not low <= aim <= high:
            raise Misfit(
                f"{float(aim * 100):g} % lies outside of what is {limit.replace('_', ' ')}, "
                f"{float(low * 100):g} % to {float(high * 100):g} %",
                f"change {key} or {limit}",
                key=key,
            )
    return form


def check_sizes(form: SizesForm) -> SizesForm:
    """Sizes come from a chart, or from the designer's own table."""
    if form.has("chart") == form.has("own"):
        raise Misfit(
            "sizes come from a chart or from own, one of the two",
            "write {chart: adult-feet}, or own: with a list of feet",
        )
    if form.has("choose") and form.has("own"):
        raise Misfit("choose picks sizes from a chart; own sizes are all used", "delete choose", key="choose")
    return form


def check_rule(form: RuleForm) -> RuleForm:
    """A number has one aim, and congruences that can be read one way."""
    if form.exactly and form.nearest:
        raise Misfit("a number is either exactly or nearest to its formula", "keep one of the two", key="nearest")
    if not (form.exactly or form.nearest or form.at_least or form.at_most):
        raise Misfit("this number has no formula", "add exactly:, nearest:, at_least: or at_most:")
    if form.at_least and form.at_most and not (form.exactly or form.nearest):
        raise Misfit("between two bounds this number is left open", "add nearest: with what to aim at", key="at_most")
    if form.parity is not None and form.parity not in ("even", "odd"):
        raise Misfit(f"{form.parity!r} is neither even nor odd", "write even or odd", key="parity")
    if form.parity is not None and (form.has("multiple_of") or form.has("plus")):
        raise Misfit(
            "parity can't stand beside multiple_of or plus",
            "even is multiple_of: 2, odd is multiple_of: 2 and plus: 1",
            key="parity",
        )
    if form.has("plus") and not form.has("multiple_of"):
        raise Misfit(
            "plus means nothing without multiple_of", "add multiple_of:, or put it into the formula", key="plus"
        )
    if form.unit is not None and form.unit not in ("stitches", "rounds", "rows", "cm"):
        raise Misfit(f"unknown unit {form.unit!r}", "write stitches, rounds, rows or cm", key="unit")
    return form


def check_row(form: RowForm) -> RowForm:
    """A row says its side."""
    if not (form.has("RS") or form.has("WS")):
        raise Misfit("a row says its side", 'write {RS: "..."} or {WS: "..."}')
    return form


def check_stitch_pattern(form: StitchPatternForm) -> StitchPatternForm:
    """A stitch pattern has rounds, rows or a chart of either, and its rows alternate."""
    if sum(form.has(key) for key in ("rounds", "rows", "chart", "chart_rows")) != 1:
        raise Misfit("a stitch pattern has rounds, rows or a chart, one of them", 'write rounds: ["*K2, P2* to end"]')
    if isinstance(form.rows, tuple):
        for number, row in enumerate(form.rows):
            if row.has("RS") != (number % 2 == 0):
                raise Misfit(
                    f"row {number + 1} should be {'WS' if number % 2 else 'RS'}: sides alternate from RS",
                    "put the rows into order",
                    key="rows",
                )
        if len(form.rows) % 2:
            raise Misfit("the last row has no row back", "add its WS row", key="rows")
    return form


def check_override(form: OverrideForm) -> OverrideForm:
    """One setup differs in its words, its work, or both."""
    works = [key for key in WORKS if form.has(key)]
    if len(works) > 1:
        raise Misfit(f"{works[0]} and {works[1]} stand together", "keep one of the two", key=works[1])
    if not works and not form.say:
        raise Misfit("nothing differs in this setup", "say what does, or delete it")
    return form


def check_step(form: StepForm) -> StepForm:
    """A step is of one kind and goes on for one reason."""
    kinds = [key for key in KINDS if form.has(key)]
    if len(kinds) > 1:
        raise Misfit(f"{kinds[0]} and {kinds[1]} are two steps", "give each an item of its own", key=kinds[1])
    if not kinds and not (form.say or form.setups):
        raise Misfit("this step says nothing to do", f"add one of {', '.join(KINDS)}, or say")
    extents = [key for key in ("times", "for", "until") if form.has("for_" if key == "for" else key)]
    if len(extents) > 1:
        raise Misfit(f"{extents[0]} and {extents[1]} both say how long to go on", "keep one of the two", key=extents[1])
    if extents and form.kind not in _REPEATED:
        raise Misfit(
            f"{extents[0]} belongs to {', '.join(_REPEATED)}", f"delete it, as {form.kind} is done once", key=extents[0]
        )
    if not extents and form.kind in ("rounds", "repeat"):
        raise Misfit(f"{form.kind} must say how long to go on", "add times:, for: or until:", key=form.kind)
    if form.by is not None and form.kind not in ("cast_on", "bind_off"):
        raise Misfit("by names a way to cast on or to bind off", "delete it here", key="by")
    if form.by is not None and WAYS[form.by].step != form.kind:
        mend = f"use {', '.join(name for name, way in WAYS.items() if way.step == form.kind)}"
        raise Misfit(f"{form.by!r} is no way to {form.kind.replace('_', ' ')}", mend, key="by")
    for other in form.setups.values():
        own = "" if isinstance(other, str) else next((key for key in WORKS if other.has(key)), "")
        if own and own.rstrip("s") != form.kind.rstrip("s"):  # rounds may stand for a round
            told = f"this step is no {own} in the other setups"
            raise Misfit(told, "work the same kind of step in all setups, or say what differs", key="setups")
    if form.corner is not None and form.kind != "pick_up":
        raise Misfit("corner says how many stitches a pick-up lifts in each corner", "delete it here", key="corner")
    if form.kind == "open" and len(form.open) != 2:
        raise Misfit("the waste yarn leaves stitches at two sides", 'write open: {back: "{heel}", sole: "{heel - 1}"}')
    if form.kind == "arrange" and not form.arrange and not form.regions:
        raise Misfit("this arranges nothing", "write arrange: halves, or give the regions", key="arrange")
    return form


def repeated(form: StepForm) -> StepForm:
    """A step inside a repeat: rounds, so often."""
    if form.kind not in ("round", "rounds"):
        told = "words" if form.kind == "note" else form.kind
        raise Misfit(f"a repeat holds rounds, and no {told}", "write it before or after the repeat", key=told)
    if form.has("until"):
        raise Misfit("rounds inside a repeat say how often they are worked", "write times:", key="until")
    return form


def check_finished(form: FinishedForm) -> FinishedForm:
    """A finished measure is found in one way."""
    if form.has("around") == form.has("along"):
        raise Misfit(
            "a finished measure is found around one section or along several",
            "write around: Foot, or along: [Cuff, Leg]",
        )
    if form.has("around") and form.has("plus"):
        raise Misfit("plus adds to sections in a row, not to one that goes round", "delete plus", key="plus")
    return form


def one_key(value: Any) -> Any:
    """A map of one key."""
    if isinstance(value, dict) and len(value) != 1:
        raise Misfit("one stretch of stitches belongs in each item of a pick-up", "give each a line of its own")
    return value


def one_side(row: RowForm) -> RowForm:
    """A row from one side."""
    if row.has("RS") and row.has("WS"):
        raise Misfit("one row has one side", "write rows: for the pair, or two rows")
    return row


def both_sides(row: RowForm) -> RowForm:
    """Rows from both sides."""
    if not (row.has("RS") and row.has("WS")):
        raise Misfit("rows take a line for each side", "add the other one, or write row:")
    return row


def check_alteration(form: AlterationForm) -> AlterationForm:
    """An alteration alters something."""
    if not form.numbers and not form.parts:
        raise Misfit("an alteration changes numbers or parts", "write numbers: {heel_rows: {nearest: ...}}")
    return form
