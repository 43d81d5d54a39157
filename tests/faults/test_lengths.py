"""Lengths and counts of parts that aim at too much or too little are found without a sample, a few of all at a time."""

from __future__ import annotations

from functools import cache

from .lengths import MOVED, Outcome, every_change, sock_of

_EVERY, _FIRST = 41, 5


@cache
def outcomes() -> tuple[Outcome, ...]:
    changes = [each for each in every_change() if "depth" not in each[1].rule][_FIRST::_EVERY]
    return tuple(sock_of(parts).judge(change) for parts, change in changes)


def test_what_moves_the_finished_sock_by_a_centimetre_is_found_without_a_sample() -> None:
    moved = [each for each in outcomes() if each.verdict == MOVED]
    assert len(moved) >= 5
    assert [str(each.change) for each in moved if not each.by] == []


def test_what_finds_it_are_several_checks() -> None:
    assert len({each.by for each in outcomes()} - {""}) >= 3
