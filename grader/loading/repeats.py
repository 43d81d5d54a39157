"""What a stitch pattern says beside its rounds (`sides`, `gauge`, `stops`), and whether its rounds agree.

Rounds that are worked over the same stitches must ask for the same: a panel has one width, and repeats with their
edges must have a number of stitches in common.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from grader.loading.checks import Checks
from grader.loading.misfits import Misfit
from grader.loading.tree import Node
from grader.loading.values import kind_of, number
from grader.models.pattern import Gauge, StitchPattern
from grader.notation.multiples import asks, fixed_width, has_open_repeat, line_of, multiple_of_lines
from grader.notation.tree import Line
from grader.vocabulary.findings import Span
from grader.vocabulary.quantities import Quantity, rounds, stitches

if TYPE_CHECKING:
    from grader.loading.file_model import OwnGaugeForm

GIVEN = ("repeat", "edge", "width", "rounds", "gauge.stitches", "gauge.rounds")
_TRIALS = {"repeat": stitches(4), "edge": stitches(2), "width": stitches(12), "rounds": rounds(4)}


def side(value: Any) -> str:
    """The stitch at both sides of a panel: K or P."""
    written = value.strip().lower() if isinstance(value, str) else ""
    if written not in ("k", "p"):
        raise Misfit(f"K or P belongs here, but {kind_of(value)} stands here", "write sides: K")
    return written


def stop(value: Any) -> int:
    """A round after which a stitch pattern may end."""
    written = str(value).strip()
    if not (written.isascii() and written.isdigit() and len(written) < 5 and int(written)):
        raise Misfit(f"the number of a round belongs here, but {kind_of(value)} stands here", "write stops: [6, 12]")
    return int(written)


@dataclass(frozen=True, slots=True)
class Rate:
    """Stitches or rounds of a stitch pattern's own gauge, or its share of the pattern's gauge."""

    amount: Fraction
    is_share: bool

    def per_cm(self, usual: Fraction, per: Fraction | None) -> Fraction:
        """So many to a centimetre, where the pattern has `usual`."""
        return usual * self.amount if self.is_share or per is None else self.amount / per


def rate(value: Any) -> Rate:
    """A number of stitches or rounds, or a percentage between 50 % and 200 % of the pattern's."""
    written = str(value).strip()
    if not written.endswith("%"):
        return Rate(number(value), False)
    amount = number(written[:-1].strip()) / 100
    if not Fraction(1, 2) <= amount <= 2:
        raise Misfit(f"{written} of the gauge is no fabric of the same yarn", "write a percentage from 50 % to 200 %")
    return Rate(amount, True)


def check_own_gauge(form: OwnGaugeForm) -> OwnGaugeForm:
    """Counts go with a width, percentages without one; and the counts are such as can be knitted."""
    shares = form.stitches.is_share, form.rounds.is_share
    if shares[0] != shares[1]:
        raise Misfit("one is a count and the other a percentage", "write both in the same way", key="rounds")
    if shares[0] == form.has("per"):
        mend = "delete per" if shares[0] else "add per: 10 cm"
        raise Misfit("counts are over a width, percentages are of the gauge", mend, key="per" if shares[0] else "")
    if form.per is not None:
        for key, each in (("stitches", form.stitches), ("rounds", form.rounds)):
            if not Fraction(1, 5) <= each.amount / form.per <= 30:
                told = f"{float(each.amount):g} {key} to {float(form.per):g} cm is no gauge for knitting"
                raise Misfit(told, "count over 10 cm, such as {stitches: 36, rounds: 44, per: 10 cm}", key=key)
    return form


def own_gauge(form: OwnGaugeForm | None, usual: Gauge, span: Span) -> Gauge | None:
    """The gauge a stitch pattern has of its own, per centimetre; None where it has the pattern's."""
    if form is None:
        return None
    wide, high = form.stitches.per_cm(usual.stitches, form.per), form.rounds.per_cm(usual.rounds, form.per)
    return Gauge(wide, high, form.per or usual.per_cm, usual.needle_mm, span)


def define_names(name: str, own: Gauge, define: Callable[[str, Quantity], None]) -> None:
    """Make known what formulas may ask of a stitch pattern; the counts are trial figures, only to learn their units."""
    for part, trial in _TRIALS.items():
        define(f"{name}.{part}", trial)
    define(f"{name}.gauge.stitches", Quantity(own.stitches, (1, 0, -1)))
    define(f"{name}.gauge.rounds", Quantity(own.rounds, (0, 1, -1)))


def check_repeats(pattern: StitchPattern, node: Node, checks: Checks) -> None:
    """The rounds of a stitch pattern must go into the same stitches, and it may end only after a round it has."""
    read = (line_of(each.text) for each in pattern.rounds)
    lines = [(line, place) for place, line in enumerate(read) if line]
    if pattern.sides and not pattern.rounds:
        checks.add(
            "panel", "sides belong to rounds", (node.child("sides") or node).at(), "write rounds:, or delete sides"
        )
    elif pattern.sides and lines and not any(has_open_repeat(line) for line, _ in lines):
        _check_panel(pattern, lines, node, checks)
    else:
        _check_agreement(pattern, lines, checks)
    for place, each in enumerate(pattern.stops):
        if each > len(pattern.rounds):
            where = (node.child("stops") or node).child(place) or node
            told = f"it has {len(pattern.rounds)} rounds" if pattern.rounds else "stops belong to rounds"
            checks.add(
                "stops", f"{pattern.name} can't end after round {each}: {told}", where.at(), "name rounds it has"
            )


def _check_panel(pattern: StitchPattern, lines: list[tuple[Line, int]], node: Node, checks: Checks) -> None:
    widths = [(width, place) for line, place in lines if (width := fixed_width(line)) is not None]
    if not widths:
        message = "this panel has no width: every round goes as far as its stretch"
        checks.add("panel", message, (node.child("sides") or node).at(), "count the stitches in one round at least")
        return
    first, begun = widths[0]
    for width, place in widths[1:]:
        if width != first:
            message = f"round {place + 1} of the panel is {width} sts wide, round {begun + 1} is {first}"
            checks.add("panel", message, pattern.rounds[place].span, "make all rounds of a panel equally wide")
            return


def _check_agreement(pattern: StitchPattern, lines: list[tuple[Line, int]], checks: Checks) -> None:
    """The first round into which no number of stitches goes that suits the rounds before it is told."""
    for place in range(1, len(lines)):
        if multiple_of_lines(line for line, _ in lines[: place + 1]) is not None:
            continue
        line, own = lines[place]
        before = multiple_of_lines(line for line, _ in lines[:place])
        mine = asks(line)
        if before is None or mine is None:
            return
        message = (
            f"round {own + 1} goes into {_told(mine.step, mine.plus)}, the rounds before it into"
            f" {_told(Fraction(before.repeat), Fraction(before.edge))}: no number of stitches suits all"
        )
        checks.add("repeat", message, pattern.rounds[own].span, "give all rounds one repeat and one edge")
        return


def _told(step: Fraction, plus: Fraction) -> str:
    return f"multiples of {step}" + (f" plus {plus}" if plus else "")
