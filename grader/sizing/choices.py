"""What to choose from where a stitch pattern's repeats do not fit a foot: other counts, the instep only, or its middle.

A repeat of 12 stitches leaves a sock of 60 or of 72; a foot between them gets neither. Each choice is worked out and
told with the ease it would give, so that the designer may pick.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from grader.models.pattern import Pattern
from grader.sizing.rounding import lattice_of
from grader.sizing.words import percent, plain
from grader.vocabulary.congruences import Congruence
from grader.vocabulary.formulas import Formula, Names


@dataclass(frozen=True, slots=True)
class Coarse:
    """The stitch pattern that leaves a rule so few numbers, and what the rule asks for without it."""

    label: str
    repeat: int
    edge: int
    without: tuple[Congruence, ...]

    def repeats(self, count: int) -> str:
        """ "3 repeats of feather and fan (36 sts)"."""
        number = (count - self.edge) // self.repeat
        return f"{number} {'repeat' if number == 1 else 'repeats'} of {self.label} ({count} sts)"


@dataclass(frozen=True, slots=True)
class Wanted:
    """The foot, the ease aimed at, and how wide one stitch is, all in cm and shares."""

    foot: Fraction
    ease: Fraction
    per_stitch: Fraction

    @property
    def count(self) -> Fraction:
        """How many stitches would be just right."""
        return self.foot * (1 + self.ease) / self.per_stitch

    def would_be(self, count: int) -> str:
        """The ease that so many stitches give."""
        return percent(count * self.per_stitch / self.foot - 1)

    def fits(self, count: int) -> str:
        """The foot that so many stitches fit with the ease aimed at."""
        return f"{plain(count * self.per_stitch / (1 + self.ease))} cm"


def coarse_of(demands: Iterable[tuple[Formula, Congruence]], pattern: Pattern, names: Names) -> Coarse | None:
    """The stitch pattern in whose repeats these multiples count, if there were more numbers without it."""
    asked = list(demands)
    whole = lattice_of([each for _, each in asked])
    for each in pattern.stitch_patterns:
        key = f"{each.name}.repeat"
        mine = [formula for formula, _ in asked if key in formula.names]
        rest = tuple(demand for formula, demand in asked if key not in formula.names)
        free = lattice_of(rest)
        if mine and free and (whole is None or free.step < whole.step):
            return Coarse(each.label, int(names[key].amount), int(names[f"{each.name}.edge"].amount), rest)
    return None


def choices(coarse: Coarse, wanted: Wanted, round_counts: Iterable[Fraction] = ()) -> str:
    """The choices in words: `round_counts` are the numbers that go all round, the one before and the one after."""
    told = [
        f"{plain(count)} sts would be {wanted.would_be(int(count))} and fit a foot of {wanted.fits(int(count))}"
        for count in round_counts
        if count > 0
    ]
    free = lattice_of(coarse.without)
    count = int(free.nearest(wanted.count) or 0) if free else 0
    half = count // 2
    over = _on_the_instep(coarse, count)
    if over:
        told.append(
            f"on the instep only, {coarse.repeats(over)} leave {count - over} of {count} sts to the sole"
            f" ({wanted.would_be(count)})"
        )
    inside = (half - coarse.edge) // coarse.repeat * coarse.repeat + coarse.edge
    if coarse.edge < inside < half:
        told.append(f"in the middle of {half} instep sts, {coarse.repeats(inside)} leave {half - inside} beside them")
    return "; ".join(told)


def _on_the_instep(coarse: Coarse, count: int) -> int:
    """The stitches in whole repeats nearest to half of all, the sole left with a third at the least; 0 for none."""
    sizes = range(coarse.repeat + coarse.edge, 2 * count // 3 + 1, coarse.repeat)
    return min(sizes, key=lambda size: (abs(2 * size - count), size), default=0)
