"""Wrong figures in sentences are found without a sample; every tenth of them, and one of each kind the whole way."""

from __future__ import annotations

from functools import cache

import pytest

from .in_sentences import FOUND, SURVIVED, Sentences, Slip, shipped

_WITH_MANY = ("ninepenny_bridge", "weir_walk")


@cache
def _bench(name: str) -> Sentences:
    return Sentences(shipped(name))


@pytest.mark.parametrize("name", _WITH_MANY)
def test_nearly_every_wrong_figure_is_found(name: str) -> None:
    bench = _bench(name)
    outcomes = [bench.judge(slip) for slip in list(bench.slips())[::6]]
    verdicts = [each.verdict for each in outcomes]
    survivors = [each.slip for each in outcomes if each.verdict == SURVIVED]
    assert verdicts.count(FOUND) >= 15
    assert verdicts.count(FOUND) >= 0.95 * (len(survivors) + verdicts.count(FOUND)), survivors


def test_the_short_cut_finds_what_the_whole_check_finds() -> None:
    bench = _bench("weir_walk")
    first: dict[str, Slip] = {}
    for slip in bench.slips():
        if slip.kind == "factor":
            first.setdefault(slip.stated, slip)
    assert len(first) >= 4
    for slip in first.values():
        assert bench.judge(slip).by == bench.as_a_whole(slip) != ""
