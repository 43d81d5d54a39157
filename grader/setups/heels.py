"""Writing out what is worked to and fro: rows, short rows that close a gap, and resting stitches."""

from __future__ import annotations

from dataclasses import replace

from grader.models.instructions import PrintedLine
from grader.models.pattern import Section, Step, Written
from grader.notation.counting import MisfitError, leaves, resolve, takes
from grader.notation.tree import Item, Line, Op, Part, Rejoin, Repeat, Rest, Round, Run, TakeOff, Turn
from grader.setups.desk import Desk
from grader.setups.hands import Flap, Hands
from grader.setups.holding import halved
from grader.setups.joins import go_to
from grader.setups.panels import ready_for_later
from grader.setups.phrasing import needle_regions
from grader.setups.rounds import Key, how_often
from grader.vocabulary.wording import joined

_OTHER = {"RS": "WS", "WS": "RS"}


def write_rest(desk: Desk, step: Step, key: Key) -> None:
    """`rest`: leave a region on hold; the other is then worked to and fro, on one needle where there are several."""
    held = step.pair[0]
    hands = desk.hands
    others = [name for name, _ in hands.regions if name != held]
    if not hands.count_of(held) or len(others) != 1:
        raise desk.refuse("region", f"there is no {held} to leave on hold beside one other region", step.span)
    worked = others[0]
    _to_its_start(desk, step, key, worked)
    _gather(desk, worked, key, step)
    spans = hands.spans()
    if hands.marked:
        hands.marked = False
        off = desk.printed(TakeOff(), "arrange", step.span, regions=spans)
        desk.put((*key, -2), (off,), replace(step, say=None, why=None, check=None))
    which = "last" if spans[-1][0] == held else "first"
    line = desk.printed(
        Rest(hands.count_of(held), held, hands.count_of(worked), worked, which), "rest", step.span, regions=spans
    )
    hands.resting = (held,)
    desk.put((*key, 0), (line,), step, note=_where_to_work(hands, worked, held))


def _to_its_start(desk: Desk, step: Step, key: Key, region: str) -> None:
    """Rows begin on the right side: knit on to where the piece begins, unless they go back over it from its end."""
    spans = desk.hands.spans()
    here = section_rows(desk.section)
    back = here is not None and here.work.first_side == "WS"
    if spans[0] == (region, desk.hands.count_of(region)) or (back and spans[-1][0] == region != spans[0][0]):
        return
    words = replace(step, say=None, why=None, check=None)
    go_to(desk, words, (*key, -4), ("start", region), settled=False)


def section_rows(section: Section) -> Step | None:
    """The first step of a section that is worked in rows."""
    return next((step for step in section.steps if step.kind in ("row", "rows")), None)


def _where_to_work(hands: Hands, worked: str, held: str) -> str:
    """On which needle the piece is worked to and fro, and where the others wait."""
    if hands.setup.marker:
        return (
            f"Take off the marker. Work the {worked} to and fro in rows, turning at the end of each, on the circular"
            f" needle itself or on two double-pointed needles; the {held} sts wait on the cable."
        )
    names = [name for name, _ in hands.spans()]
    owners = needle_regions(hands.needles, hands.spans())
    mine = [str(number) for number, (name, _) in enumerate(owners, start=1) if name == worked]
    theirs = [str(number) for number, (name, _) in enumerate(owners, start=1) if name == held]
    if len(names) != 2 or len(mine) != 1:
        return ""
    needles = "needle" if len(theirs) == 1 else "needles"
    return (
        f"Work the {worked} to and fro in rows, turning at the end of each, on needle {mine[0]}; the {held} sts wait on"
        f" {needles} {joined(theirs)}."
    )


def _gather(desk: Desk, region: str, key: Key, step: Step) -> None:
    """Take a region onto one needle, where the setup has several."""
    hands = desk.hands
    spans = hands.spans()
    if hands.setup.marker or len(spans) != 2:
        return
    first, second = (count for _, count in spans)
    halves = hands.setup.halves
    wanted = (first, *halved(second, halves[1])) if spans[0][0] == region else (*halved(first, halves[0]), second)
    wanted = ready_for_later(desk, next(name for name, _ in spans if name != region), wanted)
    if wanted != hands.needles:
        before, hands.needles = hands.needles, wanted
        which = "first" if spans[0][0] == region else "last"
        how = (
            f"Slip the {hands.count_of(region)} {region} sts (the {which} of the round) onto one needle"
            " and share out the others, so that you have"
        )
        desk.arrange((*key, -1), how, step.span, before=before)


