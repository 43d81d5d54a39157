"""Reads published figures off a sock that has been knitted through, each by its name.

A figure is read from the worked record or from the graded numbers; nothing here is taken from the pattern file.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from fractions import Fraction

from grader.inspection.foot import measure_foot
from grader.models.record import WorkedLine
from grader.pipeline import Checked, Sock
from grader.yarn_use import yarn_for_pair

from .engine import FOUR, section, turn_of

INCH = Fraction(254, 100)  # cm
Reading = object  # a count, a length, or a list of counts


def read(name: str, checked: Checked, sock: Sock) -> Reading:
    """The figure of that name; a name without a reading of its own is a graded number."""
    if name in _OF_THE_PATTERN:
        return _OF_THE_PATTERN[name](checked, sock)
    if name in _OF_THE_SOCK:
        return _OF_THE_SOCK[name](sock)
    return _plain(sock.graded.names[name].amount)


def only_on(name: str) -> str:
    """The one setup that a figure speaks of; "" where it holds in all."""
    return FOUR if name.startswith("needles_") else ""


def _plain(amount: Fraction) -> int | float:
    return int(amount) if amount.denominator == 1 else float(amount)


def _rounds(sock: Sock, *names: str) -> list[WorkedLine]:
    """Every round of these sections, once for each time it was worked."""
    found = [line for line in sock.record.in_order() if line.section in names and line.kind == "round"]
    return [line for line in found for _ in range(line.times)]


def _rows(sock: Sock, name: str) -> list[WorkedLine]:
    found = [line for line in sock.record.in_order() if line.section == name and line.kind == "row"]
    return [line for line in found for _ in range(line.times)]


def _picked_up(sock: Sock) -> WorkedLine:
    return next(line for line in sock.record.lines if line.kind == "pick_up")


def _picked_each_side(sock: Sock) -> int | float:
    line = _picked_up(sock)
    return _plain(Fraction((line.after or 0) - (line.before or 0), 2))


def _sole(sock: Sock, place: int) -> int:
    """Sole stitches before one round of the gusset."""
    line = _rounds(sock, "Gusset")[place]
    return sum(count for name, count in line.regions if name == "sole")


def _gusset_decreases(sock: Sock) -> int:
    return sum(1 for line in _rounds(sock, "Gusset") if line.shaping)


def _needles_at_the_gusset(sock: Sock) -> list[int]:
    """What the needles hold once the round starts at the centre of the sole."""
    after = itertools.takewhile(lambda line: line.kind != "round", section(sock.record, "Gusset"))
    return list(list(after)[-1].needles)


def _toe_steps(sock: Sock) -> list[list[int]]:
    """The decrease rounds of the toe as [times, every so many rounds]."""
    rounds = _rounds(sock, "Toe")
    at = [place for place, line in enumerate(rounds) if line.shaping] + [len(rounds)]
    every = [second - first for first, second in itertools.pairwise(at)]
    return [[len(list(same)), gap] for gap, same in itertools.groupby(every)]


def _shaped_at_once(sock: Sock) -> list[int]:
    """How many decreases or increases the shaped rounds of the leg have: one number if all are alike."""
    return sorted({len(line.shaping) for line in _rounds(sock, "Leg") if line.shaping})


def slack(name: str, checked: Checked) -> float:
    """How far a figure may lie off: half a round for a length that is knitted in rounds, and half of its last place."""
    unit = {"cm": Fraction(1), "in": INCH}.get(name.rpartition("_")[2])
    if unit is None or name not in _OF_THE_PATTERN:
        return 0
    return float(Fraction(1, 2) / checked.pattern.gauge.rounds / unit) + 0.005


def _length(checked: Checked, sock: Sock, unit: Fraction, *names: str) -> float:
    """Rounds of these sections as a length."""
    return float(len(_rounds(sock, *names)) / checked.pattern.gauge.rounds / unit)


def _foot_length(checked: Checked, sock: Sock, unit: Fraction) -> float:
    foot = measure_foot(checked.pattern, sock.record)
    assert foot is not None
    return float(foot.length / unit)


def _girth(checked: Checked, sock: Sock, unit: Fraction) -> int | float:
    return _plain((_rounds(sock, "Foot")[-1].after or 0) / checked.pattern.gauge.stitches / unit)


def _grams(checked: Checked, sock: Sock) -> float:
    """Yarn for a pair in grams, without the swatch: those who advise balls for a pair reckon with none."""
    use = yarn_for_pair(checked.pattern, sock.record)
    return use.grams_pair - use.swatch.grams


_OF_THE_SOCK: dict[str, Callable[[Sock], Reading]] = {
    "stitches_cast_on": lambda sock: next(line.after for line in sock.record.lines if line.kind == "cast_on"),
    "stitches_of_the_foot": lambda sock: _rounds(sock, "Foot")[-1].after,
    "stitches_after_the_leg": lambda sock: _rounds(sock, "Leg")[-1].after,
    "leg_shaped_at_once": _shaped_at_once,
    "leg_shaped_rounds": lambda sock: sum(1 for line in _rounds(sock, "Leg") if line.shaping),
    "heel_stitches": lambda sock: _rows(sock, "Heel flap")[0].before,
    "flap_rows": lambda sock: len(_rows(sock, "Heel flap")),
    "first_plain": lambda sock: turn_of(sock.record).rs_plain_sequence[0],
    "second_plain": lambda sock: turn_of(sock.record).ws_plain_sequence[0],
    "rs_plain_sequence": lambda sock: list(turn_of(sock.record).rs_plain_sequence),
    "ws_plain_sequence": lambda sock: list(turn_of(sock.record).ws_plain_sequence),
    "left_after_turn": lambda sock: turn_of(sock.record).left,
    "turn_rows": lambda sock: turn_of(sock.record).rows,
    "turn_begins": lambda sock: [line.text for line in _rows(sock, "Heel turn")[:2]],
    "picked_up_each_side": _picked_each_side,
    "stitches_after_pick_up": lambda sock: _picked_up(sock).after,
    "sole_after_pick_up": lambda sock: _sole(sock, 0),
    "sole_before_gusset": lambda sock: _sole(sock, 0),
    "sole_with_gusset": lambda sock: _sole(sock, -1),  # a plain round ends it
    "gusset_decrease_rounds": _gusset_decreases,
    "stitches_to_lose": lambda sock: sum(len(line.shaping) for line in _rounds(sock, "Gusset")),
    "decreased_to": lambda sock: _rounds(sock, "Gusset")[-1].after,
    "needles_after_pick_up": _needles_at_the_gusset,
    "needles_of_the_foot": lambda sock: list(_rounds(sock, "Foot")[-1].needles),
    "toe_steps": _toe_steps,
    "toe_rounds_worked": lambda sock: len(_rounds(sock, "Toe")),
    "left_after_toe": lambda sock: _rounds(sock, "Toe")[-1].after,
}
_OF_THE_PATTERN: dict[str, Callable[[Checked, Sock], Reading]] = {
    "leg_cm": lambda checked, sock: _length(checked, sock, Fraction(1), "Cuff", "Leg"),
    "leg_in": lambda checked, sock: _length(checked, sock, INCH, "Cuff", "Leg"),
    "sock_foot_cm": lambda checked, sock: _foot_length(checked, sock, Fraction(1)),
    "sock_foot_in": lambda checked, sock: _foot_length(checked, sock, INCH),
    "knitted_to_gusset_in": lambda checked, sock: _length(checked, sock, INCH, "Toe", "Foot"),
    "girth_in": lambda checked, sock: _girth(checked, sock, INCH),
    "grams_at_most": _grams,
}
