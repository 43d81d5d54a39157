"""A pattern at another gauge beside the same pattern at its own."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grader.models.graded import Graded
from grader.models.pattern import Gauge, Yarn
from grader.models.record import Record


@dataclass(frozen=True, slots=True)
class KnitSize:
    """One size as graded and knitted through, and what a pair of it takes."""

    graded: Graded
    record: Record
    metres: float
    grams: float


@dataclass(frozen=True, slots=True)
class SizeFigures:
    """What is told of one size at one gauge; None where it has no such figure."""

    cast_on: int | None
    around: Fraction | None
    ease: Fraction | None
    metres: float
    grams: float


@dataclass(frozen=True, slots=True)
class SizeChange:
    """One size before and after; `after` is None where it can't be graded, `why` what stands in its way."""

    size: str
    before: SizeFigures | None
    after: SizeFigures | None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Regrade:
    """All that another gauge changes. `alike` are sizes that become one sock; `sound` those that can be printed.

    `yarn_given` is True where the knitter named the new yarn, and False where it was found to suit the gauge.
    """

    old: Gauge
    new: Gauge
    old_yarn: Yarn
    new_yarn: Yarn
    sizes: tuple[SizeChange, ...]
    alike: tuple[tuple[str, ...], ...]
    sound: tuple[str, ...]
    yarn_given: bool = False
