"""Feet: what a sock is graded for."""

from __future__ import annotations

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
