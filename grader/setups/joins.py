"""Writing out where the work changes shape: cast on, pick up, move the start, arrange."""

from __future__ import annotations

from dataclasses import replace

from grader.models.instructions import Regions
from grader.models.pattern import PickUpPart, Step, Written
from grader.notation.counting import MisfitError, is_flexible, leaves, repeat_of, resolve, takes
from grader.notation.tree import (
    CastOn,
    Item,
    Line,
    Mark,
    Op,
    Part,
    PickUp,
    Reach,
    Round,
    Run,
    TakeOff,
)
from grader.setups.desk import REARRANGE, Desk
from grader.setups.holding import (
    ON_DOUBLE_POINTED,
    ONTO_THE_LAST,
    SET_OF_5,
    SHORT_CIRCULAR,
    whole_repeats,
)
from grader.setups.panels import fabric_of, part_line
from grader.setups.rounds import Key
from grader.vocabulary.findings import Severity, Span
from grader.vocabulary.techniques import WAYS
from grader.vocabulary.wording import TERMS, joined


def write_cast_on(desk: Desk, step: Step, key: Key, following: Step | None) -> None:
    """`cast_on`: spread over the needles so that the first stitch pattern's repeats stay whole."""
    count = desk.count(step.count, step.span) if step.count else 0
    regions = desk.regions(step.regions)
    if sum(number for _, number in regions) != count:
        said = " + ".join(f"{number} {name}" for name, number in regions)
        raise desk.refuse(
            "regions",
            f"the regions ({said}) do not make up the {count} sts cast on",
            step.span,
            expected=str(count),
            found=str(sum(number for _, number in regions)),
        )
    hands = desk.hands
    hands.regions, hands.start = regions, 0
    fewest = desk.pattern.fewest_on_circular
    if hands.setup.marker and count < fewest:
        hands.setup, hands.waiting = SET_OF_5, fewest  # begun on these, until it is wide enough
    unit = _first_repeat(desk, following)
    if unit > 1 and count % unit == 0:
        hands.needles = whole_repeats(hands.setup, count, unit)
    else:
        hands.settle()
    shown = () if hands.setup.marker else hands.needles
    note = ON_DOUBLE_POINTED if hands.waiting else ""
    line = desk.printed(CastOn(count, shown, True, hands.setup.marker), "cast_on", step.span, regions=hands.regions)
    desk.put((*key, 0), (line,), with_way(desk, step), stated=count, note=note)


def with_way(desk: Desk, step: Step) -> Step:
    """The step with the name of its way to cast on or off before its own words."""
    if not step.by:
        return step
    name = WAYS[step.by].name.format(**TERMS[desk.terms])
    words = " ".join((f"Use the {name}.", step.say.text if step.say else "")).strip()
    return replace(step, say=replace(step.say, text=words) if step.say else Written(words, step.span))


def refuse_if_too_small(desk: Desk, step: Step) -> None:
    """A sock that is too small for the small circular is not written for it; that is a fact, not a mistake.

    The section that casts on must have brought it to that width.
    """
    count, fewest, length = desk.hands.total, desk.hands.waiting, desk.pattern.small_circular_cm
    if not fewest:
        return
    desk.ledger.add(
        "too-small-for-circular",
        f"{count} sts are too few for a circular needle of {float(length):g} cm: at this gauge it takes {fewest}",
        step.span,
        severity=Severity.REMARK,
        sizes=(desk.graded.body.name,),
        setups=(SHORT_CIRCULAR.name,),
        section=desk.section.name,
        expected=f"{fewest} sts or more",
        found=f"{count} sts",
        mend="knit this size on double-pointed needles or by magic loop",
    )
    raise TooSmall


class TooSmall(Exception):
    """A size that a setup can't hold. Never leaves this stage."""


def _first_repeat(desk: Desk, following: Step | None) -> int:
    """The repeat of the round that follows the cast-on, where it is one line over the whole round."""
    if following is None or following.kind not in ("round", "rounds"):
        return 1
    work = following.work
    pattern = desk.pattern.stitch_pattern(work.in_pattern) if work.in_pattern else None
    written = pattern.rounds[0] if pattern and pattern.rounds else work.whole
    return repeat_of(desk.read_plain(written)) if written else 1


