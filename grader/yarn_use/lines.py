"""What one worked line takes of yarn: its loops by kind, the strands behind stitches, and its edge."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache

from grader.models.record import Runs, WorkedLine
from grader.vocabulary.yarn_factors import factor, kind_of, stitch_made

_NEW_LOOPS = ("plain", "mixed", "twisted", "cable", "decrease", "increase", "yarn over", "pick up")


@dataclass(frozen=True, slots=True)
class Gauged:
    """The lengths that the gauge gives, in cm: of a loop, and the width of a stitch."""

    loop: float
    width: float


@dataclass(frozen=True, slots=True)
class Length:
    """Yarn in cm, and how far it may lie off because of what is only estimated."""

    cm: float = 0.0
    give: float = 0.0

    def __add__(self, other: Length) -> Length:
        return Length(self.cm + other.cm, self.give + other.give)

    def __mul__(self, times: float) -> Length:
        return Length(self.cm * times, self.give * times)


def length_of(line: WorkedLine, gauged: Gauged, closed: bool) -> dict[str, Length]:
    """The yarn that a line takes when it is worked once, by colour; all under "" in a sock of one yarn.

    `closed` tells that the cast-on is one for a toe. An edge is of the colour in hand, which only the line before
    knows: it stands under "" too, unless its loops are told by colour.
    """
    whole = sum((_taken(kind, count, gauged) for kind, count in _kinds(line, closed).items()), Length())
    shares = line.loops_by_colour
    if not shares:
        return {"": whole}
    told = {colour: whole * (count / sum(shares.values())) for colour, count in shares.items()}
    if len(shares) > 1:
        for colour, count in shares.items():
            told[colour] += _taken("float", sum(shares.values()) - count, gauged)
    return told


def _taken(kind: str, count: float, gauged: Gauged) -> Length:
    each = factor(kind)
    unit = gauged.loop if each.unit == "loops" else gauged.width
    return Length(count * each.takes * unit, count * each.give * unit)


def _kinds(line: WorkedLine, closed: bool) -> dict[str, int]:
    """How many loops of each kind a line makes, and how many stitches it slips, casts off or joins."""
    before, after = line.before or 0, line.after or 0
    if line.kind == "cast_on":
        return {"closed cast on" if closed else "cast on": line.loops}
    if line.kind == "bind_off":
        return {"bind off": before - after}
    if line.kind in ("graft", "gather"):
        return {line.kind: before - after}
    return dict(_stitch_kinds(line.made))


@lru_cache(maxsize=8192)
def _stitch_kinds(made: Runs) -> tuple[tuple[str, int], ...]:
    """The kinds of what a round or a row makes; knit and purl that lie mixed are one of their own."""
    kinds: Counter[str] = Counter()
    faces: Counter[str] = Counter()
    for name, count in made:
        kind = kind_of(name)
        stitch = None if kind == "pick up" else stitch_made(name)
        kinds[kind] += count * (stitch.loops if stitch and stitch.loops else 1)
        if kind == "plain" and stitch:
            faces[stitch.face] += count
    mixed = 2 * min(faces["knit"], faces["purl"])
    kinds["mixed"] += mixed
    kinds["plain"] -= mixed
    return tuple(kinds.items())


def new_loops(line: WorkedLine) -> int:
    """The loops that a line makes, counted by kind; as many as the test-knit counted."""
    if line.kind in ("cast_on", "bind_off", "graft", "gather"):
        return line.loops
    return sum(count for kind, count in _kinds(line, False).items() if kind in _NEW_LOOPS)
