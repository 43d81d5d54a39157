"""Stitch patterns over a part of the round: centred where they are narrower than it, and never cut by a needle's end.

A panel of fixed width, or as many whole repeats as go in, lies in the middle of its region, with plain stitches at both
sides. Where a region lies over two needles, they meet between two repeats, or at least where no cable and no decrease
lies across.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, pairwise

from grader.models.instructions import Block
from grader.models.pattern import Pattern, PickUpPart, Step, StitchPattern, Work, Written
from grader.notation.counting import MisfitError, is_flexible, repeat_of, resolve, takes
from grader.notation.multiples import Multiple, clean_cuts, fixed_width, multiple_of
from grader.notation.tree import Item, Line, Op, Reach, Repeat, Run, TakeOff
from grader.setups.desk import REARRANGE, Desk
from grader.setups.hands import Hands
from grader.setups.holding import whole_repeats
from grader.vocabulary.findings import Ledger, Span

Cuts = tuple[tuple[int, ...], tuple[int, ...]]  # between two repeats, and wherever nothing lies across


def rounds_of(desk: Desk, step: Step, name: str) -> StitchPattern:
    """The stitch pattern of that name, if it has rounds."""
    pattern = desk.pattern.stitch_pattern(name)
    if pattern is None or not pattern.rounds:
        raise desk.refuse("stitch-pattern", f"there are no rounds of a stitch pattern {name!r}", step.span)
    return pattern


def next_round(desk: Desk, pattern: StitchPattern) -> Written:
    """The round of a stitch pattern that comes next: it goes on where it was left, on whatever part of the sock."""
    at = desk.hands.rounds_in.get(pattern.name, 0)
    desk.hands.rounds_in[pattern.name] = at + 1
    return pattern.rounds[at % len(pattern.rounds)]


def asked_by(pattern: StitchPattern) -> Multiple:
    """Repeat, edge and width of a stitch pattern."""
    return multiple_of((each.text for each in pattern.rounds), bool(pattern.sides))


def centred(line: Line, count: int, pattern: StitchPattern) -> Line:
    """A round of a stitch pattern over `count` stitches: in the middle, the rest knitted or purled at both sides.

    An odd stitch comes after. `MisfitError` if a panel is wider than the stretch.
    """
    if not pattern.sides:
        return line
    asked = asked_by(pattern)
    taken = asked.of(count)
    if not taken:
        raise MisfitError(asked.width or asked.edge, count)
    before = (count - taken) // 2
    after = count - taken - before
    items = _counted(line, taken).items if fixed_width(line) is None and asked.width else line.items
    if items == (Run(pattern.sides),):
        return line
    kept = tuple(_reaching(item, after) if is_flexible(item) else item for item in items)
    return Line(_joined((*_plain(pattern.sides, before), *kept, *_plain(pattern.sides, after))))


def _plain(stitch: str, count: int) -> tuple[Item, ...]:
    return (Op(stitch, count),) if count else ()


def _counted(line: Line, width: int) -> Line:
    """A round of a panel that goes as far as its stretch, with its stitches said."""
    return Line(tuple(stretch.item for stretch in resolve(line, width)))


def _reaching(item: Item, after: int) -> Item:
    """A run or an open repeat that stops so many stitches sooner."""
    if isinstance(item, Run | Repeat) and item.reach is not None and isinstance(item.reach.before, int):
        return replace(item, reach=Reach(item.reach.to, item.reach.before + after))
    return item


def _joined(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Neighbours of one stitch told as one."""
    found: list[Item] = []
    for item in items:
        last = found[-1] if found else None
        if (
            isinstance(last, Op)
            and isinstance(item, Op)
            and last.name in ("k", "p")
            and isinstance(last.count, int)
            and isinstance(item.count, int)
            and replace(last, count=1) == replace(item, count=1)
        ):
            found[-1] = replace(item, count=last.count + item.count)
        else:
            found.append(item)
    return tuple(found)


def part_line(desk: Desk, step: Step, part: PickUpPart, count: int) -> Line:
    """What a stretch of a pick-up round is worked in; a stitch pattern goes on there too."""
    if part.line is None:
        return Line((Run("k"),))
    if not part.line.in_pattern:
        return desk.read_plain(part.line)
    pattern = rounds_of(desk, step, part.line.in_pattern)
    check_columns(desk, part.region, pattern, step.span)
    return centred(desk.read_plain(next_round(desk, pattern)), count, pattern)


def fabric_of(lines: Iterable[tuple[str, Written]]) -> str:
    """The stitch patterns of a round by region, as the record names them: "lace (instep)"."""
    return ", ".join(f"{written.in_pattern} ({name})" for name, written in lines if written.in_pattern)