def write_pick_up(desk: Desk, step: Step, key: Key) -> None:
    """`pick_up`: across the heel, along one edge, across the instep, along the other; then move to the new start."""
    hands = desk.hands
    regions = desk.regions(step.regions)
    stretches = [_part_of(desk, part, step) for part in step.parts]
    made = sum(sum(leaves(item) for item in items) for _, _, items in stretches)
    if sum(count for _, count in regions) != made:
        said = " + ".join(f"{count} {name}" for name, count in regions)
        raise desk.refuse(
            "regions",
            f"the new regions ({said}) do not make up the {made} sts on the needles",
            step.span,
            expected=str(made),
            found=str(sum(count for _, count in regions)),
        )
    start = _start_of(desk, step, regions)
    before = hands.spans()
    kept = next((region for region, edge, _ in stretches if region and any(region == name for name, _ in regions)), "")
    statement, needles = _picked(desk, stretches, kept, made, step.span)
    edges = tuple(edge for _, edge, _ in stretches if edge)
    fabric = fabric_of((part.region, part.line) for part in step.parts if part.line)
    line = desk.printed(statement, "pick_up", step.span, regions=before, edges=edges, stated=made, fabric=fabric)
    ahead = 0
    for region, _, items in stretches:
        if region == kept:
            break
        ahead += sum(leaves(item) for item in items)
    hands.regions, hands.flap, hands.resting = regions, None, ()
    origin = _origin(regions, kept)
    hands.start = (origin - ahead) % made
    hands.needles, hands.marked = needles, hands.setup.marker
    desk.put((*key, 0), (line,), step, stated=made, last=False)
    go_to(desk, step, (*key, 1), start)


def _origin(regions: Regions, name: str) -> int:
    at = 0
    for region, count in regions:
        if region == name:
            return at
        at += count
    return 0


def _part_of(desk: Desk, part: PickUpPart, step: Step) -> tuple[str, str, tuple[Item, ...]]:
    """One stretch of the pick-up: its region or edge, and what is worked, with every count said."""
    if part.edge:
        count = desk.count(part.count, step.span) if part.count else 0
        return "", part.edge, (PickUp(count, part.edge, corner=_in_corner(desk, step)),)
    count = (
        desk.hands.flap.count
        if desk.hands.flap and desk.hands.flap.region == part.region
        else desk.hands.count_of(part.region)
    )
    if not count:
        raise desk.refuse("region", f"there are no {part.region} sts to work across", step.span)
    try:
        line = part_line(desk, step, part, count)
        if line == Line((Run("k"),)):
            return part.region, "", (Op("k", count),)
        return part.region, "", tuple(stretch.item for stretch in resolve(line, count))
    except MisfitError as mistake:
        raise desk.refuse("misfit", f"over {count} {part.region} sts: {mistake}", step.span) from None


def _in_corner(desk: Desk, step: Step) -> int:
    """How many stitches are lifted in each corner: one, or the two that some knitters take (published)."""
    corner = desk.count(step.corner, step.span) if step.corner else 1
    if corner not in (1, 2):
        message = f"{corner} sts to lift in a corner: it has two strands at the most"
        raise desk.refuse("edge", message, step.span, expected="1 or 2", found=str(corner), mend="write corner: 1 or 2")
    return corner


Stretches = list[tuple[str, str, tuple[Item, ...]]]


def _picked(desk: Desk, stretches: Stretches, kept: str, made: int, span: Span) -> tuple[Round, tuple[int, ...]]:
    """The pick-up as printed in this setup, and the needles after it."""
    setup = desk.hands.setup
    items = tuple(item for _, _, each in stretches for item in each)
    if setup.marker:
        return _picked_between_markers(stretches, kept), (made,)
    if len(stretches) != 4 or setup.needles < 2:
        return Round((Part(Line(items)),)), (made,)
    heel, left, instep, right = (each for _, _, each in stretches)
    first = sum(leaves(item) for item in heel + left)
    last = sum(leaves(item) for item in right)
    held = desk.hands.needles[1:]
    if not held:
        message = "all stitches are on one needle: what was worked to and fro must have one of its own"
        raise desk.refuse("needles", message, span, mend="leave the other region on hold first")
    numbers = tuple(range(2, 2 + len(held)))
    returning = setup.needles == 2
    parts = (
        Part(Line(heel + left), (1,)),
        Part(Line(instep), numbers),
        Part(Line(right), (1,) if returning else (numbers[-1] + 1,)),
    )
    needles = (first, *held, last)  # with two needles the last is the first again, until the round starts anew
    return Round(parts), needles


def _picked_between_markers(stretches: Stretches, kept: str) -> Round:
    items: list[Item] = []
    for region, _, each in stretches:
        if region == kept:
            items.append(Mark("pm", start=True))
        items.extend(each)
        if region == kept:
            items.append(Mark("pm"))
    return Round((Part(Line(tuple(items))),))


def _start_of(desk: Desk, step: Step, regions: Regions) -> tuple[str, str]:
    """Where the round is to start: ("start" or "centre", region), as the step says or as the setup likes it."""
    name = desk.hands.setup.name
    text = next((where for setup, where in step.start if setup in ("", name)), "")
    if not text:
        text = f"start of {regions[0][0]}" if desk.hands.setup.needles < 3 else f"centre of {regions[-1][0]}"
    place, _, region = text.partition(" of ")
    place = "centre" if place == "center" else place
    if place not in ("start", "centre") or all(region != each for each, _ in regions):
        raise desk.refuse(
            "start", f"{text!r} is no place to start a round; write 'start of REGION' or 'centre of REGION'", step.span
        )
    if place == "centre" and desk.hands.setup.needles < 3 and not desk.hands.setup.marker:
        raise desk.refuse("start", "with one long circular the round starts between the halves", step.span)
    if desk.hands.setup.marker and (place, region) != ("start", regions[0][0]):
        message = f"with one short circular the round starts at the marker before the {regions[0][0]}"
        raise desk.refuse("start", message, step.span, mend=f"write start of {regions[0][0]} for it, or nothing")
    return place, region


