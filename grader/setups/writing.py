"""Writing a graded sock out in one needle setup, step by step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from grader.models.graded import Graded
from grader.models.instructions import Instructions, SectionLines
from grader.models.pattern import Pattern, Section, Step
from grader.setups.colours import say_change, take_in_hand
from grader.setups.desk import Desk, Unwritable
from grader.setups.endings import write_bind_off, write_gather, write_graft
from grader.setups.hands import Hands
from grader.setups.heels import write_rejoin, write_rest, write_rows
from grader.setups.holding import SETUPS
from grader.setups.joins import (
    TooSmall,
    refuse_if_too_small,
    write_arrange,
    write_cast_on,
    write_part_round,
    write_pick_up,
)
from grader.setups.moves import without_vain
from grader.setups.panels import check_stops
from grader.setups.repeats import write_repeat, write_rounds_until
from grader.setups.rounds import Key
from grader.setups.waste import write_open, write_waste_yarn
from grader.vocabulary.findings import Finding, Ledger

Writer = Callable[[Desk, Step, Key], None]
_WRITERS: dict[str, Writer] = {
    "round": write_rounds_until,
    "rounds": write_rounds_until,
    "repeat": write_repeat,
    "row": write_rows,
    "rows": write_rows,
    "rest": write_rest,
    "rejoin": write_rejoin,
    "pick_up": write_pick_up,
    "part_round": write_part_round,
    "arrange": write_arrange,
    "graft": write_graft,
    "bind_off": write_bind_off,
    "gather": write_gather,
    "waste_yarn": write_waste_yarn,
    "open": write_open,
}


def setup_names() -> tuple[str, ...]:
    """The needle setups there are, in the order they are printed."""
    return tuple(SETUPS)


def write_out(
    pattern: Pattern,
    graded: Graded,
    setup: str,
    terms: str = "UK",
    units: str = "cm",
    sock: str = "left",
) -> tuple[Instructions | None, list[Finding]]:
    """The printed lines of one size in one setup.

    `setup` is one of `setup_names()`, `terms` "UK" or "US", `units` "cm", "in" or "both", `sock` "left" or "right",
    where the two of a pair differ. None where the setup
    can't hold the size (a remark says why) or a step can't be written (a finding says which).
    """
    hands = Hands(SETUPS[setup])
    ledger = Ledger()
    sections: list[SectionLines] = []
    try:
        for number, section in enumerate(pattern.sections):
            if section.sock not in ("", sock):
                continue
            desk = Desk(pattern, graded, hands, SETUPS[setup], terms, units, section, ledger)
            _write_section(desk, section, number)
            sections.append(
                SectionLines(
                    section.name,
                    section.over,
                    tuple(desk.blocks),
                    desk.prose(section.say),
                    desk.prose(section.why),
                    desk.prose(section.check),
                    (
                        *desk.claims(section.say, "say"),
                        *desk.claims(section.why, "why"),
                        *desk.claims(section.check, "check"),
                    ),
                )
            )
        check_stops(pattern, hands, graded.body.name, ledger)
    except (Unwritable, TooSmall):
        return None, ledger.entries
    own = sock if pattern.is_pair else ""
    colours = tuple(colour.name for colour in pattern.colours)
    told = without_vain(tuple(sections), terms)
    return Instructions(graded.body.name, graded.index, setup, terms, told, colours, own), ledger.entries


def _write_section(desk: Desk, section: Section, number: int) -> None:
    for place, step in enumerate(section.steps):
        if not desk.holds(step.when):
            continue
        key = (number, place)
        _check_live(desk, step)
        before = len(desk.blocks)
        yarn = take_in_hand(desk, step)
        if step.kind == "cast_on":
            following = section.steps[place + 1] if place + 1 < len(section.steps) else None
            write_cast_on(desk, step, key, following)
        elif step.kind == "note":
            desk.put((*key, 0), (), step)
        else:
            _WRITERS[step.kind](desk, step, key)
        _within_budget(desk, step, before)
        _own_words(desk, step, before)
        say_change(desk, step, key, yarn, before)
    cast_on = next((step for step in section.steps if step.kind == "cast_on"), None)
    if cast_on:
        refuse_if_too_small(desk, cast_on)


def _within_budget(desk: Desk, step: Step, before: int) -> None:
    """No step may leave more stitches on the needles, or come to more rounds with those before it, than a sock has."""
    desk.afford("stitches", desk.hands.total, step.span)
    told = sum(len(block.lines) * block.times for block in desk.blocks[before:])
    desk.hands.told += told
    desk.afford("rounds", desk.hands.told, step.span)


def _check_live(desk: Desk, step: Step) -> None:
    """What is cast on or taken up is the first of its sock; all else works stitches that are there."""
    total = desk.hands.total
    if step.kind in ("cast_on", "open"):
        if total:
            message = f"{total} sts are on the needles still"
            mend = "cast off, graft or gather them first"
            raise desk.refuse(step.kind, message, step.span, expected="0", found=str(total), mend=mend)
    elif step.kind != "note" and not total:
        message = "there are no stitches on the needles"
        raise desk.refuse("no-stitches", message, step.span, mend="cast on first, or delete the step")


def _own_words(desk: Desk, step: Step, before: int) -> None:
    """What a step says in this setup only goes with its first block."""
    for override in step.overrides:
        if override.setup == desk.hands.setup.name and override.say and len(desk.blocks) > before:
            block = desk.blocks[before]
            words = " ".join(part for part in (block.say, desk.prose(override.say)) if part)
            desk.blocks[before] = replace(block, say=words, claims=(*block.claims, *desk.claims(override.say, "say")))
