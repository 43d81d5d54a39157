"""How much yarn a pair takes: every worked line by the length of its stitches, put together by part and colour."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import hypot

from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine
from grader.models.yarn import PARTS, Amount, YarnUse
from grader.vocabulary.loop_length import loop_length_cm
from grader.vocabulary.techniques import WAYS
from grader.vocabulary.yarn_factors import beside, constants_give, hand, stitch_cm
from grader.yarn_use.lines import Gauged, Length, length_of

_FINISHING = ("graft", "gather", "bind_off")
_WORDS = {  # a word in the name of a section tells its part; the first that is found counts
    "heel": ("heel", "flap", "turn"),
    "toe": ("toe", "toes"),
    "foot": ("foot", "gusset", "instep", "sole"),
    "leg": ("leg", "calf", "ankle", "shin"),
    "cuff": ("cuff", "rib", "ribbing", "edge", "edging", "hem", "welt", "facing", "top", "border"),
}


def yarn_for_pair(pattern: Pattern, record: Record) -> YarnUse:
    """Yarn for two socks like this one: whole, by part and by colour, ends and swatch included.

    The length of a stitch follows from the gauge by the geometry of plain knitting (Munden 1959, wet relaxed, as a worn
    and washed sock is; see `grader/vocabulary/loop_length.py`), times what hands were found to take beyond it. Cables,
    slipped stitches, floats and edges have factors of their own, see `grader/data/yarn_use.yaml`. The range holds a
    count of the gauge that is half a stitch and half a round wrong, the states of the fabric from dry to fully relaxed,
    how far weighed pairs lay apart, and what is only estimated.
    """
    stitches, rounds = float(pattern.gauge.stitches), float(pattern.gauge.rounds)
    gauged = Gauged(stitch_cm(stitches, rounds), 1 / stitches)
    colours = tuple(colour.name for colour in pattern.colours) or ("",)
    closed = any(_is_closed(step.by) for section in pattern.sections for step in section.steps)
    parts = {colour: dict[str, Length]() for colour in colours}
    in_hand = colours[0]
    for line in record.lines:
        taken = length_of(line, gauged, closed)
        for colour, length in taken.items():
            if not length.cm:
                continue
            own, part = parts[colour or in_hand], part_of(line.section)
            own[part] = own.get(part, Length()) + length * (2 * line.times * line.block_times)
        in_hand = next((name for name, _ in reversed(line.yarns) if name), in_hand)
    ends = _ends(record.lines, colours)
    swatch = beside("swatch_cm") ** 2 * stitches * rounds * gauged.loop / 100
    base = hypot(constants_give(), _gauge_give(stitches, rounds), hand().give)
    ratio = {each.name: float(each.grams / each.metres) for each in pattern.colours}
    usual = float(pattern.yarn.grams / pattern.yarn.metres)
    uses = {
        colour: _use(
            parts[colour],
            2 * ends[colour] * beside("end_cm") / 100,
            swatch if colour == colours[0] else 0.0,
            base,
            ratio.get(colour, usual),
        )
        for colour in colours
    }
    return _together(uses) if pattern.colours else uses[""]


@lru_cache(maxsize=1024)
def part_of(section: str) -> str:
    """The part of the sock that a section belongs to, by its name; its own name in small letters where none fits."""
    words = set(re.findall(r"[^\W\d_]+", section.lower()))
    return next((part for part, known in _WORDS.items() if words & set(known)), section.lower())


def _is_closed(way: str) -> bool:
    return way in WAYS and WAYS[way].closed


def _gauge_give(stitches: float, rounds: float) -> float:
    """How much longer, as a share, a loop is if the gauge is as many stitches and rounds looser as a count may err."""
    wrong = beside("gauge_error") / 10
    loose = loop_length_cm(max(stitches - wrong, wrong), max(rounds - wrong, wrong))
    return float(loose / loop_length_cm(stitches, rounds)) - 1


def _ends(lines: Sequence[WorkedLine], colours: tuple[str, ...]) -> dict[str, int]:
    """The ends of each colour in one sock: two for each stretch that it is worked without a break.

    A yarn goes on from section to section while it is used in each, and is broken where the sock, or a heel put in
    last, is finished.
    """
    ends = dict.fromkeys(colours, 0)
    going: set[str] = set()
    for used, finished in _stretches(lines, colours):
        for colour in used - going:
            ends[colour] += 2
        going = set() if finished else used
    return ends


def _stretches(lines: Sequence[WorkedLine], colours: tuple[str, ...]) -> Iterator[tuple[set[str], bool]]:
    """The colours used in each section, and whether it ends with nothing on the needles."""
    for _, group in itertools.groupby(lines, key=lambda line: line.section):
        worked = [line for line in group if line.kind != "note"]
        used = {colour for line in worked for colour in line.loops_by_colour} or (
            set(colours[:1]) if len(colours) == 1 and worked else set()
        )
        if used:
            yield used, worked[-1].kind in _FINISHING and not worked[-1].after


def _use(parts: dict[str, Length], ends: float, swatch: float, base: float, ratio: float) -> YarnUse:
    order = (*(part for part in PARTS if part in parts), *(part for part in parts if part not in PARTS))
    metres = {part: parts[part].cm / 100 for part in order}
    whole = sum(metres.values()) + ends + swatch
    guessed = sum(length.give for length in parts.values()) / 100
    return YarnUse(
        whole,
        whole * ratio,
        {part: Amount(length, length * ratio) for part, length in metres.items()},
        Amount(ends, ends * ratio),
        Amount(swatch, swatch * ratio),
        hypot(base, guessed / whole) if whole else base,
    )


def _together(uses: dict[str, YarnUse]) -> YarnUse:
    """All colours as one."""
    order = dict.fromkeys(part for use in uses.values() for part in use.parts)
    parts = (*(part for part in PARTS if part in order), *(part for part in order if part not in PARTS))
    metres = sum(use.metres_pair for use in uses.values())
    return YarnUse(
        metres,
        sum(use.grams_pair for use in uses.values()),
        {part: sum((use.part(part) for use in uses.values()), Amount()) for part in parts},
        sum((use.ends for use in uses.values()), Amount()),
        sum((use.swatch for use in uses.values()), Amount()),
        sum(use.give * use.metres_pair for use in uses.values()) / metres if metres else 0.0,
        uses,
    )
