"""The log of one knitted size, as it is kept beside the pattern: `Sample` is the same, read back."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grader.models.instructions import Claim
from grader.models.pattern import Gauge
from grader.vocabulary.quantities import Quantity


@dataclass(frozen=True, slots=True)
class SectionLog:
    """One section as it was worked: stitches after each round and row, how many of each kind, what sentences state."""

    name: str
    counts: tuple[int, ...]
    stitches: tuple[tuple[str, int], ...]
    sentences: tuple[Claim, ...]


@dataclass(frozen=True, slots=True)
class SampleLog:
    """One size: its numbers, its measures as knitted (cm), metres and grams of a pair, gauges, and its sections."""

    size: str
    numbers: tuple[tuple[str, Quantity], ...]
    measures: tuple[tuple[str, Fraction], ...]
    yarn: tuple[tuple[str, float], ...]
    gauges: tuple[tuple[str, Gauge], ...]
    sections: tuple[SectionLog, ...]
