"""Working rounds, parts of rounds and pick-ups: what the stitches on the needles become."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

from grader.models.instructions import Regions
from grader.models.record import Runs, Shaping
from grader.notation.tree import Group, Item, Line, Mark, Part, Repeat, Round, Run
from grader.testknit.needles import Needles, Outcome
from grader.testknit.rows import close_piece, leave_piece
from grader.testknit.walking import Stuck, Walked, walk


def work_round(needles: Needles, statement: Round, regions: Regions) -> Outcome:
    """A whole round, over all needles or needle by needle."""
    leave_piece(needles)
    if not needles.total:
        raise Stuck("misfit", "there are no stitches to work")
    if needles.by_markers and (0, "start") not in needles.markers:
        raise Stuck("marker", "the round does not begin at the marker of its start")
    if needles.wrapped:
        raise Stuck("needles", "the round begins in the middle of a needle")
    before = needles.total
    if sum(count for _, count in regions) != before:
        raise Stuck(
            "regions",
            f"the regions of the round have {sum(count for _, count in regions)} sts, on the needles are {before}",
            str(before),
            str(sum(count for _, count in regions)),
        )
    if len(statement.parts) == 1 and not statement.parts[0].needles and not statement.parts[0].each:
        _check_slipped(needles, statement.parts[0].line)
        walked = walk(statement.parts[0].line, before, 0, needles.marks(), False)
        needles.keep(walked.marks, walked.made)
        walks: list[Walked] = [walked]
    else:
        walks = _by_needles(needles, statement.parts)
    return _outcome(before, needles, walks, regions)


def _check_slipped(needles: Needles, line: Line) -> None:
    """A round that speaks of markers slips each it comes to; that of the start in every such round, or in none."""
    items = list(_one_by_one(line.items))
    marks = [item for item in items if isinstance(item, Mark)]
    reaches = [item for item in items if isinstance(item, Run) and item.reach.to == "marker"]
    if not needles.by_markers or not (marks or reaches):
        return
    ends = isinstance(items[-1], Mark)
    passed = sum(mark.kind != "pm" for mark in marks) - ends
    there = sum(kind != "start" for _, kind in needles.markers)
    if passed != there:
        raise Stuck("marker", f"{there} markers stand within the round, {passed} are slipped", str(there), str(passed))
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


def _by_needles(needles: Needles, parts: tuple[Part, ...]) -> list[Walked]:
    """Work the needles in their order; neighbours named together are one stretch."""
    if needles.by_markers:
        raise Stuck("needles", "the line names needles where all stitches are on one circular needle")
    held = needles.held
    stretches: dict[int, tuple[int, Part]] = {}
    for part in parts:
        if part.region and not part.needles and not part.each:
            raise Stuck("needles", f"the line does not say on which needles the {part.region} is")
        numbers = tuple(range(1, len(held) + 1)) if part.each else part.needles
        groups = (numbers,) if part.as_one_stretch and not part.each else tuple((number,) for number in numbers)
        for group in groups:
            for number in group:
                if not 1 <= number <= len(held):
                    raise Stuck("needles", f"there is no needle {number}", found=str(len(held)))
                if number in stretches:
                    raise Stuck("needles", f"needle {number} is worked twice in one round")
                stretches[number] = (group[0], part)
    missing = [number for number in range(1, len(held) + 1) if number not in stretches]
    if missing:
        raise Stuck("needles", f"needle {missing[0]} is not worked in this round")
    walks: list[Walked] = []
    now: list[int] = []
    at = 0
    while at < len(held):
        first, part = stretches[at + 1]
        size = sum(1 for number in stretches if stretches[number] == (first, part))
        counts = held[at : at + size]
        joins = tuple((sum(counts[: index + 1]), "needle") for index in range(size - 1))
        walked = walk(part.line, sum(counts), 0, joins, False)
        ends = [0, *(place for place, kind in walked.marks if kind == "needle"), walked.made]
        now.extend(b - a for a, b in itertools.pairwise(ends))
        walks.append(walked)
        at += size
    needles.held, needles.total = tuple(now), sum(now)
    return walks


def work_part_round(needles: Needles, statement: Round, kind: str) -> Outcome:
    """Work on from where the yarn is, over as much of the round as the line says, picking up at edges."""
    before = needles.total
    piece = needles.piece
    marks, at, made = needles.marks(), 0, 0
    runs: list[Walked] = []
    if kind == "pick_up" and needles.by_markers:
        marks = ()
    owners: list[tuple[int, tuple[int, ...]]] = []
    picks: list[tuple[str, int, int]] = []
    for part in statement.parts:
        there = tuple((place - at, mark) for place, mark in marks if place > at or (place == at and mark != "needle"))
        walked = walk(part.line, before - at, 0, there, True)
        inner = [place for place, mark in walked.marks if mark == "needle" and place < walked.made]
        owners.append((walked.made, tuple(inner)))
        runs.append(walked)
        picks += [(edge, count, at + used) for edge, count, used in walked.picks]
        at += walked.used
        made += walked.made
    start_at, shift = None, 0
    markers: list[tuple[int, str]] = []
    for walked in runs:
        if walked.start_at is not None:
            start_at = shift + walked.start_at
        markers += [
            (shift + place, mark)
            for place, mark in walked.marks
            if mark in ("marker", "start") and place <= walked.made
        ]
        shift += walked.made
    if kind == "pick_up":
        close_piece(needles, piece, picks)
        if at != before:
            raise Stuck("unworked", f"leaves {before - at} sts unworked between the edges", str(before), str(at))
        _lay_out(needles, statement, owners, made, markers, start_at)
    elif made != at:
        raise Stuck("misfit", "a part of a round only moves the start; shape in whole rounds", str(at), str(made))
    else:
        needles.rotate(made % needles.total if needles.total else 0)
    return _outcome(before, needles, runs, ())


def _lay_out(
    needles: Needles,
    statement: Round,
    owners: list[tuple[int, tuple[int, ...]]],
    made: int,
    markers: list[tuple[int, str]],
    start_at: int | None,
) -> None:
    """After a pick-up: which needle holds what, or where the markers are."""
    needles.total = made
    if needles.by_markers:
        needles.markers = tuple(markers)
        if start_at is None:
            raise Stuck("marker", "the line places no marker for the start of the round")
        return
    held: list[int] = []
    for count, inner in owners:
        ends = [0, *inner, count]
        held.extend(b - a for a, b in itertools.pairwise(ends))
    named = [number for part in statement.parts for number in part.needles]
    needles.wrapped = len(named) > 1 and named[0] == named[-1]
    wanted = list(range(1, len(named) + 1))
    if needles.wrapped:
        wanted[-1] = 1
    if named and (wanted != named or len(held) != len(named)):
        raise Stuck("needles", "the needles named do not match the stitches on them", str(len(named)), str(len(held)))
    if named and needles.set_of and len(set(named)) != needles.set_of:
        raise Stuck("needles", "other needles are named than were cast on to", str(needles.set_of), str(len(set(named))))
    needles.held = tuple(held)


def _outcome(before: int, needles: Needles, walks: list[Walked], regions: Regions) -> Outcome:
    shaping = _joined_shaping(walks)
    return Outcome(
        before,
        needles.total,
        needles=needles.shown(),
        made=_joined_runs(walks),
        shaping=shaping,
        loops=sum(each.loops for each in walks),
        regions=_shaped(regions, shaping),
    )


def _shaped(regions: Regions, shaping: tuple[Shaping, ...]) -> Regions:
    """The regions after a round: each has lost or won what was shaped in it."""
    counts, at = [], 0
    for name, count in regions:
        change = sum(each.width - each.takes for each in shaping if at <= each.taken < at + count)
        counts.append((name, count + change))
        at += count
    return tuple(counts)


def _joined_runs(walks: list[Walked]) -> Runs:
    runs: list[tuple[str, int]] = []
    for walked in walks:
        for name, count in walked.runs:
            if runs and runs[-1][0] == name:
                runs[-1] = (name, runs[-1][1] + count)
            else:
                runs.append((name, count))
    return tuple(runs)


def _joined_shaping(walks: list[Walked]) -> tuple[Shaping, ...]:
    shaping: list[Shaping] = []
    made, used = 0, 0
    for walked in walks:
        shaping.extend(replace(each, before=each.before + made, taken=each.taken + used) for each in walked.shaping)
        made += walked.made
        used += walked.used
    return tuple(shaping)
