"""How long a pair takes to knit: stitches of each part, and hours at a speed, with rests."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class PartTime:
    """The stitches of one section in both socks, and the minutes of knitting that they take."""

    section: str
    stitches: int
    minutes: Fraction


@dataclass(frozen=True, slots=True)
class PairTime:
    """A pair of one size: its parts in working order, and its rests.

    `rests` is how many breaks fall within the knitting, one after every `every` minutes but none after the end;
    `rest` minutes each.
    """

    size: str
    parts: tuple[PartTime, ...]
    speed: Fraction
    every: Fraction
    rest: Fraction
    rests: int

    @property
    def stitches(self) -> int:
        """The stitches of the pair."""
        return sum(each.stitches for each in self.parts)

    @property
    def minutes(self) -> Fraction:
        """Minutes of knitting, without rests."""
        return sum((each.minutes for each in self.parts), Fraction(0))

    @property
    def minutes_resting(self) -> Fraction:
        """Minutes of rest."""
        return self.rests * self.rest
