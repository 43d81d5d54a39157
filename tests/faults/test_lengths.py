"""Lengths and counts of parts that aim at too much or too little are found without a sample, a few of all at a time."""

from __future__ import annotations

from functools import cache

from .lengths import KINDS, MOVED, Outcome, covering, sock_of

# Two socks with a part of each kind that is changed; the harness itself has all parts.
_SOCKS = (
    ("cuff-3x1-rib", "leg-calf", "heel-wrapped-short-row", "foot-plain", "toe-wedge"),
    ("cuff-2x2-rib", "leg-ankle", "heel-flap-slipped", "turn-band", "gusset", "foot-plain", "toe-round"),
)
_EVERY, _FIRST = 13, 3


@cache
def outcomes() -> tuple[Outcome, ...]:
    changes = [(parts, change) for parts in _SOCKS for part in parts for change in sock_of(parts).changes(part)]
    return tuple(sock_of(parts).judge(change) for parts, change in changes[_FIRST::_EVERY] if change.part in covering())


def test_what_moves_the_finished_sock_by_a_centimetre_is_found_without_a_sample() -> None:
    moved = [each for each in outcomes() if each.verdict == MOVED]
    assert len(moved) >= 5
    assert [str(each.change) for each in moved if not each.by] == []


def test_what_finds_it_are_several_checks() -> None:
    assert len({each.by for each in outcomes()} - {""}) >= 3


def test_every_part_of_these_kinds_is_changed_in_a_sock() -> None:
    kinds = {part.removeprefix("toe-up-").partition("-")[0] for part in covering()}
    assert set(KINDS) <= kinds