def write_rejoin(desk: Desk, step: Step, key: Key) -> None:
    """`rejoin`: take resting stitches back into the work."""
    region = step.pair[0]
    if region not in desk.hands.resting:
        raise desk.refuse("region", f"the {region} sts are not resting", step.span)
    line = desk.printed(Rejoin(desk.hands.count_of(region), region), "rejoin", step.span)
    desk.hands.resting = tuple(name for name in desk.hands.resting if name != region)
    if desk.hands.flap:
        desk.hands.recount(desk.hands.flap.region)
        if desk.hands.flap.at_end:
            desk.hands.go_round(desk.hands.flap.region)
    desk.hands.flap = None
    note = "Put the marker back for the start of the round." if desk.hands.setup.marker else ""
    desk.put((*key, 0), (line,), step, note=note)


def flap_of(desk: Desk, step: Step) -> Flap:
    """The piece a section works to and fro; made at its first row."""
    region = desk.section.over
    if not region:
        raise desk.refuse("over", "rows need a section with `over`: the region they are worked on", step.span)
    count = desk.hands.count_of(region)
    if not count:
        raise desk.refuse("region", f"there are no {region} sts here", step.span)
    flap = desk.hands.flap
    if flap is None or flap.region != region:
        flap = desk.hands.flap = Flap(region, count)
    return flap


def write_rows(desk: Desk, step: Step, key: Key) -> None:
    """`row` and `rows`: single rows, pairs so often, or pairs until no stitches are left beyond the gaps."""
    flap = flap_of(desk, step)
    sides = _sides(desk, step)
    if step.until and step.until.gaps_closed:
        _until_no_gap(desk, step, key, flap, sides)
    else:
        number, length = how_often(desk, step)
        if length is not None:
            number = number // len(sides)
        if not number:
            return
        lines = tuple(
            _row(desk, flap, side, desk.read_plain(written), written, fabric) for side, written, fabric in sides
        )
        counts = flap.count
        for _ in range(number - 1):
            again = tuple(
                _row(desk, flap, side, desk.read_plain(written), written, fabric) for side, written, fabric in sides
            )
            if counts == flap.count and flap.waiting == {"RS": 0, "WS": 0} and again == lines:
                break
            counts = flap.count
        desk.put((*key, 0), lines, step, times=number, length=length, leaves=desk.regions(step.leaves))
    desk.hands.set_counts({flap.region: flap.count})


def _sides(desk: Desk, step: Step) -> list[tuple[str, Written, str]]:
    """The rows of a step in working order: side, line and the stitch pattern it is from."""
    work = desk.work(step)
    if work.in_pattern:
        pattern = desk.pattern.stitch_pattern(work.in_pattern)
        if pattern is None or not pattern.rows:
            raise desk.refuse("stitch-pattern", f"there are no rows of a stitch pattern {work.in_pattern!r}", step.span)
        return [("RS" if index % 2 == 0 else "WS", row, pattern.name) for index, row in enumerate(pattern.rows)]
    rows = []
    if work.whole is not None:
        rows.append(("RS", work.whole, ""))
    if work.ws is not None:
        rows.append(("WS", work.ws, ""))
    return rows if work.first_side == "RS" else rows[::-1]


def _row(desk: Desk, flap: Flap, side: str, line: Line, written: Written, fabric: str = "") -> PrintedLine:
    """Work one row in the flap's count and the stitches waiting beyond the gaps."""
    items = line.items
    desk.hands.worked += 1
    desk.afford("rounds", desk.hands.worked, written.span)
    turning = next((place for place, item in enumerate(items) if isinstance(item, Turn)), None)
    behind = flap.waiting[_OTHER[side]]
    ahead = flap.count - behind
    if turning is None:
        try:
            change = sum(each.leaves - each.takes for each in resolve(line, ahead))
        except MisfitError as mistake:
            raise desk.refuse(
                "misfit",
                f"{side} row over {ahead} {flap.region} sts: {mistake}",
                written.span,
                line=written.text,
                expected=str(ahead),
                found=str(mistake.asked),
            ) from None
        flap.waiting[side] = 0
        flap.count += change
    else:
        _short_row(desk, flap, side, items[:turning], written)
    flap.at_end = turning is None and side == "RS"
    return desk.printed(Round((Part(line),)), "row", written.span, side=side, over=flap.region, fabric=fabric)


