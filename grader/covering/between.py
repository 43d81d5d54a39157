"""Feet that lie between two sizes of a range, that neither fits, and that people have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from statistics import median_low

from grader.covering.ranges import STEP
from grader.covering.reaching import Reach, reach, together, within
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.vocabulary import conditioning
from grader.vocabulary.findings import Finding, Ledger, Severity
from grader.vocabulary.foot_measures import RARE
from grader.vocabulary.population import MeasuredFoot, Population

_GIRTH, _LENGTH = "foot_circumference", "foot_length"
_WORDS = ("round", "long")
_TOLD = ((1,), (0,), (0, 1))


@dataclass(frozen=True, slots=True)
class _Missed:
    """Feet of one population between two sizes, girth and length in mm, and how many were measured."""

    people: str
    feet: tuple[tuple[int, int], ...]
    measured: int

    @property
    def share(self) -> float:
        """Of all that were measured."""
        return len(self.feet) / self.measured if self.feet else 0.0

    def told_by(self, places: tuple[int, ...], near: tuple[Reach, Reach]) -> _Missed:
        """Those that one measure alone keeps from both sizes, or, for both measures, the others."""
        return replace(self, feet=tuple(foot for foot in self.feet if _reason(foot, near) == places))


def _reason(foot: tuple[int, int], near: tuple[Reach, Reach]) -> tuple[int, ...]:
    """The place of the measure that neither size has: length first; both where each size has one of them."""
    for place in (1, 0):
        ranges = [each[place] for each in near]
        if all(each is not None and not each[0] * 10 <= foot[place] <= each[1] * 10 for each in ranges):
            return (place,)
    return (0, 1)


def between_sizes(pattern: Pattern, sizes: Sequence[Graded], everyone: Sequence[Population]) -> list[Finding]:
    """A remark, `between-sizes`, for every two neighbouring sizes between which people's feet fit neither.

    Feet lie between two sizes if both their measures do; a foot fits where the ease of the sock is allowed, round and
    long. Feet rarer than one in a thousand of those measured (`RARE`) are not told. Where a population has no girths,
    they are estimated from the lengths, and a size is too narrow or too wide for such a foot only if it is so for
    girths a standard deviation off the estimate as well.
    """
    ledger = Ledger()
    known = [_with_girths(people) for people in everyone]
    neighbours = tuple(_neighbours(sizes))
    reaches = [reach(pattern, each, True) for each in sizes]
    left = [_left(reaches, people, spread) for people, spread in known]
    for small, large in neighbours:
        near = (reach(pattern, small, True), reach(pattern, large, True))
        for told in _TOLD:
            missed = [
                each
                for (people, spread), feet in zip(known, left, strict=True)
                if (each := _between(people, feet, small, large, spread).told_by(told, near)).share >= RARE
            ]
            if missed:
                _tell(pattern, (small.body.name, large.body.name), told, missed, ledger)
    return ledger.entries


def _with_girths(people: Population) -> tuple[Population, float]:
    """The population with a girth for every foot, and how far (a share) those may lie off."""
    if people.has_girth or not people.feet:
        return people, 0.0
    found = {
        length: conditioning.together(conditioning.expected(_GIRTH, {_LENGTH: length / 10}, "children"))
        for length in {foot.length for foot in people.feet}
    }
    spread = max(each.spread / each.mean for each in found.values())
    feet = tuple(MeasuredFoot(each.length, round(found[each.length].mean * 10), each.age) for each in people.feet)
    return Population(people.name, feet, people.source), spread


def _neighbours(sizes: Sequence[Graded]) -> Iterator[tuple[Graded, Graded]]:
    """Every two sizes of which one is the larger and no third lies between, in the order of the first."""
    for small in sizes:
        larger = [each for each in sizes if each is not small and _lies_between(small, each, each)]
        for large in larger:
            if not any(_lies_between(small, each, large) for each in larger if each is not large):
                yield small, large


def _lies_between(small: Graded, each: Graded, large: Graded) -> bool:
    return all(
        small.body.measures[name] <= each.body.measures[name] <= large.body.measures[name] for name in (_GIRTH, _LENGTH)
    )


def _left(reaches: Sequence[Reach], people: Population, spread: float) -> list[tuple[int, int]]:
    """The girth and length in mm of every foot that no size fits."""
    feet = together(people)
    fitted = frozenset().union(*(within(_widened(each, spread), feet) for each in reaches))
    return [
        (girth, length)
        for place, ((girth, length), count) in enumerate(zip(feet.kinds, feet.counts, strict=True))
        if place not in fitted and girth is not None
        for _ in range(count)
    ]


def _widened(fits: Reach, spread: float) -> Reach:
    """Girths that may be the estimated ones of feet that the sock fits."""
    girth, length = fits
    if girth is None or not spread:
        return fits
    return (girth[0] / Fraction(1 + spread), girth[1] / Fraction(1 - spread)), length


def _between(
    people: Population, left: Sequence[tuple[int, int]], small: Graded, large: Graded, spread: float
) -> _Missed:
    (narrow, short), (wide, long) = (
        (each.body.measures[_GIRTH] * 10, each.body.measures[_LENGTH] * 10) for each in (small, large)
    )
    narrow, wide = narrow / Fraction(1 + spread), wide / Fraction(1 - spread)
    feet = tuple((girth, length) for girth, length in left if narrow <= girth <= wide and short <= length <= long)
    return _Missed(people.name, feet, len(people.feet))


def _tell(
    pattern: Pattern, names: tuple[str, str], told: tuple[int, ...], missed: Sequence[_Missed], ledger: Ledger
) -> None:
    feet = [foot for each in missed for foot in each.feet]
    ranges = [_range([foot[place] for foot in feet], _WORDS[place]) for place in told]
    middle = [_half(median_low([foot[place] for foot in feet])) for place in (0, 1)]
    shares = " and ".join(f"{_percent(each.share)} of the {each.people}" for each in missed)
    ledger.add(
        "between-sizes",
        f"feet {' and '.join(ranges)} fit neither size {names[0]} nor size {names[1]}",
        pattern.sizes_span,
        severity=Severity.REMARK,
        expected="one of the two to fit every foot between them",
        found=f"{shares} measured have such feet",
        mend=f"put a size of about {middle[0]} cm round and {middle[1]} cm long between them, or space the sizes anew",
    )


def _range(amounts: Sequence[int], word: str) -> str:
    low, high = min(amounts), max(amounts)
    span = f"{low / 10:g}" if low == high else f"{low / 10:g} to {high / 10:g}"
    return f"{span} cm {word}"


def _half(millimetres: int) -> str:
    return f"{float(round(Fraction(millimetres, 10) / STEP) * STEP):g}"


def _percent(share: float) -> str:
    return f"{max(share * 100, 0.1):.1f} %"
