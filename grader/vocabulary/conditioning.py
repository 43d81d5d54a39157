"""What a measure is in people whose other measures are known: its mean and its spread.

Adults' measures are taken to be normally distributed together, so that the mean is the regression on whatever is
known and the spread what that leaves. Children's are shares with a spread, all estimates. Between the lengths of
`growing_feet` a foot may be either's: both count, so that no measure leaps where childhood ends.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from grader.vocabulary.foot_measures import (
    People,
    adults,
    child_share,
    growing_feet,
    instep_share,
)

Known = Mapping[str, float]
_GIRTH, _LENGTH = "foot_circumference", "foot_length"


@dataclass(frozen=True, slots=True)
class Expected:
    """The mean and the standard deviation of a measure in cm, and the share of people (a weight) it stands for."""

    mean: float
    spread: float
    weight: float = 1.0


def expected(wanted: str, known: Known, whom: str = "") -> tuple[Expected, ...]:
    """What `wanted` is for each kind of people it may be: "women", "men", "adults", "children", or "" for any.

    Where nobody says whose foot it is, a short one is taken for a child's; a long one of a child is as an adult's.
    """
    child = childhood(known, whom)
    of_child = (_of_child(wanted, known, child),) if child else ()
    if child == 1:
        return of_child
    kinds = [each for each in adults() if whom in ("", "adults", "children", each.name)]
    weights = [_density(each, known) for each in kinds]
    if not sum(weights):  # so far out that neither kind is nearer
        weights = [1.0] * len(kinds)
    whole = sum(weights) / (1 - child)
    of_adults = [
        _of_adult(each, wanted, known, weight / whole) for each, weight in zip(kinds, weights, strict=True) if weight
    ]
    return (*of_child, *of_adults)


def together(several: tuple[Expected, ...]) -> Expected:
    """One mean and spread for a mixture of people."""
    mean = sum(each.weight * each.mean for each in several)
    variance = sum(each.weight * (each.spread**2 + (each.mean - mean) ** 2) for each in several)
    return Expected(mean, math.sqrt(variance))


def rareness(value: float, several: tuple[Expected, ...]) -> float:
    """The share of people as far off or farther, among the kind it is least rare in: 0.05 is one in twenty."""
    return max(math.erfc(abs(value - each.mean) / each.spread / math.sqrt(2)) for each in several)


def childhood(known: Known, whom: str = "") -> float:
    """How far the foot is a child's: 1 if it is one's, 0 if it is grown, and evenly from the one to the other between.

    Women, men and adults are grown however short their feet are.
    """
    if whom not in ("", "children"):
        return 0.0
    shorter, longer = growing_feet()
    if _LENGTH in known:
        place = known[_LENGTH]
    elif _GIRTH in known:
        place = known[_GIRTH]
        shorter, longer = (each * child_share(_GIRTH, each).share for each in (shorter, longer))
    else:
        return 1.0 if whom else 0.0
    return min(max((longer - place) / (longer - shorter), 0.0), 1.0)


def _of_child(wanted: str, known: Known, weight: float = 1.0) -> Expected:
    """What is `wanted` of a child; a share of the foot's length or girth, itself estimated where it is not known."""
    if wanted == "instep_girth":
        return _instep(_part(known, _GIRTH) or _of_child(_GIRTH, known), weight)
    if wanted == _LENGTH:
        girth = known[_GIRTH]
        length = girth
        for _ in range(30):  # the share changes slowly with the length, so that this settles at once
            length = girth / child_share(_GIRTH, length).share
        return Expected(length, length * child_share(_GIRTH, length).spread, weight)
    long = _part(known, _LENGTH) or _of_child(_LENGTH, known)
    share = child_share(wanted, long.mean)
    base = long if share.of == _LENGTH else _part(known, share.of) or _of_child(share.of, known)
    own = base.mean * share.share * share.spread
    return Expected(base.mean * share.share, math.hypot(own, base.spread * share.share), weight)


def _part(known: Known, name: str) -> Expected | None:
    return Expected(known[name], 0.0) if name in known else None


def _instep(girth: Expected, weight: float = 1.0) -> Expected:
    share = instep_share()
    own = girth.mean * share.share * share.spread
    return Expected(girth.mean * share.share, math.hypot(own, girth.spread * share.share), weight)


def _of_adult(people: People, wanted: str, known: Known, weight: float) -> Expected:
    if wanted == "instep_girth":
        return _instep(_part(known, _GIRTH) or _of_adult(people, _GIRTH, known, weight), weight)
    names = [name for name in people.mean if name in known and name != wanted]
    slopes, spread = _slopes(people.name, wanted, tuple(names))
    mean = people.mean[wanted] + sum(
        slope * (known[name] - people.mean[name]) for slope, name in zip(slopes, names, strict=True)
    )
    return Expected(mean, spread, weight)


@cache
def _slopes(whom: str, wanted: str, names: tuple[str, ...]) -> tuple[tuple[float, ...], float]:
    """How far `wanted` goes with each of the measures that are known, and how far people then still differ."""
    people = next(each for each in adults() if each.name == whom)
    together_with = [people.covariance[wanted, name] for name in names]
    slopes = _solved([[people.covariance[a, b] for b in names] for a in names], together_with)
    left = people.covariance[wanted, wanted] - sum(a * b for a, b in zip(slopes, together_with, strict=True))
    return tuple(slopes), math.sqrt(max(left, 1e-9))


def _density(people: People, known: Known) -> float:
    """How often what is known stands together in these people, up to a factor that all share."""
    names = [name for name in people.mean if name in known]
    seen: dict[str, float] = {}
    logarithm = 0.0
    for name in names:
        here = _of_adult(people, name, seen, 1.0)
        logarithm -= math.log(here.spread) + ((known[name] - here.mean) / here.spread) ** 2 / 2
        seen[name] = known[name]
    return math.exp(max(logarithm, -700.0))


def _solved(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Solve a few linear equations by elimination with the largest pivot."""
    rows = [[*line, value] for line, value in zip(matrix, right, strict=True)]
    size = len(rows)
    for column in range(size):
        pivot = max(range(column, size), key=lambda row: abs(rows[row][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        for row in range(size):
            if row != column:
                factor = rows[row][column] / rows[column][column]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[column], strict=True)]
    return [rows[row][size] / rows[row][row] for row in range(size)]
