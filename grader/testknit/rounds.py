"""Working rounds, parts of rounds and pick-ups: what the stitches on the needles become."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from grader.models.instructions import Regions
from grader.models.record import Runs, Shaping
from grader.notation.tree import Group, Item, Line, Mark, Part, Repeat, Round, Run
from grader.testknit.needles import Needles, Outcome
from grader.testknit.rows import check_no_picks, close_piece, leave_piece
from grader.testknit.usual import past_the_start
from grader.testknit.walking import Marks, Pick, Stuck, Walked, add_run, afford, walk
from grader.vocabulary.budget import allowed


def work_round(needles: Needles, statement: Round, regions: Regions) -> Outcome:
    """A whole round, over all needles or needle by needle."""
    leave_piece(needles)
    if not needles.total:
        raise Stuck("misfit", "there are no stitches to work")
    if needles.by_markers and (0, "start") not in needles.markers:
        raise Stuck("marker", "the round does not begin at the marker of its start")
    if needles.usual is None and not needles.by_markers and len(needles.held) == 1:
        raise Stuck("marker", "nothing on the needle marks where the round starts")
    if needles.wrapped:
        raise Stuck("needles", "the round begins in the middle of a needle")
    before = needles.total
    if regions and sum(count for _, count in regions) != before:
        raise Stuck(
            "regions",
            f"the regions of the round have {sum(count for _, count in regions)} sts, on the needles are {before}",
            str(before),
            str(sum(count for _, count in regions)),
        )
    if len(statement.parts) == 1 and not statement.parts[0].needles and not statement.parts[0].each:
        walked = walk(statement.parts[0].line, before, 0, needles.marks(), False)
        _check_slipped(needles, statement.parts[0].line)
        needles.keep(walked.marks, walked.made)
        walks: list[Walked] = [walked]
    else:
        walks = _by_needles(needles, statement.parts)
    for walked in walks:
        check_no_picks(walked)
    return _outcome(before, needles, walks, regions)


def _check_slipped(needles: Needles, line: Line) -> None:
    """A round that speaks of markers slips each it comes to; that of the start in every such round, or in none."""
    items = list(itertools.islice(_one_by_one(line.items), allowed("operations") + 1))
    afford("operations", len(items))
    marks = [item for item in items if isinstance(item, Mark)]
    reaches = [item for item in items if isinstance(item, Run) and item.reach.to == "marker"]
    if not (marks or reaches):
        return
    ends = needles.by_markers and isinstance(items[-1], Mark)
    passed = sum(mark.kind != "pm" for mark in marks) - ends
    there = sum(kind != "start" for _, kind in needles.markers)
    if passed != there:
        raise Stuck("marker", f"{there} markers stand within the round, {passed} are slipped", str(there), str(passed))
    if not needles.by_markers:
        return
    if needles.slips_start not in (None, ends):
        raise Stuck("marker", "the marker of the start is slipped in one round and not in another")
    needles.slips_start = ends


def _one_by_one(items: tuple[Item, ...]) -> Iterator[Item]:
    """The items of a line with what is repeated so often written out."""
    for item in items:
        if isinstance(item, Group | Repeat) and isinstance(item.times, int):
            for _ in range(item.times):
                yield from _one_by_one(item.items)
        else:
            yield item


@lru_cache(maxsize=8192)
def _stretches(parts: tuple[Part, ...], there: int) -> tuple[tuple[int, Line], ...]:
    """How many of the needles `there` are worked as one stretch, and by which line; in their order."""
    stretches: dict[int, tuple[int, Part]] = {}
    for part in parts:
        if part.region and not part.needles and not part.each:
            raise Stuck("needles", f"the line does not say on which needles the {part.region} is")
        numbers = tuple(range(1, there + 1)) if part.each else part.needles
        groups = (numbers,) if part.as_one_stretch and not part.each else tuple((number,) for number in numbers)
        for group in groups:
            for number in group:
                if not 1 <= number <= there:
                    raise Stuck("needles", f"there is no needle {number}", found=str(there))
                if number in stretches:
                    raise Stuck("needles", f"needle {number} is worked twice in one round")
                stretches[number] = (group[0], part)
    firsts = [part.needles[0] for part in parts if part.needles]
    if firsts != sorted(firsts):
        raise Stuck("needles", "the needles are not named in the order in which they are worked")
    missing = [number for number in range(1, there + 1) if number not in stretches]
    if missing:
        raise Stuck("needles", f"needle {missing[0]} is not worked in this round")
    found: list[tuple[int, Line]] = []
    at = 0
    while at < there:
        size = sum(1 for number in stretches if stretches[number] == stretches[at + 1])
        found.append((size, stretches[at + 1][1].line))
        at += size
    return tuple(found)


def _by_needles(needles: Needles, parts: tuple[Part, ...]) -> list[Walked]:
    """Work the needles in their order; neighbours named together are one stretch."""
    if needles.by_markers:
        raise Stuck("needles", "the line names needles where all stitches are on one circular needle")
    held = needles.held
    stretches = _stretches(parts, len(held))
    walks: list[Walked] = []
    now: list[int] = []
    markers: list[tuple[int, str]] = []
    _check_slipped(needles, Line(tuple(item for part in parts for item in part.line.items)))
    at, begin = 0, 0
    for size, line in stretches:
        counts = held[at : at + size]
        joins = [(sum(counts[: index + 1]), "needle") for index in range(size - 1)]
        there = [(place - begin, kind) for place, kind in needles.markers if begin < place < begin + sum(counts)]
        walked = walk(line, sum(counts), 0, tuple(sorted(joins + there)), False)
        ends = [0, *(place for place, kind in walked.marks if kind == "needle"), walked.made]
        markers += [(sum(now) + place, kind) for place, kind in walked.marks if kind == "marker"]
        begin += sum(counts)
        now.extend(b - a for a, b in itertools.pairwise(ends))
        walks.append(walked)
        at += size
    needles.held, needles.total, needles.markers = tuple(now), sum(now), tuple(markers)
    return walks


def work_part_round(needles: Needles, statement: Round, spans: Regions) -> Outcome:
    """Work on from where the yarn is, over as much of the round as the line says; the round then starts there.

    Where the stretch that begins there goes on from the last needle (or none is known), what is worked joins it.
    """
    leave_piece(needles)
    named = [number for part in statement.parts for number in part.needles]
    if named and (needles.by_markers or named != list(range(1, len(named) + 1))):
        raise Stuck("needles", "the yarn is at the first needle", "1", str(named[0]))
    before = needles.total
    course = _course(needles, statement.parts, needles.marks())
    if course.made != course.used:
        used, made = str(course.used), str(course.made)
        raise Stuck("misfit", "a part of a round only moves the start; shape in whole rounds", used, made)
    for walked in course.walks:
        check_no_picks(walked)
    goes_on = not spans or (spans[0][0] == spans[-1][0] and any(name != spans[0][0] for name, _ in spans))
    needles.rotate(course.made % needles.total if needles.total else 0, goes_on)
    needles.turned = any(walked.turned for walked in course.walks)
    return _outcome(before, needles, course.walks, ())


def work_pick_up(needles: Needles, statement: Round) -> Outcome:
    """Round the edges of a piece, picking up, and on to where the line ends: there the round starts."""
    before, piece = needles.total, needles.piece
    after_piece = piece is not None and piece.next_side == "WS" and piece.yarn == piece.count
    if piece and after_piece:
        needles.roll(piece.count)
    marks = () if needles.by_markers else needles.marks()
    parts, lap = past_the_start(statement)
    course = _course(needles, parts, marks)
    if lap and course.used < before:
        parts, lap = statement.parts, None
        course = _course(needles, parts, marks)
    close_piece(needles, piece, course.picks)
    unworked = before - course.used
    if unworked and not after_piece:
        raise Stuck("unworked", f"leaves {unworked} sts unworked between the edges", str(before), str(course.used))
    _lay_out(needles, statement, course, unworked)
    walks, moved = course.walks, 0
    if lap:
        there = tuple((place, "marker") for place, _ in needles.markers)
        walked = walk(lap, needles.total, 0, there, True)
        if walked.made != walked.used:
            raise Stuck("misfit", "shape in whole rounds, after the pick-up", str(walked.used), str(walked.made))
        walks, moved = [*walks, walked], walked.made
        needles.rotate(moved % needles.total)
    return replace(_outcome(before, needles, walks, ()), forward=moved - unworked)


@dataclass(frozen=True, slots=True)
class _Course:
    """Parts of a line worked one after the other: stitches used and made, the edges picked up on the way.

    `owners` has for each part what it made and the joins of needles within it; `markers` lie as made.
    """

    walks: list[Walked]
    used: int
    made: int
    picks: list[Pick]
    owners: list[tuple[int, tuple[int, ...]]]
    markers: tuple[tuple[int, str], ...]
    start_at: int | None


def _course(needles: Needles, parts: tuple[Part, ...], marks: Marks) -> _Course:
    at, made, start_at = 0, 0, None
    walks: list[Walked] = []
    owners: list[tuple[int, tuple[int, ...]]] = []
    picks: list[Pick] = []
    markers: list[tuple[int, str]] = []
    for part in parts:
        there = tuple((place - at, mark) for place, mark in marks if place > at or (place == at and mark != "needle"))
        walked = walk(part.line, needles.total - at, 0, there, True)
        inner = [place for place, mark in walked.marks if mark == "needle" and place < walked.made]
        owners.append((walked.made, tuple(inner)))
        walks.append(walked)
        picks += [(edge, count, at + used, corner) for edge, count, used, corner in walked.picks]
        if walked.start_at is not None:
            start_at = made + walked.start_at
        markers += [
            (made + place, mark) for place, mark in walked.marks if mark in ("marker", "start") and place <= walked.made
        ]
        at += walked.used
        made += walked.made
    return _Course(walks, at, made, picks, owners, tuple(markers), start_at)


def _lay_out(needles: Needles, statement: Round, course: _Course, unworked: int) -> None:
    """After a pick-up: which needle holds what, or where the markers are. What was left unworked comes first."""
    needles.total = course.made + unworked
    if needles.by_markers:
        needles.markers = tuple((place + unworked, mark) for place, mark in course.markers)
        if course.start_at is None:
            raise Stuck("marker", "the line places no marker for the start of the round")
        return
    held: list[int] = []
    for count, inner in course.owners:
        ends = [0, *inner, count]
        held.extend(b - a for a, b in itertools.pairwise(ends))
    held[0] += unworked
    named = [number for part in statement.parts for number in part.needles]
    if not named and len(held) > 1:  # the last edge goes on to the needle that is free, or on to the first
        last = course.picks[-1][1]
        held[-1:] = [held[-1] - last, last]
    needles.wrapped = named[0] == named[-1] if len(named) > 1 else len(held) > needles.set_of > 1
    wanted = list(range(1, len(named) + 1))
    if named and needles.wrapped:
        wanted[-1] = 1
    if named and (wanted != named or len(held) != len(named)):
        raise Stuck("needles", "the needles named do not match the stitches on them", str(len(named)), str(len(held)))
    if named and needles.set_of and len(set(named)) != needles.set_of:
        other = str(len(set(named)))
        raise Stuck("needles", "other needles are named than there were before", str(needles.set_of), other)
    needles.held = tuple(held)


def _outcome(before: int, needles: Needles, walks: list[Walked], regions: Regions) -> Outcome:
    shaping = _joined_shaping(walks)
    return Outcome(
        before,
        needles.total,
        needles=needles.shown(),
        made=_joined_runs(each.runs for each in walks),
        shaping=shaping,
        loops=sum(each.loops for each in walks),
        regions=_shaped(regions, shaping),
        yarns=_joined_runs(each.yarns for each in walks),
    )


def _shaped(regions: Regions, shaping: tuple[Shaping, ...]) -> Regions:
    """The regions after a round: each has lost or won what was shaped in it."""
    counts, at = [], 0
    for name, count in regions:
        change = sum(each.width - each.takes for each in shaping if at <= each.taken < at + count)
        counts.append((name, count + change))
        at += count
    return tuple(counts)


def _joined_runs(several: Iterable[Runs]) -> Runs:
    joined: list[tuple[str, int]] = []
    for runs in several:
        for name, count in runs:
            add_run(joined, name, count)
    return tuple(joined)


def _joined_shaping(walks: list[Walked]) -> tuple[Shaping, ...]:
    shaping: list[Shaping] = []
    made, used = 0, 0
    for walked in walks:
        if made or used:
            shaping.extend(replace(each, before=each.before + made, taken=each.taken + used) for each in walked.shaping)
        else:
            shaping.extend(walked.shaping)
        made += walked.made
        used += walked.used
    return tuple(shaping)
