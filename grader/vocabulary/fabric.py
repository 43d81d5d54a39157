"""How dense a knitted fabric is, what it weighs, and how far a change of needle moves its gauge.

Sources: `grader/data/sock_fabric.yaml` (a handbook and a lecture note, looked up; the bands of hand-knitted socks, the
step of a needle and the reading error are estimates) and `grader/vocabulary/loop_length.py` (Munden 1959).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from grader.vocabulary.loop_length import loop_length_cm
from grader.vocabulary.reference import exact, read_reference


@dataclass(frozen=True, slots=True)
class FabricBand:
    """One band of density: up to which cover factor it reaches (None: no end), in words, and how far to trust it."""

    name: str
    up_to: float | None
    says: str
    status: str


@dataclass(frozen=True, slots=True)
class NeedleStep:
    """How many stitches to 10 cm one size of needle makes, at the least and at the most; an estimate."""

    fewest: Fraction
    most: Fraction

    def sizes(self, stitches: Fraction) -> int:
        """The sizes to change by for so many stitches to 10 cm, taken in the middle of the range; 0 below its least."""
        if abs(stitches) < self.fewest:
            return 0
        return max(1, math.floor(abs(stitches) * 2 / (self.fewest + self.most) + Fraction(1, 2)))


def tex_of(metres: Fraction, grams: Fraction) -> float:
    """The count of a yarn in tex, grams to 1000 m (ISO 1144), from a ball; `ValueError` for a ball of nothing."""
    if metres <= 0 or grams <= 0:
        raise ValueError("a ball has metres and grams")
    return float(1000 * grams / metres)


def cover_factor(tex: float, loop_cm: float) -> float:
    """The tightness of plain knitting: the square root of the tex over the loop length in mm."""
    return math.sqrt(tex) / (10 * loop_cm)


def cover_of(tex: float, stitches_per_cm: Fraction, rounds_per_cm: Fraction, washed: bool = True) -> float:
    """The cover factor at a gauge; counts of washed fabric are wet relaxed, others dry relaxed."""
    state = "wet relaxed" if washed else "dry relaxed"
    return cover_factor(tex, loop_length_cm(float(stitches_per_cm), float(rounds_per_cm), state))


def tex_for(cover: float, stitches_per_cm: Fraction, rounds_per_cm: Fraction) -> float:
    """The yarn in tex that makes washed fabric of this cover factor at a gauge."""
    return float((10 * loop_length_cm(float(stitches_per_cm), float(rounds_per_cm)) * cover) ** 2)


def areal_mass(stitches_per_cm: float, rounds_per_cm: float, loop_cm: float, tex: float) -> float:
    """Grams to the square metre: loops to the square cm x loop length in mm x tex / 100 (handbook, 2023)."""
    return stitches_per_cm * rounds_per_cm * 10 * loop_cm * tex / 100


def fabric_band(cover: float) -> FabricBand:
    """The band that a cover factor lies in."""
    return next(each for each in fabric_bands() if each.up_to is None or cover < each.up_to)


@cache
def fabric_bands() -> tuple[FabricBand, ...]:
    """All bands, loosest first."""
    rows = read_reference("sock_fabric")["rows"]
    return tuple(FabricBand(row["name"], row["up_to"], row["says"], row["status"]) for row in rows)


@cache
def needle_step() -> NeedleStep:
    """How far one size of needle moves the gauge."""
    row = read_reference("sock_fabric")["needle_step"]
    return NeedleStep(exact(row["fewest"]), exact(row["most"]))


@cache
def reading_error() -> Fraction:
    """How far a single count may be out, in stitches or rounds."""
    return exact(read_reference("sock_fabric")["reading_error"]["stitches"])


@dataclass(frozen=True, slots=True)
class UsualScatter:
    """By how much counts of one fabric differ as a rule: the standard deviation of one over 10 cm, in stitches or
    rounds, and how many counts of the knitter's own that is worth; an estimate."""

    to_10_cm: float
    counts: int


@cache
def usual_scatter() -> UsualScatter:
    """How counts scatter in a hand of which nothing is known yet."""
    row = read_reference("sock_fabric")["usual_scatter"]
    return UsualScatter(float(row["stitches"]) * math.sqrt(float(row["over_cm"]) / 10), int(row["counts"]))


@cache
def sure_enough() -> float:
    """The standard error, in stitches to 10 cm, below which no more counts are asked for."""
    return float(read_reference("sock_fabric")["counts_enough"]["standard_error"])
