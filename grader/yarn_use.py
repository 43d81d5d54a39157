"""How much yarn a knitted sock takes: its loops, counted in the test-knit, times the length of a loop."""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.vocabulary.loop_length import loop_length_cm

TAILS_AND_ENDS = 1.05  # 5 % for tails, joins and the gauge swatch: an estimate, common practice


@dataclass(frozen=True, slots=True)
class ColourUse:
    """What a pair takes of one colour: metres and grams, ends included."""

    metres_pair: float
    grams_pair: float


@dataclass(frozen=True, slots=True)
class YarnUse:
    """Yarn for a pair: metres and grams, ends included; `by_colour` where there are several, adding up to them."""

    metres_pair: float
    grams_pair: float
    by_colour: dict[str, ColourUse]


def yarn_for_pair(pattern: Pattern, record: Record) -> YarnUse:
    """Yarn for two socks like this one, whole and by colour.

    The loop length follows from the gauge by the geometry of plain knitting (Munden 1959, wet-relaxed
    state, as a worn and washed sock is); slipped stitches take none. Ribs and edges are counted as plain,
    and of a yarn carried behind another only its own stitches.
    """
    loop = float(loop_length_cm(float(pattern.gauge.stitches), float(pattern.gauge.rounds)))
    metres = 2 * record.stitches * loop / 100 * TAILS_AND_ENDS
    if not pattern.colours:
        return YarnUse(metres, metres * float(pattern.yarn.grams / pattern.yarn.metres), {})
    loops = record.loops_by_colour()
    by_colour: dict[str, ColourUse] = {}
    for colour in pattern.colours:
        share = metres * loops.get(colour.name, 0) / record.stitches if record.stitches else 0.0
        by_colour[colour.name] = ColourUse(share, share * float(colour.grams / colour.metres))
    return YarnUse(metres, sum(each.grams_pair for each in by_colour.values()), by_colour)
