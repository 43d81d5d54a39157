"""Numbers that must divide by several others with something over each time: repeats, their edges, and halves.

A stitch pattern of 6 stitches and one at its edge goes into 7, 13, 19 ...; a heel that is half of the stitches asks
for an even number; both together for 13, 25 ... or for none at all. The rule for putting two such demands together
is the Chinese remainder theorem, here for fractions too, since lengths are rounded to steps of half a centimetre.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Congruence:
    """All numbers `plus` + k * `step`; `step` is above nothing."""

    step: Fraction
    plus: Fraction = Fraction(0)

    def holds(self, amount: Fraction) -> bool:
        """True if the amount is one of the numbers."""
        return (amount - self.plus) % self.step == 0

    def first_from(self, amount: Fraction) -> Fraction:
        """The smallest of the numbers that is not below `amount`."""
        return self.plus + math.ceil((amount - self.plus) / self.step) * self.step


def common(several: Iterable[Congruence]) -> Congruence | None:
    """The numbers that meet every one of `several` (whole numbers for none); None if no number does.

    Where all ask for the same `plus` it is kept as it is; else it is the smallest that is not below nothing.
    """
    asked = tuple(several)
    if not asked:
        return Congruence(Fraction(1))
    if len(asked) == 1:
        return asked[0]
    found: Congruence | None = asked[0]
    for each in asked[1:]:
        found = _both(found, each) if found else None
    if found and all(each.plus == asked[0].plus for each in asked):
        return Congruence(found.step, asked[0].plus)
    return Congruence(found.step, found.plus % found.step) if found else None


def _both(first: Congruence, second: Congruence) -> Congruence | None:
    """The numbers that meet two demands; None where the remainders contradict each other."""
    under = math.lcm(*(part.denominator for each in (first, second) for part in (each.step, each.plus)))
    step, plus = int(first.step * under), int(first.plus * under)
    other, rest = int(second.step * under), int(second.plus * under)
    shared = math.gcd(step, other)
    if (rest - plus) % shared:
        return None
    whole = math.lcm(step, other)
    times = (rest - plus) // shared * pow(step // shared, -1, other // shared) if other > shared else 0
    return Congruence(Fraction(whole, under), Fraction((plus + step * times) % whole, under))
