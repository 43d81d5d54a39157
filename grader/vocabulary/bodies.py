"""Feet: what a sock is graded for."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

YOURS = "yours"  # the name of the one foot of a knitter who gave none


@dataclass(frozen=True, slots=True)
class Body:
    """One foot to be fitted: a size of a chart, or a person. Lengths in centimetres.

    `measures` holds foot_circumference, foot_length and leg_length at least. Of a person, `usual` holds what feet of
    this circumference and length have, `estimated` the names of measures that nobody took, and `told` what is to be
    said of either, a sentence each.
    """

    name: str
    measures: dict[str, Fraction]
    note: str = ""
    source: str = ""
    usual: dict[str, Fraction] = field(default_factory=dict)
    estimated: frozenset[str] = frozenset()
    told: tuple[str, ...] = ()


def leg_length_beside(sizes: Iterable[Body], foot_length: Fraction) -> Fraction:
    """How high the leg of a sock is for a foot of this length (cm), after the sizes of a pattern; exact.

    The height is a choice of style: between two sizes it lies between theirs, and beyond the shortest and the longest
    foot it keeps its share of the foot, so that a child's sock after a pattern for adults gets a child's leg.
    """
    ordered = sorted({(each.measures["foot_length"], each.measures["leg_length"]) for each in sizes})
    (shortest, lowest), (longest, highest) = ordered[0], ordered[-1]
    if foot_length <= shortest:
        return lowest * foot_length / shortest
    for (short, low), (long, high) in itertools.pairwise(ordered):
        if short < foot_length <= long:
            return low + (high - low) * (foot_length - short) / (long - short)
    return highest * foot_length / longest
