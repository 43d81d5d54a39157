"""How far a mean may lie off by chance alone, by Student's distribution.

Source: the closed forms of Student's distribution for whole degrees of freedom (Abramowitz and Stegun, Handbook of
Mathematical Functions, 1964, 26.7.3 and 26.7.4; memory, held against a printed table in the tests).
"""

from __future__ import annotations

import math
from functools import cache

CHANCE = 0.05  # gauges that are alike are told apart once in twenty: the usual bound
_HALVINGS = 60


@cache
def times_the_error(freedom: int, chance: float) -> float:
    """How many standard errors a mean lies off with this chance, to either side; `freedom` is 1 or more."""
    low, high = 0.0, 1.0
    while within(high, freedom) < 1 - chance:
        low, high = high, 2 * high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if within(middle, freedom) < 1 - chance else (low, middle)
    return high


def within(times: float, freedom: int) -> float:
    """The chance that a mean lies within so many standard errors, found with `freedom` degrees of freedom."""
    angle = math.atan(times / math.sqrt(freedom))
    square = math.cos(angle) ** 2
    if freedom % 2 == 0:
        return math.sin(angle) * _series(square, freedom // 2, first=1)
    return 2 / math.pi * (angle + math.sin(angle) * math.cos(angle) * _series(square, freedom // 2, first=2))


def _series(square: float, terms: int, first: int) -> float:
    """1 + 1/2 x + 1/2 3/4 x^2 + ..., or with `first` 2: 1 + 2/3 x + 2/3 4/5 x^2 + ...; so many terms of it."""
    total, term = 0.0, 1.0
    for place in range(terms):
        total += term
        term *= square * (first + 2 * place) / (first + 2 * place + 1)
    return total
