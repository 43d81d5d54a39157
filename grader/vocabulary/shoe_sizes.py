"""Shoe sizes from the length of a foot and back: EU, UK, US and Mondopoint.

Source: ISO 9407 for Mondopoint, an encyclopedia for the European formula (looked up), the usual
British and American formulas (memory); `grader/data/shoe_sizes.yaml` says which is which. Tables of
shoe sizes differ by up to two sizes, so that a length from a size is a range and always an estimate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from grader.vocabulary.reference import read_reference

FOR_WHOM = ("women", "men", "child")


@dataclass(frozen=True, slots=True)
class ShoeScale:
    """One system for some wearers: size = per_cm x (foot length in cm + last_beyond) - less.

    `beside` is how many sizes the formula lies beside published tables, lowest and highest, `middle` on the average;
    `low` and `high` are the smallest and the largest size made, in steps of `step`.
    """

    system: str
    for_whom: tuple[str, ...]
    per_cm: Fraction
    last_beyond: Fraction
    less: Fraction
    step: Fraction
    low: Fraction
    high: Fraction
    beside: tuple[Fraction, Fraction]
    middle: Fraction
    status: str

    def exact_size(self, foot_cm: Fraction) -> Fraction:
        """The size of a foot before it is rounded to one that is made."""
        return self.per_cm * (foot_cm + self.last_beyond) - self.less

    def size(self, foot_cm: Fraction) -> Fraction | None:
        """The nearest size that is made, halfway up (a shoe too short hurts); None where none is made for the foot."""
        nearest = math.floor(self.exact_size(foot_cm) / self.step + Fraction(1, 2)) * self.step
        return nearest if self.low <= nearest <= self.high else None

    def foot_cm(self, size: Fraction) -> Fraction:
        """The length of foot that comes to exactly this size, in cm."""
        return (size + self.less) / self.per_cm - self.last_beyond


@cache
def shoe_scales() -> tuple[ShoeScale, ...]:
    """Every scale there is, as the data holds them."""
    return tuple(_scale(row) for row in read_reference("shoe_sizes")["formulas"])


def _scale(row: dict[str, Any]) -> ShoeScale:
    keys = ("per_cm", "last_beyond", "less", "step", "low", "high", "middle")
    numbers = {key: Fraction(str(row[key])) for key in keys}
    lowest, highest = (Fraction(str(each)) for each in row["beside"])
    wearers = tuple(row["for_whom"])
    return ShoeScale(row["system"], wearers, **numbers, beside=(lowest, highest), status=row["status"])


def shoe_scale(system: str, for_whom: str) -> ShoeScale:
    """The scale of a system ("EU", "UK", "US" or "Mondopoint", in any case) for "women", "men" or "child".

    `ValueError` names the systems and wearers there are.
    """
    for each in shoe_scales():
        if each.system.lower() == system.strip().lower() and for_whom in each.for_whom:
            return each
    if for_whom not in FOR_WHOM:
        raise ValueError(f"shoe sizes are for {', '.join(FOR_WHOM)}, not {for_whom!r}")
    systems = ", ".join(dict.fromkeys(each.system for each in shoe_scales()))
    raise ValueError(f"no shoe sizes {system!r}; there are {systems}")


def usual_foot_of(system: str, size: Fraction, for_whom: str) -> Fraction:
    """How long a foot in this shoe size is on the average of what was published, in cm: an estimate.

    It lies above the foot of the formula, which leaves a shoe more room than tables do; how far, and after whom, says
    `middle` in the data. `ValueError` as `foot_length_of`.
    """
    foot_length_of(system, size, for_whom)
    scale = shoe_scale(system, for_whom)
    return scale.foot_cm(size + scale.middle)


def foot_length_of(system: str, size: Fraction, for_whom: str) -> tuple[Fraction, Fraction]:
    """The shortest and the longest foot, in cm, that published tables and the formula give this shoe size.

    `ValueError` for a system or wearer that `shoe_scale` doesn't know, and for a size that isn't made.
    """
    scale = shoe_scale(system, for_whom)
    if not scale.low <= size <= scale.high:
        whose = "children" if for_whom == "child" else for_whom
        made = f"{print_size(scale.low)} to {print_size(scale.high)}"
        raise ValueError(f"{scale.system} {print_size(size)} is no shoe size; {whose} have {made}")
    return scale.foot_cm(size + scale.beside[0]), scale.foot_cm(size + scale.beside[1])


def print_size(size: Fraction) -> str:
    """ "7½" for fifteen halves; a size that isn't in halves as a decimal."""
    whole, part = divmod(size, 1)
    if part == Fraction(1, 2):
        return f"{int(whole) or ''}½"
    return f"{float(size):g}"
