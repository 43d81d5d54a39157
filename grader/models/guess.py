"""A measure that nobody took, as it is in feet like this one."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Guess:
    """One measure estimated, in cm: the middle, and the range of nine feet in ten."""

    measure: str
    middle: Fraction
    low: Fraction
    high: Fraction
    basis: str
