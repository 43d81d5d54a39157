"""The standard yarn weights, from lace to jumbo.

Source: Craft Yarn Council, Standard Yarn Weight System, 2018 (looked up); the rows and what
is in doubt stand in `grader/data/yarn_weights.yaml`.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from grader.vocabulary.reference import exact, read_reference


@dataclass(frozen=True, slots=True)
class YarnWeight:
    """One weight: stitches to 10 cm of stocking stitch and needles in mm; None where an end is open."""

    number: int
    name: str
    types: tuple[str, ...]
    gauge_min: int | None
    gauge_max: int | None
    needle_mm_min: Fraction | None
    needle_mm_max: Fraction | None


def yarn_weight(name: str) -> YarnWeight:
    """The weight of that standard name, in any case, such as "super fine"; `KeyError` lists them."""
    known = _weights()
    key = " ".join(name.lower().split())
    if key not in known:
        raise KeyError(f"no yarn weight {name!r}; there are {', '.join(known)}")
    return known[key]


def yarn_weights() -> tuple[YarnWeight, ...]:
    """All weights, finest first."""
    return tuple(_weights().values())


def weights_at(stitches: Fraction) -> tuple[YarnWeight, ...]:
    """The weights the council names for so many stitches to 10 cm; between two ranges the one that is nearer."""
    far = {each.name: _outside(each, stitches) for each in yarn_weights()}
    least = min(far.values())
    return tuple(each for each in yarn_weights() if far[each.name] == least)


def _outside(weight: YarnWeight, stitches: Fraction) -> Fraction:
    """How far so many stitches lie outside the range of a weight; 0 within it."""
    low = Fraction(weight.gauge_min or 0)
    high = stitches if weight.gauge_max is None else Fraction(weight.gauge_max)
    return max(low - stitches, stitches - high, Fraction(0))


@cache
def _weights() -> dict[str, YarnWeight]:
    return {
        row["name"]: YarnWeight(
            row["number"],
            row["name"],
            tuple(row["types"]),
            row["gauge_min"],
            row["gauge_max"],
            _mm(row["needle_mm_min"]),
            _mm(row["needle_mm_max"]),
        )
        for row in read_reference("yarn_weights")["rows"]
    }


def _mm(amount: float | None) -> Fraction | None:
    return None if amount is None else exact(amount)