def _short_row(desk: Desk, flap: Flap, side: str, items: tuple[Item, ...], written: Written) -> None:
    """A row that turns before its end: what it leaves waiting, and how far it eats into what waited."""
    run = next(
        (place for place, item in enumerate(items) if isinstance(item, Run | Repeat) and getattr(item, "reach", None)),
        None,
    )
    fixed = [item for place, item in enumerate(items) if place != run]
    change = sum(leaves(item) - takes(item) for item in fixed)
    if run is None:
        flap.waiting[side] = flap.count - flap.waiting[_OTHER[side]] - sum(takes(item) for item in fixed)
    else:
        flap.waiting[side] -= eaten(items)
    if flap.waiting[side] < 0:
        raise desk.refuse(
            "misfit",
            f"{side} row asks for {-flap.waiting[side]} sts more than there are",
            written.span,
            line=written.text,
        )
    flap.count += change


def eaten(items: tuple[Item, ...]) -> int:
    """Stitches a row takes from beyond the gap it works up to: those after the run, less those kept before the gap."""
    place, reach = next(
        (place, item.reach) for place, item in enumerate(items) if isinstance(item, Run | Repeat) and item.reach
    )
    after = sum(takes(item) for item in items[place + 1 :] if not isinstance(item, Turn))
    before = reach.before if isinstance(reach.before, int) else 0
    return after - before - (reach.to == "DS")  # a double stitch lies before its gap, a wrapped one beyond


def _until_no_gap(desk: Desk, step: Step, key: Key, flap: Flap, sides: list[tuple[str, Written, str]]) -> None:
    """Work the pair as long as both sides have enough; a last pair loses its final stitch where one remains."""
    read = [(side, desk.read_plain(written), written, fabric) for side, written, fabric in sides]
    if any(not any(isinstance(item, Run | Repeat) and item.reach for item in line.items) for _, line, _, _ in read):
        raise desk.refuse("until", "rows worked until the gap is closed must work to the gap", step.span)
    need = {side: eaten(line.items) for side, line, _, _ in read}
    if any(amount < 1 for amount in need.values()):
        raise desk.refuse("until", "these rows never use up the stitches beyond the gap", step.span)
    times = 0
    lines: tuple[PrintedLine, ...] = ()
    while all(flap.waiting[side] >= need[side] for side, _, _, _ in read):
        lines = tuple(_row(desk, flap, side, line, written, fabric) for side, line, written, fabric in read)
        times += 1
    short: tuple[PrintedLine, ...] = ()
    if any(flap.waiting.values()):
        short = tuple(
            _row(desk, flap, side, _shortened(desk, line, need[side] - flap.waiting[side], written), written, fabric)
            for side, line, written, fabric in read
        )
    if any(flap.waiting.values()):
        raise desk.refuse(
            "until",
            f"{flap.waiting['RS']} and {flap.waiting['WS']} sts stay beyond the gaps",
            step.span,
            expected="0",
            found=str(sum(flap.waiting.values())),
            mend="make the first rows of the turn leave the same number at each side",
        )
    marks = desk.regions(step.leaves)
    if step.say or step.why:
        desk.put((*key, -5), (), step, last=False)
    silent = replace(step, say=None, why=None, check=None)
    if times:
        stated = None if short else flap.count
        desk.put((*key, 0), lines, silent, times=times, leaves=() if short else marks, stated=stated)
    if short:
        desk.put((*key, 1), short, silent, leaves=marks, stated=flap.count)
    if step.check:
        desk.put((*key, 90), (), step, first=False)


def _shortened(desk: Desk, line: Line, by: int, written: Written) -> Line:
    """The row without the last `by` single stitches before its turn."""
    items = list(line.items)
    for place in range(len(items) - 1, -1, -1):
        item = items[place]
        if by and isinstance(item, Op) and item.name in ("k", "p") and isinstance(item.count, int):
            drop = min(by, item.count)
            by -= drop
            items[place : place + 1] = [replace(item, count=item.count - drop)] if item.count > drop else []
        elif not isinstance(item, Turn):
            break
    if by:
        raise desk.refuse(
            "until", "the last rows can't be shortened to use up what is left", written.span, line=written.text
        )
    return Line(tuple(items))
