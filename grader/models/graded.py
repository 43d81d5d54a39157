"""The numbers of one size."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grader.vocabulary.bodies import Body
from grader.vocabulary.quantities import Quantity


@dataclass(frozen=True, slots=True)
class Figure:
    """One graded number: its value, what it aimed at before rounding, and why it moved."""

    name: str
    value: Quantity
    aimed: Quantity
    reason: str


@dataclass(frozen=True, slots=True)
class Graded:
    """One size with all its numbers.

    `names` is everything a formula may use; `finished` the stated measures of the sock in cm,
    `beside_rounds` what of each is not knitted in rounds, such as the cup of the heel;
    `ease` how much they differ from the foot, as a share of it, after rounding;
    `altered` what was graded otherwise for this person and why, a sentence each.
    """

    index: int
    body: Body
    figures: tuple[Figure, ...]
    names: dict[str, Quantity]
    finished: dict[str, Fraction]
    beside_rounds: dict[str, Fraction]
    ease: dict[str, Fraction]
    altered: tuple[str, ...] = ()

    def count(self, name: str) -> int:
        """A number of the pattern as a whole count; `KeyError` if there is none of that name."""
        return self.names[name].whole()
