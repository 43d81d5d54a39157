"""How long the foot of a sock is, from the back of the heel to the tip of the toe, by what was knitted.

One geometry holds for all heels and toes, in either direction. The tube of the leg and that of the foot meet at the
ankle; behind it the back of the sock goes on round the heel, while the front stands still. Two paths lead from the
back of the heel to the tip of the toe:

- *The path of the sole.* The back of the heel is the middle of the extra fabric there, so half of its length lies
  under the foot. Then come the rounds of the foot, and half of the extra fabric of a toe worked in rows.
- *The path of the instep.* Laid flat, the sock folds along the middle of its front and of its back, and the instep
  begins at the side of the leg: half the width of the heel stitches from its back. Then come the same rounds and
  the same half of a toe.

The fabric settles between the two, and the foot is as long as their mean. The extra fabric of a heel is its rows, and
twice the rounds of a heel that is put in last. Where a row joins with a decrease to stitches that wait, and where an
edge of rows is picked up, two edges of unequal length are eased into each other: the joined length is the mean of the
rows and of the stitches they are joined to. So a slipped flap of 32 rows at 44 rounds to 10 cm, with 17 stitches
picked up at 32 stitches, counts 6.3 cm.

The geometry is ours. Two published rules for a gusset from the toe up contradict each other: one begins it a quarter
of an inch and the gusset's rounds before the back of the heel, the other (the percentage system) gives gusset and heel
cup three quarters as many rounds as the sock has stitches. By the first the instep would begin at the back of the leg.
With 64 stitches at 32 x 44 the cup is 0.6 cm by the one, 3.4 cm by the other, and 4.7 cm by this geometry, which makes
the same foot whatever the heel; it stands nearer to the second, and for the same reason.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grader.models.pattern import Gauge, Pattern
from grader.models.record import Record, WorkedLine
from grader.models.swatch import FootMade

_STRAY_ROUNDS = 4  # as many between two stretches of rows, and they shape one heel: a short-row heel may rest so


@dataclass(frozen=True, slots=True)
class Foot:
    """The foot as knitted, in cm.

    `heel_depth` is how far the back of the heel lies behind the first round of the foot, `toe_cup` half of a toe that
    is worked in rows; `rounds` is the height of all the foot's rounds, `sections` where they are worked.
    `first` and `last` are the places in the record of the foot's first and last line of rounds or toe.
    """

    heel_depth: Fraction
    toe_cup: Fraction
    rounds: Fraction
    sections: tuple[str, ...]
    first: int
    last: int

    @property
    def length(self) -> Fraction:
        """From the back of the heel to the tip of the toe."""
        return self.heel_depth + self.rounds + self.toe_cup

    @property
    def beside_rounds(self) -> Fraction:
        """What of the length is not rounds."""
        return self.heel_depth + self.toe_cup


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Neighbouring lines of the record that are rows, with at most a few stray rounds between; `end` is exclusive."""

    start: int
    end: int


def measure_foot(pattern: Pattern, record: Record) -> Foot | None:
    """The foot of a worked sock; None for a tube, which has no heel to measure from."""
    lines = record.lines
    from_the_toe = any(line.kind == "bind_off" for line in lines)
    put_in = next((place for place, line in enumerate(lines) if line.kind == "waste_yarn"), None)
    opened = next((place for place, line in enumerate(lines) if line.kind == "open"), len(lines))
    stretches = list(_stretches(lines[:opened]))
    heel = None if put_in is not None else _heel_of(lines, stretches, from_the_toe)
    if put_in is None and heel is None:
        return None
    around = heel or _Stretch(put_in or 0, (put_in or 0) + 1)
    first, last = (0, around.start - 1) if from_the_toe else (around.end, opened - 1)
    toe = [each for each in stretches if each != heel and first <= each.start <= last]
    foot = list(_rounds(lines, range(first, last + 1)))
    within = height_of_lines(pattern, _rounds(lines, range(around.start, around.end)))
    return Foot(
        heel_depth=_depth(pattern, lines, around, opened, from_the_toe) + within / 2,
        toe_cup=sum((_rows_height(pattern, lines[each.start : each.end]) for each in toe), Fraction(0)) / 2,
        rounds=height_of_lines(pattern, foot),
        sections=tuple(dict.fromkeys(line.section for line in foot)),
        first=first,
        last=last,
    )


