"""Needles: their names by size, the lengths each setup uses, and how far stitches reach round.

Sources: `grader/data/needle_sizes.yaml` (five printed conversion charts, looked up) and
`grader/data/needle_setups.yaml` (teachers' and designers' pages, looked up; the stretch of 1.7
is an estimate beside 1.96 to 2.23 measured in rib).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from grader.vocabulary.reference import exact, read_reference


@dataclass(frozen=True, slots=True)
class NeedleNames:
    """One needle size: millimetres, US number and old UK number; "" where a system has none."""

    mm: Fraction
    us: str
    uk: str


@dataclass(frozen=True, slots=True)
class SetupNeedles:
    """Needle lengths in cm, tip to tip, and how many times their width relaxed stitches stretch."""

    short_circular: Fraction
    long_circular: Fraction
    double_pointed: tuple[Fraction, ...]
    stretch: Fraction

    def fewest(self, stitches_per_cm: Fraction, length: Fraction | None = None) -> int:
        """The fewest stitches that reach round a circular needle of that length (cm; the short one): its one limit."""
        needed = (self.short_circular if length is None else length) * stitches_per_cm / self.stretch
        return math.ceil(needed)


SETUP_NEEDLES: SetupNeedles  # the same as setup_needles(); read when it is first asked for


def needle_names(mm: Fraction) -> NeedleNames:
    """The names of a needle of so many mm; a size between the charts' sizes has its millimetres only."""
    return _sizes().get(mm, NeedleNames(mm, "", ""))


def needle_sizes() -> tuple[NeedleNames, ...]:
    """Every size of the charts, finest first."""
    return tuple(_sizes().values())


def needle_named(text: str) -> Fraction:
    """The mm of "2.5 mm", "2.5mm", "US 1.5", "US 1½" or "UK 13"; `ValueError` says what is wrong.

    A number alone is refused, since 2 is a needle in all three systems.
    """
    told = " ".join(text.strip().lower().replace("½", ".5").replace(",", ".").split())
    system, _, number = told.partition(" ") if " " in told else (told[:2], "", told[2:])
    if system in ("us", "uk") and number:
        found = next((each.mm for each in needle_sizes() if getattr(each, system) == number.removeprefix("old ")), None)
        if found is None:
            raise ValueError(f"there is no needle {system.upper()} {number}")
        return found
    amount = told.removesuffix("mm").strip()
    if told.endswith("mm") and amount.replace(".", "", 1).isdigit():
        return Fraction(amount)
    raise ValueError(f"{text!r} is not a needle size; write it like 2.5mm, US 1.5 or UK 13")


@cache
def setup_needles() -> SetupNeedles:
    """The needles that the setups use unless a pattern says otherwise, and the stretch of the reach rule."""
    data = read_reference("needle_setups")
    lengths = {row["setup"]: tuple(exact(each) for each in row["lengths"]) for row in data["setups"]}
    return SetupNeedles(
        lengths["short circular"][0],
        lengths["long circular"][0],
        lengths["double-pointed"],
        exact(data["stretch"]["factor"]),
    )


@cache
def _sizes() -> dict[Fraction, NeedleNames]:
    rows = read_reference("needle_sizes")["rows"]
    sizes = (NeedleNames(exact(row["mm"]), row["us"] or "", row["uk"] or "") for row in rows)
    return {each.mm: each for each in sizes}


def __getattr__(name: str) -> SetupNeedles:
    if name == "SETUP_NEEDLES":
        return setup_needles()
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