def go_to(desk: Desk, step: Step, key: Key, start: tuple[str, str], settled: bool = True) -> None:
    """Knit on to where the round is to start, as a step of its own, and say what is where.

    Not `settled`, the stitches are moved and told by what comes next.
    """
    hands = desk.hands
    place, region = start
    goal = _origin(hands.regions, region) + (hands.count_of(region) // 2 if place == "centre" else 0)
    forward = (goal - hands.start) % hands.total
    where = f"to the {TERMS[desk.terms]['centre'] if place == 'centre' else 'start'} of the {region}"
    if forward:
        before = hands.spans()
        line: Item = Op("k", forward, remark=where)
        if hands.setup.marker and hands.marked:
            line = Run("k", Reach("marker"))
        printed = desk.printed(Round((Part(Line((line,))),)), "part_round", step.span, regions=before)
        onto_last = hands.setup.needles > 2 and hands.goes_on_the_last(forward)
        hands.move_start(forward)
        if not settled:
            note = ONTO_THE_LAST if onto_last else ""
            desk.put(key, (printed,), replace(step, say=None, why=None), last=False, note=note)
            return
        unlike = not hands.fits_regions() or not (hands.setup.marker or len(hands.needles) == hands.setup.needles)
        words = replace(step, say=None, why=None)
        desk.put(key, (printed,), words, note="" if unlike else _who_holds_what(desk, onto_last), last=not unlike)
        if unlike:
            held = hands.needles
            hands.settle()
            desk.arrange((*key[:-1], key[-1] + 1), REARRANGE, step.span, before=held)
            desk.end_with(_who_holds_what(desk, onto_last), step.check)


def _who_holds_what(desk: Desk, onto_last: bool) -> str:
    """After a new start: which needle is now which, or where the markers are."""
    hands = desk.hands
    if hands.setup.marker:
        held = joined([f"the {count} {name} sts" for name, count in hands.spans()])
        return f"The round now starts at this marker: {held}, with a marker between."
    spans, needles, words, number = list(hands.spans()), hands.needles, [], 1
    at, left = 0, spans[0][1]
    for count in needles:
        name = spans[at][0]
        words.append(f"needle {number} holds {count} {name} sts")
        number += 1
        left -= count
        if left <= 0 and at + 1 < len(spans):
            at += 1
            left = spans[at][1]
    kept = f"{ONTO_THE_LAST} " if onto_last else ""
    return f"{kept}The round now starts here: {joined(words)}."


def write_part_round(desk: Desk, step: Step, key: Key) -> None:
    """`part_round`: work some stitches; the round then starts where it ends."""
    work = desk.work(step)
    if work.whole is None:
        raise desk.refuse("part_round", "say what to work", step.span)
    line = desk.read_plain(work.whole)
    if any(is_flexible(item) for item in line.items):
        raise desk.refuse("notation", "a part of a round says how many stitches it works", work.whole.span)
    forward = sum(takes(item) for item in line.items)
    before = desk.hands.spans()
    if forward >= desk.hands.total:
        message = f"a part of a round works fewer than its {desk.hands.total} sts, not {forward}"
        raise desk.refuse("misfit", message, step.span, expected=f"under {desk.hands.total}", found=str(forward))
    printed = desk.printed(Round((Part(line),)), "part_round", step.span, regions=before)
    note = ONTO_THE_LAST if desk.hands.setup.needles > 2 and desk.hands.goes_on_the_last(forward) else ""
    desk.hands.move_start(forward)
    desk.put((*key, 0), (printed,), step, note=note)


def write_arrange(desk: Desk, step: Step, key: Key) -> None:
    """`arrange`: give the regions anew, or spread the stitches by them; works none, so that its words stand alone."""
    regions, hands = desk.regions(step.regions), desk.hands
    if step.say or step.why:
        desk.put_words((*key, -2), say=[step.say] if step.say else [], why=[step.why] if step.why else [])
    if regions and [count for _, count in regions] != [count for _, count in hands.spans()]:  # else new names alone
        if sum(count for _, count in regions) != hands.total:
            raise desk.refuse("regions", f"the regions do not make up the {hands.total} sts", step.span)
        if hands.marked:
            hands.marked = False
            line = desk.printed(TakeOff(), "arrange", step.span, regions=hands.spans())
            desk.put((*key, -1), (line,), step, first=False, last=False)
    if regions:
        hands.regions, hands.start = regions, 0
    if not regions and len(hands.spans()) > 2 and hands.spans()[0][0] == hands.spans()[-1][0]:
        go_to(desk, replace(step, say=None, why=None, check=None), (*key, -1), ("start", hands.spans()[1][0]))
    before = desk.hands.needles
    desk.hands.settle()
    if not hands.setup.marker:
        desk.rearrange((*key, 0), step.span, before)
    if step.check:
        desk.put_words((*key, 1), check=[step.check])
