"""Changing colour: which yarn a step is worked in, and the line that says so where another one is in hand."""

from __future__ import annotations

from grader.models.instructions import Block, PrintedLine
from grader.models.pattern import Step
from grader.notation.tree import Change
from grader.setups.desk import Desk

Key = tuple[int, ...]
FIRST = -100_000  # the place of a change among the blocks of its step: before all others
_IDLE = ("rest", "rejoin", "arrange", "note", "waste_yarn", "open")  # no yarn of the sock is worked


def colour_of(desk: Desk, step: Step, outer: Step | None = None) -> str:
    """The yarn of a step: its own, or that of the repeat round it, of its section, or the first of the pattern."""
    if not desk.pattern.colours:
        return ""
    return step.colour or (outer.colour if outer else "") or desk.section.colour or desk.pattern.colours[0].name


def take_in_hand(desk: Desk, step: Step) -> str:
    """Before a step is written: take its yarn in hand. The yarn that was in hand until now."""
    before = desk.hands.yarn
    if step.kind not in _IDLE:
        desk.hands.yarn = _first_of(desk, step) or before
    return before


def say_change(desk: Desk, step: Step, key: Key, before: str, place: int) -> None:
    """After a step is written: say its yarn before its blocks, those from `place` on, if `before` another was in hand.

    A step that wrote nothing in this size leaves the hands as they were.
    """
    if not any(block.lines for block in desk.blocks[place:]):
        desk.hands.yarn = before
        return
    colour = "" if step.kind in _IDLE else _first_of(desk, step)
    if colour and colour != before:
        line = desk.printed(Change(colour, "Change to" if before else "Begin with"), "note", step.span)
        desk.blocks.insert(place, Block((*key, FIRST), (line,)))
    if not desk.hands.total:  # the last stitch is closed and the yarn broken: what is opened later begins anew
        desk.hands.yarn = ""


def change_within(desk: Desk, step: Step, inner: Step, first: bool) -> tuple[PrintedLine, ...]:
    """The line before a step of a repeat that says its yarn; every pass says it alike, the first as well."""
    colour = colour_of(desk, inner, step)
    if not colour or (colour == desk.hands.yarn and not (first and not _first_of(desk, step))):
        return ()
    desk.hands.yarn = colour
    return (desk.printed(Change(colour, "With"), "note", inner.span),)


def _first_of(desk: Desk, step: Step) -> str:
    """The yarn to be in hand before a step; "" where its passes begin with another than they end with."""
    if step.kind != "repeat":
        return colour_of(desk, step)
    colours = [colour_of(desk, inner, step) for inner in step.steps if desk.holds(inner.when)]
    return colours[0] if colours and colours[0] == colours[-1] else ""
