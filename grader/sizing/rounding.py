"""The one place where a graded number is rounded: the nearest legal number to a target.

Legal numbers lie on a lattice, n = plus + k * step, between two bounds. Halfway between two
legal numbers the smaller is taken, since a sock holds by being smaller than the foot.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from grader.vocabulary.congruences import Congruence, common


@dataclass(frozen=True, slots=True)
class Lattice:
    """The legal numbers: every `step` from `plus`, from `low` to `high` (None: no bound)."""

    step: Fraction
    plus: Fraction = Fraction(0)
    low: Fraction | None = None
    high: Fraction | None = None

    def below(self, amount: Fraction) -> Fraction:
        """The largest lattice number not above `amount`, bounds aside."""
        return self.plus + (amount - self.plus) // self.step * self.step

    def above(self, amount: Fraction) -> Fraction:
        """The smallest lattice number not below `amount`, bounds aside."""
        return self.plus - (self.plus - amount) // self.step * self.step

    def holds(self, amount: Fraction) -> bool:
        """True if the amount is legal."""
        inside = (self.low is None or amount >= self.low) and (self.high is None or amount <= self.high)
        return inside and self.below(amount) == amount

    def nearest(self, amount: Fraction) -> Fraction | None:
        """The legal number nearest to `amount`; None if the bounds leave none."""
        low = self.above(self.low) if self.low is not None else None
        high = self.below(self.high) if self.high is not None else None
        if low is not None and high is not None and low > high:
            return None
        under, over = self.below(amount), self.above(amount)
        chosen = under if amount - under <= over - amount else over
        if low is not None:
            chosen = max(chosen, low)
        return min(chosen, high) if high is not None else chosen


def least_common_multiple(steps: list[Fraction]) -> Fraction:
    """The smallest positive number that every step divides (1 for no steps)."""
    result = Fraction(1) if not steps else steps[0]
    for step in steps[1:]:
        under = math.lcm(result.denominator, step.denominator)
        result = Fraction(math.lcm(int(result * under), int(step * under)), under)
    return result


def lattice_of(
    demands: Sequence[Congruence], low: Fraction | None = None, high: Fraction | None = None
) -> Lattice | None:
    """The numbers that meet several demands together, whole ones where there are none; None if no number meets all."""
    together = common(demands)
    return Lattice(together.step, together.plus, low, high) if together else None
