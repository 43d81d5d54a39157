"""In what proportion the parts of a sock stand to each other. Source: `grader/data/proportions.yaml`, row by row."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from grader.vocabulary.reference import exact, read_reference


@dataclass(frozen=True, slots=True)
class Proportion:
    """A published range: `means` is measured in shares of `per`; `slack` is what whole counts may cost, in `means`."""

    part: str
    means: str
    per: str
    low: Fraction
    high: Fraction
    slack: Fraction

    def holds(self, amount: Fraction, whole: Fraction) -> bool:
        """True if an amount of a whole lies within the range, rounding let be."""
        return whole * self.low - self.slack <= amount <= whole * self.high + self.slack


@cache
def proportion_of(part: str) -> Proportion:
    """The published range of one part of a sock; `KeyError` for one that has none."""
    for row in read_reference("proportions")["rows"]:
        if row["part"] == part:
            return Proportion(
                part, row["means"], row["per"], exact(row["low"]), exact(row["high"]), exact(row["slack"])
            )
    raise KeyError(f"nothing is published on the proportion of {part}")
