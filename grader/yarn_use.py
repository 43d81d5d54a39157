"""How much yarn a knitted sock takes: its loops, counted in the test-knit, times the length of a loop."""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.vocabulary.loop_length import loop_length_cm

TAILS_AND_ENDS = 1.05  # 5 % for tails, joins and the gauge swatch: an estimate, common practice


@dataclass(frozen=True, slots=True)
class YarnUse:
    """Yarn for a pair: metres and grams, ends included."""

    metres_pair: float
    grams_pair: float


def yarn_for_pair(pattern: Pattern, record: Record) -> YarnUse:
    """Yarn for two socks like this one.

    The loop length follows from the gauge by the geometry of plain knitting (Munden 1959, wet-relaxed
    state, as a worn and washed sock is); slipped stitches take none. Ribs and edges are counted as plain.
    """
    loop = float(loop_length_cm(float(pattern.gauge.stitches), float(pattern.gauge.rounds)))
    metres = 2 * record.stitches * loop / 100 * TAILS_AND_ENDS
    return YarnUse(metres, metres * float(pattern.yarn.grams / pattern.yarn.metres))
