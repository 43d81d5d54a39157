"""Feet: what a sock is graded for."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Body:
    """One foot to be fitted: a size of a chart, or a person. Lengths in centimetres.

    `measures` holds foot_circumference, foot_length and leg_length at least.
    """

    name: str
    measures: dict[str, Fraction]
    note: str = ""
    source: str = ""
