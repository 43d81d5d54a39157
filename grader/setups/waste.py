"""Writing out a heel that is put in last: the odd thread that keeps its place, and opening it again."""

from __future__ import annotations

from grader.models.pattern import Step
from grader.notation.tree import Open, WasteYarn
from grader.setups.desk import Desk
from grader.setups.holding import SET_OF_5
from grader.setups.rounds import Key


def write_waste_yarn(desk: Desk, step: Step, key: Key) -> None:
    """`waste_yarn`: knit a region with an odd thread and slip it back; the round then goes on over it."""
    region, hands = step.pair[0], desk.hands
    spans = hands.spans()
    count = hands.count_of(region)
    if spans[0] != (region, count):
        raise desk.refuse(
            "region",
            f"the round begins with the {spans[0][0]}, not with the {region}",
            step.span,
            expected=region,
            found=spans[0][0],
            mend=f"move the start of the round to the {region} first",
        )
    line = desk.printed(WasteYarn(count, region), "waste_yarn", step.span, regions=spans)
    desk.put((*key, 0), (line,), step)


def write_open(desk: Desk, step: Step, key: Key) -> None:
    """`open`: take out the waste yarn when all else is done; the stitches of both its sides make a round."""
    hands = desk.hands
    hands.regions, hands.start, hands.flap, hands.resting = desk.regions(step.regions), 0, None, ()
    too_few = desk.setup.marker and hands.total < desk.pattern.fewest_on_circular
    hands.change_to(SET_OF_5 if too_few else desk.setup)
    (first, above), (second, below) = hands.regions
    by_marker = hands.setup.marker
    statement = Open(above, first, below, second, () if by_marker else hands.needles, by_marker)
    line = desk.printed(statement, "open", step.span, regions=hands.regions)
    desk.put((*key, 0), (line,), step, stated=hands.total)