# -- where needles may meet


def cuts_of(desk: Desk, pattern: StitchPattern, count: int) -> Cuts:
    """Where a stretch of `count` stitches in this pattern may be parted over two needles, whatever the round.

    `MisfitError` where the pattern does not go into so many.
    """
    return _cuts(tuple(desk.read_plain(each) for each in pattern.rounds), pattern, count)


@lru_cache(maxsize=256)
def _cuts(rounds: tuple[Line, ...], pattern: StitchPattern, count: int) -> Cuts:
    lines = [centred(line, count, pattern) for line in rounds]
    clean = clean_cuts([Line(tuple(stretch.item for stretch in resolve(line, count))) for line in lines], count)
    unit = max(asked_by(pattern).repeat, 1)
    first = next((line for line in lines if repeat_of(line) > 1), None)
    if first is None:
        return (), clean
    before = 0
    for item in first.items:
        if is_flexible(item):
            break
        before += takes(item)
    return tuple(cut for cut in clean if (cut - before) % unit == 0), clean


def with_clean_joins(hands: Hands, needles: tuple[int, ...], cuts: dict[str, Cuts]) -> tuple[int, ...]:
    """The needles with every join inside a region of `cuts` moved to where nothing lies across, if it can be."""
    joins = list(accumulate(needles))[:-1]
    at = 0
    for place, (name, count) in enumerate(hands.spans()):
        whole = hands.count_of(name)
        offset = whole - count if place == 0 and count < whole else 0
        for index, join in enumerate(joins):
            if name in cuts and at < join < at + count:
                joins[index] = _moved(join - at + offset, *cuts[name], whole) + at - offset
        at += count
    ends = sorted({0, *joins, at})
    moved = tuple(b - a for a, b in pairwise(ends))
    return moved if len(moved) == len(needles) else needles


def _moved(join: int, repeats: tuple[int, ...], clean: tuple[int, ...], count: int) -> int:
    """The place for a join: between repeats where that leaves a quarter on each needle, else the nearest clean one."""
    if join in repeats:
        return join
    fair = [cut for cut in repeats if count <= 4 * cut <= 3 * count]
    for several in (fair, clean):
        if several:
            return min(several, key=lambda cut: (abs(cut - join), cut))
    return join


def make_ready(desk: Desk, step: Step, key: tuple[int, ...]) -> None:
    """Before rounds in stitch patterns: whole repeats on each needle, or regions that begin with needles."""
    work, hands = desk.work(step), desk.hands
    if work.in_pattern:
        unit = asked_by(rounds_of(desk, step, work.in_pattern)).repeat
        if unit > 1 and hands.total % unit == 0 and any(count % unit for count in hands.needles):
            before, hands.needles = hands.needles, whole_repeats(hands.setup, hands.total, unit)
            desk.rearrange((*key, -1), step.span, before)
        return
    named = {name: written.in_pattern for name, written in work.by_region if written.in_pattern}
    if all(hands.count_of(name) for name in named):
        settle_for(desk, (*key, -1), step.span, {name: rounds_of(desk, step, each) for name, each in named.items()})


def settle_for(desk: Desk, key: tuple[int, ...], span: Span, worked: dict[str, StitchPattern]) -> None:
    """Before a round by regions, some `worked` in a stitch pattern: regions begin with needles, joins cut no repeat."""
    hands = desk.hands
    before = hands.needles
    if not hands.fits_regions() or (hands.uneven and not worked):
        hands.settle()
        hands.uneven = False
    if worked and not hands.setup.marker:
        even = hands.needles
        with suppress(MisfitError):  # told where the round itself is worked out
            cuts = {name: cuts_of(desk, pattern, hands.count_of(name)) for name, pattern in worked.items()}
            hands.needles = with_clean_joins(hands, even, cuts)
        hands.uneven = hands.uneven or hands.needles != even
    if hands.needles != before:
        desk.rearrange(key, span, before)


def on_whole_needles(desk: Desk, key: tuple[int, ...], span: Span, line: Line) -> None:
    """Before a round shaped in repeats all round: each needle holds whole repeats, and no marker lies within one."""
    hands, unit = desk.hands, repeat_of(line)
    if unit < 2 or hands.total % unit or not _shapes(line, hands.total):
        return
    if hands.setup.marker and hands.marked and any(count % unit for _, count in hands.regions):
        hands.marked = False
        desk.blocks.append(Block(key, (desk.printed(TakeOff(), "arrange", span, regions=hands.spans()),)))
    if not hands.setup.marker and any(count % unit for count in hands.needles):
        before, hands.needles = hands.needles, whole_repeats(hands.setup, hands.total, unit)
        desk.arrange(key, REARRANGE, span, before=before)


