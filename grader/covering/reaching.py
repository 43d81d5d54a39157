"""Which feet of a population a sock fits: those whose ease in it, round and long, the pattern allows."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from grader.models.coverage import Range
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.vocabulary.population import Population

Foot = tuple[int | None, int]  # girth and length in mm
Reach = tuple[Range | None, Range | None]  # the girths and the lengths that a sock fits, in cm


@dataclass(frozen=True, slots=True)
class Feet:
    """A population with like feet counted together, in order; girth and length in mm."""

    kinds: tuple[Foot, ...]
    counts: tuple[int, ...]
    rows: tuple[tuple[int | None, int, tuple[int, ...]], ...]  # each girth, where its feet begin, and their lengths

    def weigh(self, which: frozenset[int]) -> int:
        """How many people the feet at these places are."""
        return sum(self.counts[each] for each in which)


def together(people: Population) -> Feet:
    """The population with like feet counted together."""
    has_girth = people.has_girth  # asked once: it looks at every foot
    counts = Counter((foot.girth if has_girth else None, foot.length) for foot in people.feet)
    kinds = sorted(counts, key=lambda foot: (foot[0] or 0, foot[1]))
    rows = []
    for girth, same in groupby(enumerate(kinds), key=lambda each: each[1][0]):
        those = list(same)
        rows.append((girth, those[0][0], tuple(length for _, (_, length) in those)))
    return Feet(tuple(kinds), tuple(counts[each] for each in kinds), tuple(rows))


def reach(pattern: Pattern, graded: Graded, with_girth: bool) -> Reach:
    """The girths, if they are asked for, and the lengths of feet in cm that a graded sock fits."""
    fit = pattern.fit
    girth = _fitted(graded.finished.get("foot_circumference"), fit.allowed) if with_girth else None
    return girth, _fitted(graded.finished.get("foot_length"), fit.length_allowed)


def _fitted(sock: Fraction | None, allowed: Range) -> Range | None:
    """The feet, smallest and largest, beside which a sock has an ease that is allowed."""
    return None if sock is None else (sock / (1 + allowed[1]), sock / (1 + allowed[0]))


def within(reach: Reach, feet: Feet) -> frozenset[int]:
    """The places in `feet` of those that a sock fits."""
    bounds = [(math.ceil(each[0] * 10), math.floor(each[1] * 10)) if each else None for each in reach]
    girths, lengths = bounds
    found: list[int] = []
    for girth, start, those in feet.rows:
        if girths is None or girth is None or girths[0] <= girth <= girths[1]:
            low, high = (
                (bisect_left(those, lengths[0]), bisect_right(those, lengths[1])) if lengths else (0, len(those))
            )
            found.extend(range(start + low, start + high))
    return frozenset(found)