def foot_made(pattern: Pattern, record: Record) -> FootMade | None:
    """What the length of the foot is made of; None for a tube.

    A length is so many rounds and so many stitches over the gauge: at twice the stitches to the centimetre, what is
    made of them is half as long.
    """
    foot = measure_foot(pattern, record)
    finer = replace(pattern, gauge=replace(pattern.gauge, stitches=2 * pattern.gauge.stitches))
    halved = measure_foot(finer, record)
    if foot is None or halved is None:
        return None
    of_stitches = 2 * (foot.length - halved.length)
    return FootMade(foot.length - of_stitches, of_stitches)


def _stretches(lines: Sequence[WorkedLine]) -> Iterator[_Stretch]:
    """The stretches of rows; those parted by a few rounds only are one."""
    start = end = None
    between = 0
    for place, line in enumerate(lines):
        if line.kind == "row":
            if start is not None and end is not None and between > _STRAY_ROUNDS:
                yield _Stretch(start, end)
                start = None
            start = place if start is None else start
            end, between = place + 1, 0
        elif line.kind == "round":
            between += _times(line)
    if start is not None and end is not None:
        yield _Stretch(start, end)


def _heel_of(lines: Sequence[WorkedLine], stretches: Sequence[_Stretch], from_the_toe: bool) -> _Stretch | None:
    """The stretch of rows that turns the leg into the foot: there are rounds before it and after it.

    Where several are, the toe's lies at the end of the toe, and among the others the longest is the heel.
    """
    inner = [
        each
        for each in stretches
        if _count(_rounds(lines, range(each.start))) > _STRAY_ROUNDS
        and _count(_rounds(lines, range(each.end, len(lines)))) > _STRAY_ROUNDS
    ]
    return max(inner, key=lambda each: sum(_times(line) for line in lines[each.start : each.end]), default=None)


def _depth(pattern: Pattern, lines: Sequence[WorkedLine], heel: _Stretch, opened: int, from_the_toe: bool) -> Fraction:
    """The mean of half the fabric round the heel and of half the width of its stitches at the leg, in cm."""
    if opened < len(lines):
        later = list(_rounds(lines, range(opened, len(lines))))
        fabric = 2 * height_of_lines(pattern, later)
        stitches = max(count for _, count in lines[opened].regions)
    else:
        rows = [line for line in lines[heel.start : heel.end] if line.kind == "row"]
        picked = next((line for line in lines[heel.end :] if line.kind == "pick_up"), None)
        fabric = _rows_height(pattern, rows, picked)
        stitches = (rows[-1].after if from_the_toe else rows[0].before) or 0
    return (fabric / 2 + stitches / pattern.gauge.stitches / 2) / 2


def _rows_height(pattern: Pattern, lines: Sequence[WorkedLine], picked: WorkedLine | None = None) -> Fraction:
    """The length of a stretch of rows along its middle, in cm, eased where its edges are joined to other stitches."""
    rows = [line for line in lines if line.kind == "row"]
    joined = [line for line in rows if line.shaping]
    first = next((place for place, line in enumerate(rows) if line.shaping), len(rows))
    flap = rows[:first] if picked else []
    free = [line for line in rows if not line.shaping and line not in flap]
    height = height_of_lines(pattern, free)
    if joined:
        eaten = sum(((line.before or 0) - (line.after or 0)) * _times(line) for line in joined)
        height += (height_of_lines(pattern, joined) + eaten / pattern.gauge.stitches / 2) / 2
    if picked and flap:
        along = ((picked.after or 0) - (picked.before or 0)) / Fraction(len(picked.edges) or 1)
        height += (height_of_lines(pattern, flap) + along / pattern.gauge.stitches) / 2
    return height


def _rounds(lines: Sequence[WorkedLine], places: range) -> Iterator[WorkedLine]:
    return (lines[place] for place in places if lines[place].kind == "round")


def _times(line: WorkedLine) -> int:
    return line.times * line.block_times


def _count(lines: Iterable[WorkedLine]) -> int:
    return sum(_times(line) for line in lines)


def height_of_lines(pattern: Pattern, lines: Iterable[WorkedLine]) -> Fraction:
    """How high these rounds or rows come, in cm; a stitch pattern worked all over has its own gauge."""
    counts: Counter[str] = Counter()
    for line in lines:
        counts[line.fabric] += _times(line)
    return sum((count / gauge_of(pattern, fabric).rounds for fabric, count in counts.items()), Fraction(0))


def gauge_of(pattern: Pattern, fabric: str) -> Gauge:
    """The gauge of a line's fabric: a stitch pattern's own where all of the line is worked in it, or the pattern's."""
    own = pattern.stitch_pattern(fabric)
    return own.gauge if own and own.gauge else pattern.gauge