def _shapes(line: Line, count: int) -> bool:
    with suppress(MisfitError):  # told where the round itself is worked out
        return any(stretch.takes != stretch.leaves for stretch in resolve(line, count))
    return False


def ready_for_later(desk: Desk, region: str, needles: tuple[int, ...]) -> tuple[int, ...]:
    """The needles so that a region which rests now may go on in its stitch pattern; as they are where it has none."""
    sections = desk.pattern.sections
    at = next(place for place, each in enumerate(sections) if each is desk.section)
    for step in (step for section in sections[at:] for step in section.steps):
        worked = [pair for each in (step, *step.steps) for pair in each.work.by_region]
        worked += [(part.region, part.line) for part in step.parts if part.line]
        name = next((written.in_pattern for name, written in worked if name == region and written.in_pattern), "")
        if name:
            count = desk.hands.count_of(region)
            with suppress(MisfitError):
                cuts = cuts_of(desk, rounds_of(desk, step, name), count)
                moved = with_clean_joins(desk.hands, needles, {region: cuts})
                desk.hands.uneven = desk.hands.uneven or moved != needles
                return moved
    return needles


def even_out(desk: Desk, key: tuple[int, ...], span: Span) -> None:
    """Spread the stitches evenly again where they lie as a stitch pattern wanted them."""
    if desk.hands.uneven:
        settle_for(desk, key, span, {})


# -- whether columns go on


def note_columns(desk: Desk, pattern: StitchPattern) -> None:
    """Remember where in a repeat each region begins while all of the round is in one stitch pattern."""
    unit, at = asked_by(pattern).repeat, 0
    for name, count in desk.hands.spans():
        desk.hands.columns.setdefault(name, {})[pattern.name] = at % unit
        at += count


def check_columns(desk: Desk, region: str, pattern: StitchPattern, span: Span) -> None:
    """A region that goes on in the stitch pattern of the whole round must have its repeats where they were."""
    begun = desk.hands.columns.get(region, {}).pop(pattern.name, None)  # looked at once, where it goes on
    if begun is None:
        return
    asked, count = asked_by(pattern), desk.hands.count_of(region)
    plain = (count - asked.of(count)) // 2 if pattern.sides else 0
    beside = (begun + plain) % asked.repeat
    if beside:
        desk.ledger.add(
            "shifted",
            f"the repeats of {pattern.label} lie {beside} sts beside those above them when the {region} goes on",
            span,
            sizes=(desk.graded.body.name,),
            setups=(desk.hands.setup.name,),
            section=desk.section.name,
            expected="repeats above each other",
            found=f"{beside} sts beside",
            mend=f"let the {region} begin with a whole repeat, or write the rounds above by regions as well,"
            f" each `in {pattern.name}`",
        )


# -- how long a stitch pattern goes on


def rounds_per_cm(pattern: Pattern, work: Work) -> Fraction:
    """Rounds to a centimetre of a step: those of its stitch pattern where all stitches are worked in it."""
    own = pattern.stitch_pattern(work.in_pattern) if work.in_pattern else None
    gauge = own.gauge if own and own.gauge else pattern.gauge
    return gauge.rounds


def check_stops(pattern: Pattern, hands: Hands, size: str, ledger: Ledger) -> None:
    """A stitch pattern that may end only after some of its rounds must do so."""
    for each in pattern.stitch_patterns:
        worked = hands.rounds_in.get(each.name, 0)
        if not each.stops or not worked or not each.rounds:
            continue
        last = (worked - 1) % len(each.rounds) + 1
        if last in each.stops:
            continue
        section, step = _last_worked(pattern, each.name)
        stops = " or ".join(str(stop) for stop in each.stops)
        ledger.add(
            "stops",
            f"{each.label} ends after round {last}; it may end after round {stops}",
            step.span if step else each.span,
            sizes=(size,),
            setups=(hands.setup.name,),
            section=section,
            expected=f"round {stops}",
            found=f"round {last}",
            mend=f"say how many rounds in a number, and make it a multiple of {each.name}.rounds",
        )


def _last_worked(pattern: Pattern, name: str) -> tuple[str, Step | None]:
    found: tuple[str, Step | None] = ("", None)
    for section in pattern.sections:
        for step in section.steps:
            if any(name in _names(inner.work) for inner in (step, *step.steps)):
                found = section.name, step
    return found


def _names(work: Work) -> set[str]:
    return {work.in_pattern, *(written.in_pattern for _, written in work.by_region)}
