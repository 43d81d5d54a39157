"""Writing out rounds: whole rounds, rounds by region, repeats, and the change of needles they force."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction

from grader.models.instructions import PrintedLine, Regions
from grader.models.pattern import Step, StitchPattern, Written
from grader.notation.counting import MisfitError, SplitError, Stretch, repeat_of, resolve, split
from grader.notation.tree import Line, Part, Round, Run
from grader.setups.desk import Desk
from grader.setups.holding import OFF_THE_CIRCULAR, SET_OF_5, whole_repeats
from grader.setups.phrasing import leaves_by_piece, needle_pieces, phrase
from grader.vocabulary.needles import setup_needles
from grader.vocabulary.quantities import nearest_count

Key = tuple[int, ...]
MOST_ROUNDS = 2000
CHANGED = 10_000  # the phase of a repeat from which other needles are in use


def how_often(desk: Desk, step: Step) -> tuple[int, Fraction | None]:
    """How many rounds a step takes, and the length it was asked for in cm, if it was."""
    if step.length is not None:
        length = desk.length(step.length, step.span)
        if length < 0:
            raise desk.refuse("length", f"the length comes to {float(length):.1f} cm", step.span)
        return nearest_count(length * desk.pattern.gauge.rounds), length
    if step.times is not None:
        times = desk.count(step.times, step.span)
        if times > MOST_ROUNDS:
            raise desk.refuse("times", f"{times} times is more than any sock needs", step.span)
        return times, None
    return 1, None


def write_rounds(desk: Desk, step: Step, key: Key) -> None:
    """`round` and `rounds`: whole, by region, or in a stitch pattern."""
    if step.until is not None:
        once = replace(step, until=None, times=None, say=None, why=None, check=None, leaves=())
        write_repeat(desk, replace(step, steps=(once,)), key)
        return
    number, length = how_often(desk, step)
    if _patterns_of(desk, step):
        _in_pattern(desk, step, key, number, length)
        return
    if number == 0:
        return
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
    """So many rounds of one or more stitch patterns: whole cycles together, what is over by itself."""
    cycle = math.lcm(*(len(pattern.rounds) for pattern in _patterns_of(desk, step)))
    groups: list[tuple[tuple[PrintedLine, ...], int]] = []
    left = number
    while left:
        before = desk.hands.held_now()
        lines = tuple(work_round(desk, step, key) for _ in range(min(cycle, left)))
        left -= len(lines)
        times = 1
        if len(lines) == cycle and desk.hands.held_now() == before:  # the next cycles are like this one
            times += left // cycle
            left %= cycle
        groups.append((lines, times))
    whole = sum(len(lines) == cycle for lines, _ in groups)
    for place, (lines, times) in enumerate(groups):
        is_last = place == len(groups) - 1
        desk.put(
            (*key, place - whole + 1 if place >= whole - 1 else place - whole),
            lines,
            step,
            first=place == 0,
            last=is_last,
            times=times,
            length=length if place == 0 else None,
            leaves=desk.regions(step.leaves) if is_last else (),
        )


def _patterns_of(desk: Desk, step: Step) -> list[StitchPattern]:
    """The stitch patterns a step works in, over the whole round or in some regions."""
    work = desk.work(step)
    names = dict.fromkeys((work.in_pattern, *(written.in_pattern for _, written in work.by_region)))
    return [_rounds_of(desk, step, name) for name in names if name]


def _rounds_of(desk: Desk, step: Step, name: str) -> StitchPattern:
    pattern = desk.pattern.stitch_pattern(name)
    if pattern is None or not pattern.rounds:
        raise desk.refuse("stitch-pattern", f"there are no rounds of a stitch pattern {name!r}", step.span)
    return pattern


def _pattern_round(desk: Desk, step: Step, key: Key, pattern: StitchPattern, index: int) -> PrintedLine:
    written = pattern.rounds[index]
    line = desk.read_plain(written)
    unit = repeat_of(line)
    hands = desk.hands
    if unit > 1 and hands.total % unit == 0 and any(count % unit for count in hands.needles):
        hands.needles = whole_repeats(hands.setup, hands.total, unit)
        desk.arrange((*key, -1), "Rearrange the sts", step.span)
    regions = hands.spans()
    _work_whole(desk, line, step, written.text)
    return desk.printed(Round((Part(line),)), "round", written.span, regions=regions, fabric=pattern.name)


def work_round(desk: Desk, step: Step, key: Key) -> PrintedLine:
    """Work one round of a step in the hands and give its printed line."""
    hands, work = desk.hands, desk.work(step)
    if work.in_pattern:
        pattern = _rounds_of(desk, step, work.in_pattern)
        return _pattern_round(desk, step, key, pattern, _next_of(desk, pattern))
    if work.whole is not None:
        line = desk.read_plain(work.whole)
        regions = hands.spans()
        _work_whole(desk, line, step, work.whole.text)
        return desk.printed(Round((Part(line),)), "round", work.whole.span, regions=regions)
    patterns = {pattern.name: pattern.rounds[_next_of(desk, pattern)] for pattern in _patterns_of(desk, step)}
    lines = {name: desk.read_plain(patterns.get(written.in_pattern, written)) for name, written in work.by_region}
    fabric = ", ".join(f"{written.in_pattern} ({name})" for name, written in work.by_region if written.in_pattern)
    for name, written in work.by_region:
        if not hands.count_of(name):
            there = ", ".join(region for region, _ in hands.regions)
            raise desk.refuse("region", f"there are no {name} sts here; there are {there}", written.span)
    lines = {name: lines.get(name, _KNIT) for name, _ in hands.regions}
    desk.settle_on_regions((*key, -1), step.span)
    regions = hands.spans()
    try:
        resolved = {name: resolve(lines[name], count) for name, count in hands.regions}
        statement = phrase(hands, lines, resolved)
        if not hands.setup.marker:
            hands.needles = leaves_by_piece(needle_pieces(hands, resolved))
    except (MisfitError, SplitError) as mistake:
        texts = "; ".join(f"{name}: {written.text}" for name, written in work.by_region)
        raise desk.refuse("misfit", f"{mistake} ({_counts(hands.regions)})", step.span, line=texts) from None
    _move_start(desk, resolved)
    hands.set_counts({name: sum(each.leaves for each in stretches) for name, stretches in resolved.items()})
    return desk.printed(statement, "round", step.span, regions=regions, fabric=fabric)


def _next_of(desk: Desk, pattern: StitchPattern) -> int:
    """Which round of a stitch pattern comes next: it goes on where it was left, on whatever part of the sock."""
    at = desk.hands.rounds_in.get(pattern.name, 0)
    desk.hands.rounds_in[pattern.name] = at + 1
    return at % len(pattern.rounds)


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
        pieces = [sum(each.leaves for each in piece) for piece in split(stretches, ends)]
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


def write_repeat(desk: Desk, step: Step, key: Key) -> None:
    """`repeat`: its rounds in order, so often or until so many stitches are left."""
    target = desk.count(step.until.stitches, step.span) if step.until and step.until.stitches else None
    wanted = desk.count(step.times, step.span) if step.times is not None else None
    if target is None and wanted is None:
        raise desk.refuse("repeat", "say how often to repeat, or until how many sts", step.span)
    if target == desk.hands.total or wanted == 0:
        return
    say, why, check = (_words_of(desk, step, which) for which in ("say", "why", "check"))
    if say or why:  # said once, before whatever the needles make of the repeat
        desk.put_words((*key, -5), say=say, why=why)
    phase, passes = (0 if desk.hands.setup == desk.setup else CHANGED), 0
    group: list[tuple[PrintedLine, ...]] = []
    texts: tuple[PrintedLine, ...] | None = None
    while (desk.hands.total != target) if target is not None else (passes < (wanted or 0)):
        lost = desk.hands.total
        if _too_few_for_circular(desk, step, key):
            if texts and group:
                _put_repeat(desk, step, key, phase, texts, len(group), lost, last=False)
            desk.hands.change_to(SET_OF_5)
            desk.arrange((*key, phase, 1), "Change to double-pointed needles", step.span, OFF_THE_CIRCULAR)
            phase, texts, group = CHANGED + phase, None, []
        lines = _one_pass(desk, step, (*key, phase - 1, 2))
        words = tuple(line.text for line in lines)
        if texts is not None and words != tuple(line.text for line in texts):
            _put_repeat(desk, step, key, phase, texts, len(group), lost, last=False)
            phase, texts, group = phase + 1, None, []
        texts = texts or lines
        group.append(lines)
        passes += 1
        if (
            passes > MOST_ROUNDS
            or (target is not None and (desk.hands.total - target) * (lost - target) < 0)
            or (target is not None and desk.hands.total == lost)
        ):
            raise desk.refuse(
                "until",
                f"the repeat never comes to {target} sts: it goes from {lost} to {desk.hands.total}",
                step.span,
                expected=str(target),
                found=str(desk.hands.total),
            )
    if texts:
        _put_repeat(desk, step, key, phase, texts, len(group), desk.hands.total, last=True)
    if check:
        desk.put_words((*key, 2 * CHANGED), check=check)


def _one_pass(desk: Desk, step: Step, key: Key) -> tuple[PrintedLine, ...]:
    """The rounds of one pass of a repeat, those left out that this size does not work."""
    lines: list[PrintedLine] = []
    for place, inner in enumerate(step.steps):
        if not desk.holds(inner.when):
            continue
        number, _ = how_often(desk, inner)
        lines += [work_round(desk, inner, (*key, place)) for _ in range(number)]
    if not lines:
        raise desk.refuse("repeat", "there is nothing to repeat in this size", step.span)
    return tuple(lines)


def _words_of(desk: Desk, step: Step, which: str) -> list[Written]:
    """What the steps inside a repeat say, explain or check, and the repeat itself."""
    told = [getattr(each, which) for each in (step, *step.steps) if desk.holds(each.when)]
    if which == "say":
        own = (each for inner in step.steps for each in inner.overrides if each.setup == desk.hands.setup.name)
        told += [each.say for each in own]
    return [each for each in told if each]


def _put_repeat(
    desk: Desk, step: Step, key: Key, phase: int, lines: tuple[PrintedLine, ...], times: int, total: int, last: bool
) -> None:
    """A stretch of a repeat in the same words, down (or up) to `total` stitches."""
    desk.put(
        (*key, phase),
        lines,
        step,
        times=times,
        until=total if step.until else None,
        stated=total,
        last=False,
        first=False,
        leaves=desk.regions(step.leaves) if last else (),
    )


def _too_few_for_circular(desk: Desk, step: Step, key: Key) -> bool:
    """True if a pass more would leave too few stitches to reach round the small circular needle."""
    if not desk.hands.setup.marker:
        return False
    trial = Desk(
        desk.pattern, desk.graded, desk.hands.snapshot(), desk.setup, desk.terms, desk.units, desk.section, desk.ledger
    )
    _one_pass(trial, step, key)
    if trial.hands.total >= desk.hands.total:
        return False
    return not reaches(desk, trial.hands.total)


def reaches(desk: Desk, count: int) -> bool:
    """True if so many stitches reach round the small circular needle of this pattern."""
    length = dict(desk.pattern.needle_lengths).get("short circular")
    return setup_needles().reach(count / desk.pattern.gauge.stitches, length)
