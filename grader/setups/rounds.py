"""Writing out rounds: whole rounds, rounds by region, repeats, and the change of needles they force."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from grader.models.instructions import Block, PrintedLine, Regions
from grader.models.pattern import Step, StitchPattern, Written
from grader.notation.counting import MisfitError, SplitError, Stretch, resolve, split
from grader.notation.multiples import left_between
from grader.notation.tree import Line, Part, Round, Run
from grader.setups.desk import REARRANGE, Desk
from grader.setups.panels import (
    centred,
    check_columns,
    even_out,
    fabric_of,
    make_ready,
    next_round,
    note_columns,
    on_whole_needles,
    rounds_of,
    rounds_per_cm,
    settle_for,
)
from grader.setups.phrasing import leaves_by_piece, needle_pieces, phrase
from grader.vocabulary.quantities import nearest_count

Key = tuple[int, ...]
CHANGED = 10_000  # the phase of a repeat from which other needles are in use


def how_often(desk: Desk, step: Step) -> tuple[int, Fraction | None]:
    """How many rounds a step takes, and the length it was asked for in cm, if it was."""
    if step.length is not None:
        length = desk.length(step.length, step.span)
        if length < 0:
            raise desk.refuse("length", f"the length comes to {float(length):.1f} cm", step.span)
        number = nearest_count(length * rounds_per_cm(desk.pattern, desk.work(step)))
        desk.afford("rounds", number, step.span)
        return number, length
    if step.times is not None:
        return desk.count(step.times, step.span, "rounds"), None
    return 1, None


def write_rounds(desk: Desk, step: Step, key: Key) -> None:
    """`round` and `rounds` so often: whole, by region, or in a stitch pattern."""
    number, length = how_often(desk, step)
    if patterns_of(desk, step):
        _in_pattern(desk, step, key, number, length)
        return
    if number == 0:
        return
    marked = desk.hands.marked
    line = work_round(desk, step, key)
    if desk.hands.marked != marked and number > 1:  # the first such round places the markers
        desk.put((*key, -1), (line,), step, last=False, length=length)
        number, length, step = number - 1, None, replace(step, say=None, why=None)
        line = work_round(desk, step, key)
    changed = dict(desk.hands.regions) != _summed(line.regions)
    for _ in range(number - 1 if changed else 0):
        if work_round(desk, step, key).text != line.text:
            raise desk.refuse("repeat", "the words change from round to round; write it as a repeat", step.span)
    desk.put(
        (*key, 0),
        (line,),
        step,
        times=number,
        length=length,
        leaves=desk.regions(step.leaves),
        stated=desk.hands.total if changed else None,
    )


def _summed(spans: Regions) -> dict[str, int]:
    counts: dict[str, int] = {}
    for name, count in spans:
        counts[name] = counts.get(name, 0) + count
    return counts


def _in_pattern(desk: Desk, step: Step, key: Key, number: int, length: Fraction | None) -> None:
    """So many rounds of one or more stitch patterns: what ends a repeat begun before, whole repeats, what is over.

    Each round outside whole repeats is a block of its own, named by its place in the repeat: so sizes that begin or
    end at other rounds still stand beside each other.
    """
    patterns = patterns_of(desk, step)
    cycle = math.lcm(*(len(pattern.rounds) for pattern in patterns))
    done = desk.hands.rounds_in.get(patterns[0].name, 0)
    begun = done % cycle
    before = len(desk.blocks)
    make_ready(desk, step, key)
    groups: list[_Group] = [_Group(-4 * cycle, _taken(desk, before))]
    first = [place - 3 * cycle for place in range(begun, cycle if begun else 0)][:number]
    if number and cycle > 1 and not done and desk.work(step).by_region and _places_markers(desk):
        first = [-2]  # by itself, as only this one is told by counts
    groups += [_worked(desk, step, key, phase, 1) for phase in first]
    left = number - len(first)
    phase = 0
    while left >= cycle:
        held = desk.hands.held_now()
        group = _worked(desk, step, key, phase, cycle)
        left -= cycle
        if desk.hands.held_now() == held:  # the next repeats are like this one
            group = replace(group, times=1 + left // cycle)
            left %= cycle
        groups.append(group)
        phase += 1
    groups += [_worked(desk, step, key, CHANGED // 2 + place, 1) for place in range(left)]
    _put_groups(desk, step, key, groups, length, apart=cycle > 1)


@dataclass(frozen=True, slots=True)
class _Group:
    """Lines that are told together, `times` over, and what must be moved before them."""

    phase: int
    moved: tuple[Block, ...]
    lines: tuple[PrintedLine, ...] = ()
    times: int = 1


def _taken(desk: Desk, before: int) -> tuple[Block, ...]:
    moved = tuple(desk.blocks[before:])
    del desk.blocks[before:]
    return moved


def _worked(desk: Desk, step: Step, key: Key, phase: int, rounds: int) -> _Group:
    before = len(desk.blocks)
    lines = tuple(work_round(desk, step, key) for _ in range(rounds))
    return _Group(phase, _taken(desk, before), lines)


def _put_groups(desk: Desk, step: Step, key: Key, groups: list[_Group], length: Fraction | None, apart: bool) -> None:
    """The groups as blocks. What is said stands by itself (`apart`) where sizes may begin and end at other rounds."""
    told = step
    if apart:
        told = replace(step, say=None, why=None, check=None)
        if step.say or step.why:
            desk.put_words((*key, -CHANGED), say=[step.say] if step.say else [], why=[step.why] if step.why else [])
    worked = [group for group in groups if group.lines]
    for group in groups:
        desk.blocks += [replace(block, key=(*key, group.phase, -1, place)) for place, block in enumerate(group.moved)]
        if group.lines:
            is_last = group is worked[-1]
            desk.put(
                (*key, group.phase, 0),
                group.lines,
                told,
                first=group is worked[0],
                last=is_last,
                times=group.times,
                length=length if group is worked[0] else None,
                leaves=desk.regions(step.leaves) if is_last else (),
            )
    if apart and step.check:
        desk.put_words((*key, CHANGED), check=[step.check])


def _places_markers(desk: Desk) -> bool:
    """True if the next round by regions tells them by counts, and puts markers between."""
    hands = desk.hands
    return not hands.marked and len(hands.regions) > 1 and (hands.setup.marker or len(hands.regions) > 2)


def patterns_of(desk: Desk, step: Step) -> list[StitchPattern]:
    """The stitch patterns a step works in, over the whole round or in some regions."""
    work = desk.work(step)
    names = dict.fromkeys((work.in_pattern, *(written.in_pattern for _, written in work.by_region)))
    return [rounds_of(desk, step, name) for name in names if name]


def _pattern_round(desk: Desk, step: Step, key: Key, pattern: StitchPattern) -> PrintedLine:
    written, hands = next_round(desk, pattern), desk.hands
    line = _over(desk, desk.read_plain(written), hands.total, pattern, written)
    make_ready(desk, step, key)
    note_columns(desk, pattern)
    regions = hands.spans()
    _work_whole(desk, line, step, written.text)
    return desk.printed(
        Round((Part(line),)),
        "round",
        written.span,
        regions=regions,
        fabric=pattern.name,
        round_of=_round_of(desk, pattern),
    )


def work_round(desk: Desk, step: Step, key: Key) -> PrintedLine:
    """Work one round of a step in the hands and give its printed line."""
    hands, work = desk.hands, desk.work(step)
    hands.worked += 1
    desk.afford("rounds", hands.worked, step.span)
    if not hands.setup.marker and len(hands.needles) < hands.setup.needles <= hands.total // 2:
        before = hands.needles
        hands.settle()  # after a piece on one needle, the needle left over comes into use again
        desk.arrange((*key, -2), REARRANGE, step.span, before=before)
    if work.in_pattern:
        return _pattern_round(desk, step, key, rounds_of(desk, step, work.in_pattern))
    if work.whole is not None:
        line = desk.read_plain(work.whole)
        if line != _KNIT:
            even_out(desk, (*key, -1), step.span)
            on_whole_needles(desk, (*key, -1), step.span, line)
        regions = hands.spans()
        _work_whole(desk, line, step, work.whole.text)
        return desk.printed(Round((Part(line),)), "round", work.whole.span, regions=regions)
    patterns = {pattern.name: pattern for pattern in patterns_of(desk, step)}
    now = {pattern.name: next_round(desk, pattern) for pattern in patterns.values()}
    lines = {name: desk.read_plain(now.get(written.in_pattern, written)) for name, written in work.by_region}
    fabric = fabric_of(work.by_region)
    for name, written in work.by_region:
        if not hands.count_of(name):
            there = ", ".join(region for region, _ in hands.regions)
            raise desk.refuse("region", f"there are no {name} sts here; there are {there}", written.span)
    worked = {name: patterns[written.in_pattern] for name, written in work.by_region if written.in_pattern}
    for name, pattern in worked.items():
        check_columns(desk, name, pattern, step.span)
        lines[name] = _over(desk, lines[name], hands.count_of(name), pattern, now[pattern.name])
    lines = {name: lines.get(name, _KNIT) for name, _ in hands.regions}
    settle_for(desk, (*key, -1), step.span, worked)
    regions = hands.spans()
    try:
        resolved = {name: resolve(lines[name], count) for name, count in hands.regions}
        pieces = [] if hands.setup.marker else needle_pieces(hands, resolved)
        statement = phrase(hands, lines, resolved, pieces)
        if not hands.setup.marker:
            hands.needles = leaves_by_piece(pieces)
        _move_start(desk, resolved)
    except (MisfitError, SplitError) as mistake:
        texts = "; ".join(f"{name}: {written.text}" for name, written in work.by_region)
        raise desk.refuse("misfit", f"{mistake} ({_counts(hands.regions)})", step.span, line=texts) from None
    hands.set_counts({name: sum(each.leaves for each in stretches) for name, stretches in resolved.items()})
    told = _round_of(desk, next(iter(worked.values()))) if worked else 0
    return desk.printed(statement, "round", step.span, regions=regions, fabric=fabric, round_of=told)


def _round_of(desk: Desk, pattern: StitchPattern) -> int:
    """Which round of a stitch pattern has just been worked, from 1."""
    return (desk.hands.rounds_in[pattern.name] - 1) % len(pattern.rounds) + 1


def _over(desk: Desk, line: Line, count: int, pattern: StitchPattern, written: Written) -> Line:
    """The round of a stitch pattern over so many stitches, with what is plain at its sides."""
    try:
        return centred(line, count, pattern)
    except MisfitError as mistake:
        raise desk.refuse("misfit", f"{pattern.label} {mistake}", written.span, line=written.text) from None


_KNIT = Line((Run("k"),))


def _counts(regions: Regions) -> str:
    return ", ".join(f"{name} {count} sts" for name, count in regions)


def _move_start(desk: Desk, resolved: dict[str, tuple[Stretch, ...]]) -> None:
    """Where the start lies inside a region, keep it at the same stitch after the round."""
    hands, before, new_start = desk.hands, 0, 0
    for name, count in hands.regions:
        if before + count <= hands.start:
            new_start += sum(each.leaves for each in resolved[name])
        elif before < hands.start:
            head = hands.start - before
            new_start += sum(each.leaves for each in split(resolved[name], (head,))[0])
        before += count
    hands.start = new_start


def _work_whole(desk: Desk, line: Line, step: Step, text: str) -> None:
    """Work one line over the whole round: follow it through regions and needles."""
    hands = desk.hands
    try:
        stretches = resolve(line, hands.total)
    except MisfitError as mistake:
        raise desk.refuse(
            "misfit", str(mistake), step.span, line=text, expected=str(hands.total), found=str(mistake.asked)
        ) from None
    if all(stretch.takes == stretch.leaves for stretch in stretches):
        return
    joins = _joins(hands.needles)
    try:
        if not hands.setup.marker:
            hands.needles = tuple(sum(each.leaves for each in piece) for piece in split(stretches, joins))
        ends = _joins(tuple(count for _, count in hands.spans()))
        pieces = left_between(Line(tuple(stretch.item for stretch in stretches)), ends)
    except SplitError as mistake:
        raise desk.refuse(
            "straddle", f"{mistake}", step.span, line=text, mend="make the repeat divide the stitches of each needle"
        ) from None
    counts: dict[str, int] = {}
    spans = hands.spans()
    for (name, _), made in zip(spans, pieces, strict=True):
        counts[name] = counts.get(name, 0) + made
    before = [name for name, _ in hands.regions[: hands.started_in()]]
    head = pieces[-1] if len(spans) > len(hands.regions) else 0
    hands.start = sum(counts[name] for name in before) + head
    hands.set_counts(counts)


def _joins(counts: tuple[int, ...]) -> tuple[int, ...]:
    at, joins = 0, []
    for count in counts[:-1]:
        at += count
        joins.append(at)
    return tuple(joins)
