"""How long children's feet are, by age.

Source: a survey of 1977 from two years on, two write-ups of socks for babies below;
`grader/data/child_foot_length.yaml` says what is looked up and what is estimated.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from fractions import Fraction
from functools import cache

from grader.vocabulary.reference import exact, read_reference

YOUNGEST, OLDEST = Fraction(1, 2), Fraction(18)  # years
FIRST_YEAR_MEASURED = Fraction(2)  # what is younger leans on babies
_PERCENTILES = ("p5", "p50", "p95")
Lengths = tuple[Fraction, Fraction, Fraction]


def length_at_age(years: Fraction) -> Lengths:
    """The 5th, 50th and 95th percentile of the foot's length in cm at an age in years.

    A whole number is an age as people say it: four until the fifth birthday. Between those that were measured the
    lengths lie on a straight line, and they never fall. `KeyError` for ages below `YOUNGEST` or above `OLDEST`.
    """
    if not YOUNGEST <= years <= OLDEST:
        raise KeyError(f"no feet of {float(years):g} years were measured")
    for (before, low), (after, high) in itertools.pairwise(_by_age()):
        if years <= after:
            part = (years - before) / (after - before)
            shorter, middle, longer = (small + (large - small) * part for small, large in zip(low, high, strict=True))
            return shorter, middle, longer
    raise AssertionError("the last row lies beyond the oldest")


@cache
def _by_age() -> tuple[tuple[Fraction, Lengths], ...]:
    """The percentiles in cm, by the age they are right for."""
    data = read_reference("child_foot_length")
    babies, children = data["babies"]["rows"], data["rows"]
    ages = [exact(row["age"]) for row in babies] + [exact(row["age"]) for row in children]
    counts = [row["n"] for row in children]
    columns = [
        [exact(row[name]) / 10 for row in babies] + _never_falling([exact(row[name]) / 10 for row in children], counts)
        for name in _PERCENTILES
    ]
    return tuple((age, (low, middle, high)) for age, low, middle, high in zip(ages, *columns, strict=True))


def _never_falling(amounts: Sequence[Fraction], counts: Sequence[int]) -> list[Fraction]:
    """The amounts with those that fall replaced by their mean, weighed by the counts: pool adjacent violators.

    Source: isotonic regression (Barlow and others, 1972; memory).
    """
    pools: list[tuple[Fraction, int, int]] = []  # the mean, its weight, and how many amounts it stands for
    for amount, count in zip(amounts, counts, strict=True):
        pools.append((amount, count, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (first, weight, many), (second, other, more) = pools[-2:]
            pools[-2:] = [((first * weight + second * other) / (weight + other), weight + other, many + more)]
    return [mean for mean, _, many in pools for _ in range(many)]
