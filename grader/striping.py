"""Where the stripes of a yarn come to lie: the worked record laid along the yarn, line by line.

Rounds of a stripe = its metres / (stitches of a round x metres per stitch): the trade's rule, here with the stitches
that each line really makes. The metres per stitch follow from the gauge (`stitch_cm` of
`grader/vocabulary/yarn_factors.py`), so they are an estimate until a swatch is unravelled and measured.
"""

from __future__ import annotations

import bisect
import itertools
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine
from grader.models.stripes import Ask, Laid, PartRounds, Pass, Share, StripedPair, StripedSock
from grader.vocabulary.yarn_factors import stitch_cm

_WORDS = (
    ("toe", ("toe",)),
    ("heel", ("heel", "flap", "turn")),
    ("gusset", ("gusset",)),
    ("cuff", ("cuff", "facing", "welt")),
    ("leg", ("leg",)),
    ("foot", ("foot", "instep", "sole")),
)
_COUNTED = ("round", "row")
_TAIL_WIDTHS, _TO_WEAVE_IN = 3, Fraction(15, 100)  # a tail is 3 x the edge and 15 cm: an estimate, common practice
_NONE, _ALL = Fraction(0), Fraction(1)
_CLOSING = Fraction(30, 100)  # metres to close a toe and weave the end in: an estimate, common practice


def stripe_pair(pattern: Pattern, graded: Graded, records: Sequence[Record], ask: Ask) -> StripedPair:
    """Lay both socks along the yarn, the second begun at the same place of the repeat as the first.

    Args:
        pattern: its gauge gives the metres per stitch. In a pattern of several colours the striping yarn takes the
            place of the first; the others work what they work.
        records: the sock as knitted; or the left and the right one, where they differ.
        ask: the yarn. Its repeat holds more than no yarn; its contrast names sections of the sock.
    """
    metres = stitch_metres(pattern)
    first, second = (_laid_out(record, pattern, ask, metres) for record in (records[0], records[-1]))
    width = _edge(records[0]) / pattern.gauge.stitches / 100
    tail, closing = ask.tail, ask.closing
    if tail is None:
        own = bool(first.passes and first.passes[0].loops)
        tail = (_named(graded, "tail") or _TAIL_WIDTHS * width + _TO_WEAVE_IN) if own else _TO_WEAVE_IN
    if closing is None:
        own = bool(first.passes and first.passes[-1].loops)
        closing = _closing(pattern, graded, records[0]) if own else _TO_WEAVE_IN
    others = sum((each.other for sock in (first, second) for each in sock.passes), 0)
    main = pattern.colours[0] if pattern.colours else pattern.yarn
    return StripedPair(
        ask=ask,
        first=first,
        second=second,
        parts=_parts(first),
        metres_per_stitch=metres,
        tail=tail,
        closing=closing,
        wound_off=-(first.metres + closing + tail) % ask.length,
        other=others * metres,
        ball=ask.ball if ask.ball is not None else main.metres,
    )


def stitch_metres(pattern: Pattern) -> Fraction:
    """Metres of yarn in one stitch at the gauge of the pattern (`stitch_cm`; an estimate for ribs)."""
    return Fraction(stitch_cm(float(pattern.gauge.stitches), float(pattern.gauge.rounds))) / 100


def _named(graded: Graded, name: str) -> Fraction | None:
    """A length among the pattern's numbers, in metres."""
    value = graded.names.get(name)
    return value.amount / 100 if value is not None and value.is_length else None


def _edge(record: Record) -> int:
    """The stitches cast on."""
    return next((line.after or 0 for line in record.lines if line.kind == "cast_on"), 0)


def _closing(pattern: Pattern, graded: Graded, record: Record) -> Fraction:
    """The yarn after the last stitch: as the pattern says, or for an edge cast off three times its width."""
    told = _named(graded, "graft_tail")
    if told is not None:
        return told
    off = next((line.before or 0 for line in record.lines if line.kind == "bind_off"), 0)
    if off:
        return _TAIL_WIDTHS * off / pattern.gauge.stitches / 100 + _TO_WEAVE_IN
    return _CLOSING


def _laid_out(record: Record, pattern: Pattern, ask: Ask, metres: Fraction) -> StripedSock:
    passes = tuple(_passes(record, pattern, ask, metres))
    return StripedSock(ask.start % ask.length, passes, tuple(_stripes(passes, ask)))


def _passes(record: Record, pattern: Pattern, ask: Ask, metres: Fraction) -> Iterator[Pass]:
    """Every round, row and edge by itself, in working order; what makes no stitches is left out."""
    main = pattern.colours[0].name if pattern.colours else ""
    counts: dict[str, int] = {}
    made = 0
    part = "leg"
    for line in record.in_order():
        part = _part(line, part)
        own = line.loops_by_colour.get(main, 0) if main else line.loops
        if line.section in ask.contrast:
            own = 0
        for _ in range(line.times):
            counted = line.kind in _COUNTED
            counts[line.section] = counts.get(line.section, 0) + counted
            if not line.loops:
                continue
            number = counts[line.section] if counted else 0
            begin, end = made * metres, (made + own) * metres
            yield Pass(line.section, part, line.kind, number, own, line.loops - own, begin, end)
            made += own


def _part(line: WorkedLine, before: str) -> str:
    """Which part of a sock a section is, by a word of its name; else the heel if worked to and fro, else as before."""
    words = set(re.findall(r"[a-z]+", line.section.lower()))
    named = next((part for part, known in _WORDS if words.intersection(known)), "")
    return named or ("heel" if line.over else before)


def _stripes(passes: Sequence[Pass], ask: Ask) -> Iterator[Laid]:
    """The yarn of a sock cut at every change of colour, each piece with its shares of the passes."""
    whole = passes[-1].end if passes else Fraction(0)
    own = [(at, each) for at, each in enumerate(passes) if each.loops]
    ends = [each.end for _, each in own]
    bounds = list(itertools.accumulate((each.metres for each in ask.repeat), initial=Fraction(0)))
    place = ask.start % ask.length
    index = bisect.bisect_right(bounds, place) - 1
    begin = Fraction(0)
    until = bounds[index + 1] - place
    while begin < whole:
        end = min(until, whole)
        shares = []
        for at, each in itertools.islice(own, bisect.bisect_right(ends, begin), None):
            if each.begin >= end:
                break
            # most passes lie wholly in a stripe: nothing to divide
            first = _NONE if begin <= each.begin else (begin - each.begin) / (each.end - each.begin)
            last = _ALL if each.end <= end else (end - each.begin) / (each.end - each.begin)
            shares.append(Share(at, first, last))
        yield Laid(index, begin, end, tuple(shares))
        index = (index + 1) % len(ask.repeat)
        begin, until = end, until + ask.repeat[index].metres


def _parts(sock: StripedSock) -> tuple[PartRounds, ...]:
    """The sections that have rounds or rows in the striping yarn."""
    found = []
    for section, group in itertools.groupby(sock.passes, key=lambda each: each.section):
        lines = [each for each in group if each.kind in _COUNTED]
        rows = bool(lines) and lines[0].kind == "row"
        size = 2 if rows else 1
        sums = [lines[at : at + size] for at in range(0, len(lines), size)]
        stitches = [Fraction(sum(each.loops for each in pair), len(pair)) for pair in sums]
        striped = [each for each in stitches if each]
        if striped:
            found.append(PartRounds(section, rows, len(lines), min(striped), max(striped)))
    return tuple(found)
