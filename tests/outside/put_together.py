"""Socks put together from the parts that ship, for one foot: graded, written out and knitted through."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from grader.loading import load_text
from grader.models.record import WorkedLine
from grader.pipeline import Checked, Sock, Wanted, check

from .engine import FOUR

FLAP = ("heel-flap-slipped", "turn-round", "gusset")
CUFF = "cuff-2x2-rib"
TOE_UP = ("toe-up-wedge", "toe-up-foot", "toe-up-heel-gusset", "toe-up-leg", "toe-up-cuff-2x2-rib")


@dataclass(frozen=True, slots=True)
class Foot:
    """Girth, length, leg and more measures in words of the pattern file, such as "22.5 cm"."""

    girth: str
    length: str = "25 cm"
    leg: str = "18 cm"
    more: str = ""


@dataclass(frozen=True, slots=True)
class Made:
    """One sock that was put together, and everything that was told about it."""

    checked: Checked
    sock: Sock


def cuff_down(*heel: str, leg: str = "leg-straight", toe: str = "toe-wedge") -> tuple[str, ...]:
    """The parts of a sock from the cuff down; without a heel it has a slipped flap, a round turn and a gusset."""
    return (CUFF, leg, *(heel or FLAP), "foot-plain", toe)


def put_together(parts: tuple[str, ...], setup: str = FOUR, foot: Foot | None = None, **own: str) -> Made:
    """A sock of these parts that nothing is wrong with; `own` as `pattern_text` takes it."""
    return knitted(pattern_text(parts, foot, **own), setup)


def pattern_text(
    parts: tuple[str, ...],
    foot: Foot | None = None,
    gauge: str = "stitches: 32, rounds: 44, per: 10 cm",
    patterns: str = "",
    **own: str,
) -> str:
    """A pattern of these parts for one foot; `own` are rules that take the place of theirs, as in `exactly: 64`.

    Without a foot it is made for one that the given `cast_on` fits, the sock a tenth smaller, at 32 stitches to 10 cm.
    """
    foot = foot or Foot(f"{int(own['cast_on'].split()[1]) / 3.2 / 0.9:.1f} cm")
    rule = "nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches, multiple_of: 4"
    numbers = "".join(f"  {name}: {{{value}}}\n" for name, value in {"cast_on": rule, **own}.items())
    size = f"foot_circumference: {foot.girth}, foot_length: {foot.length}, leg_length: {foot.leg}{foot.more}"
    return f"""
title: Put together
version: "1"
gauge: {{{gauge}, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes: {{own: [{{name: one, {size}}}]}}
parts: {json.dumps(parts)}
numbers:
{numbers}{patterns}"""


def told(text: str, setup: str = FOUR, file: str = "put_together.yaml") -> set[str]:
    """The codes of all that is wrong with the one sock of a pattern text; parts beside its file go first."""
    pattern, findings = load_text(text, file)
    more = check(pattern, Wanted(setups=(setup,))).findings if pattern else ()
    return {each.code for each in (*findings, *more) if each.is_error}


@cache
def knitted(text: str, setup: str) -> Made:
    """The one sock of a pattern text in one setup; nothing may be found wrong with it."""
    pattern, findings = load_text(text, "put_together.yaml")
    assert pattern is not None, findings
    checked = check(pattern, Wanted(setups=(setup,)))
    wrong = [each for each in (*findings, *checked.findings) if each.is_error]
    assert not wrong, wrong
    return Made(checked, checked.socks[0])


def rows_of(made: Made, name: str) -> Iterator[WorkedLine]:
    """Every row of a section, once for each time it was worked."""
    for line in made.sock.record.in_order():
        if line.section == name and line.kind == "row":
            yield from [line] * line.times


def rounds_of(made: Made, name: str) -> Iterator[WorkedLine]:
    """Every round of a section, once for each time it was worked."""
    for line in made.sock.record.in_order():
        if line.section == name and line.kind == "round":
            yield from [line] * line.times


def short_row_parts(made: Made, name: str = "Heel") -> tuple[int, int, int]:
    """The parts of a short-row heel or toe as its rows show them: turned at one side, left in the middle, at the other.

    A wrapped row leaves the middle as it is; after the shortest row of double stitches one more stitch of it doubles.
    """
    rows = list(rows_of(made, name))
    doubled = any(name == "DS" for row in rows for name, _ in row.made)
    widths = [sum(count for name, count in row.made if name != "DS") for row in rows]
    shortest = widths.index(min(widths))
    narrowing = [row for row in rows[: shortest + 2] if row.made[0][0] == "DS"] if doubled else rows[: shortest + 1]
    sides = [sum(1 for row in narrowing if row.side == side) for side in ("RS", "WS")]
    return sides[0], widths[shortest] - doubled, sides[1]


def stitches_in(made: Made, *names: str) -> int:
    """Stitches worked in these sections, slipped ones counted; in the whole sock where none is named."""
    lines = [line for line in made.sock.record.in_order() if not names or line.section in names]
    return sum(line.times * sum(count for _, count in line.made) for line in lines)
