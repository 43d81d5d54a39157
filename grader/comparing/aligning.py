"""Laying two sequences beside each other so that as much as possible finds its like, in order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")


def align(
    old: Sequence[T], new: Sequence[T], likeness: Callable[[T, T], float], order: Callable[[T], tuple[str, ...]]
) -> list[tuple[T | None, T | None]]:
    """Pairs in order, None where something has no like on the other side.

    `likeness` is the worth of a pair, 0 for one that can't be; the sum of all worths is the greatest there is. Where
    several alignments are worth as much, the same one is taken in both directions, whichever side is the old one:
    `order` decides which side is looked at first.
    """
    if [order(each) for each in new] < [order(each) for each in old]:
        matched = [(place, other) for other, place in _matched(new, old, likeness)]
    else:
        matched = _matched(old, new, likeness)
    told: list[tuple[T | None, T | None]] = []
    first = second = 0
    for place, other in (*matched, (len(old), len(new))):
        told.extend((each, None) for each in old[first:place])
        told.extend((None, each) for each in new[second:other])
        if place < len(old):
            told.append((old[place], new[other]))
        first, second = place + 1, other + 1
    return told


def _matched(old: Sequence[T], new: Sequence[T], likeness: Callable[[T, T], float]) -> list[tuple[int, int]]:
    """The places that go together: the greatest sum of worths, found from the end (longest common subsequence)."""
    worth = [[likeness(a, b) for b in new] for a in old]
    best = [[0.0] * (len(new) + 1) for _ in range(len(old) + 1)]
    for row in range(len(old) - 1, -1, -1):
        for column in range(len(new) - 1, -1, -1):
            here = worth[row][column]
            taken = here + best[row + 1][column + 1] if here else 0.0
            best[row][column] = max(taken, best[row + 1][column], best[row][column + 1])
    matched: list[tuple[int, int]] = []
    row = column = 0
    while row < len(old) and column < len(new):
        here = worth[row][column]
        if here and best[row][column] == here + best[row + 1][column + 1]:
            matched.append((row, column))
            row, column = row + 1, column + 1
        elif best[row][column] == best[row + 1][column]:
            row += 1
        else:
            column += 1
    return matched


def overlap(old: str, new: str) -> float:
    """The share of words that two texts have in common, 0 to 1; the same in both directions."""
    mine, yours = Counter(old.split()), Counter(new.split())
    count = mine.total() + yours.total()
    return 2 * (mine & yours).total() / count if count else 1.0
