"""Which of the people who were measured a range of sizes fits, and which sizes would fit the most."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grader.vocabulary.bodies import Body

Range = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class ServedBy:
    """What one size does: the girths and lengths of feet (cm) inside its allowed ease, and how many feet that is.

    `girth` is None where girths were not measured, and either where the pattern states no such measure of the sock.
    `alone` counts the feet that no other size fits.
    """

    body: Body
    girth: Range | None
    length: Range | None
    feet: int
    alone: int


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Feet that no size fits for one reason, and what the middle one of them is like (medians, cm)."""

    reason: str
    feet: int
    girth: Fraction | None
    length: Fraction


@dataclass(frozen=True, slots=True)
class Coverage:
    """A range of sizes held against a population: who is served, who is left out, and the size that would help most.

    `add` is that size's foot, `added` how many more people it would serve; None where no size serves any more.
    """

    population: str
    source: str
    people: int
    served: int
    sizes: tuple[ServedBy, ...]
    left_out: tuple[LeftOut, ...] = ()
    add: Body | None = None
    added: int = 0


@dataclass(frozen=True, slots=True)
class Choice:
    """The sizes that fit the most people, beside as many evenly spaced ones; `candidates` counts the socks tried."""

    chosen: Coverage
    even: Coverage
    candidates: int
