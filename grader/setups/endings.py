"""Writing out the endings: graft, cast off, and draw the yarn through."""

from __future__ import annotations

from dataclasses import replace

from grader.models.pattern import Step
from grader.notation.tree import BindOff, Gather, Graft, Line, Op, Part, Round
from grader.setups.desk import Desk
from grader.setups.holding import OFF_THE_CIRCULAR, ONTO_THE_LAST, SET_OF_5
from grader.setups.joins import with_way
from grader.setups.rounds import Key
from grader.vocabulary.wording import joined


def write_graft(desk: Desk, step: Step, key: Key) -> None:
    """`graft`: bring the yarn to a side, take each region onto one needle, and graft them."""
    hands = desk.hands
    front, back = (hands.count_of(name) for name in step.pair)
    if front != back or not front:
        raise desk.refuse(
            "graft",
            f"{front} sts can't be grafted to {back}",
            step.span,
            expected=str(front),
            found=str(back),
            mend="give both halves the same number before the toe, or draw the yarn through all with gather",
        )
    if hands.setup.marker:
        hands.change_to(SET_OF_5)
        desk.arrange((*key, -3), "Change to double-pointed needles", step.span, OFF_THE_CIRCULAR)
    if len(hands.spans()) > 2:
        _to_the_side(desk, step, (*key, -2))
    two = tuple(count for _, count in hands.spans())
    if hands.needles != two:
        held, hands.needles = hands.needles, two
        names = joined([f"the {name} sts" for name, _ in hands.spans()])
        desk.arrange((*key, -1), f"Slip {names} onto one needle each", step.span, before=held)
    line = desk.printed(Graft(front, back), "graft", step.span, regions=hands.spans())
    hands.regions, hands.needles = (), ()
    desk.put((*key, 0), (line,), step)


def _to_the_side(desk: Desk, step: Step, key: Key) -> None:
    hands = desk.hands
    before, forward = hands.spans(), hands.spans()[0][1]
    line = desk.printed(
        Round((Part(Line((Op("k", forward, remark="to the side of the toe"),))),)),
        "part_round",
        step.span,
        regions=before,
    )
    hands.move_start(forward)
    desk.put(key, (line,), replace(step, say=None, why=None, check=None), note=ONTO_THE_LAST)


def write_bind_off(desk: Desk, step: Step, key: Key) -> None:
    """`bind_off`: all stitches, or so many."""
    count = desk.count(step.count, step.span) if step.count else None
    if count is not None and count > desk.hands.total:
        raise desk.refuse("misfit", f"{count} sts to bind off, {desk.hands.total} are on the needles", step.span)
    line = desk.printed(BindOff(count), "bind_off", step.span, regions=desk.hands.spans())
    if count is None or count == desk.hands.total:
        desk.hands.regions, desk.hands.needles = (), ()
    desk.put((*key, 0), (line,), with_way(desk, step))


def write_gather(desk: Desk, step: Step, key: Key) -> None:
    """`gather`: draw the yarn through what is left."""
    wanted = desk.count(step.count, step.span) if step.count else desk.hands.total
    if wanted != desk.hands.total:
        raise desk.refuse(
            "gather",
            f"{wanted} sts to gather, {desk.hands.total} are on the needles",
            step.span,
            expected=str(wanted),
            found=str(desk.hands.total),
        )
    line = desk.printed(Gather(desk.hands.total), "gather", step.span, regions=desk.hands.spans())
    desk.hands.regions, desk.hands.needles = (), ()
    desk.put((*key, 0), (line,), step)
