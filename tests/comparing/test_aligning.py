"""The alignment itself: nothing is lost, like finds like, and both directions agree."""

from __future__ import annotations

from hypothesis import example, given
from hypothesis import strategies as st

from grader.comparing.aligning import align, overlap

LINES = st.lists(st.sampled_from(["K", "P", "K1, ssk, K", "K1, k2tog, K", "*K2, P2* to end"]), max_size=7)


def likeness(old: str, new: str) -> float:
    return 4.0 if old == new else overlap(old, new) if overlap(old, new) >= 0.5 else 0.0


def aligned(old: list[str], new: list[str]) -> list[tuple[str | None, str | None]]:
    return align(old, new, likeness, lambda each: (each,))


@given(LINES, LINES)
@example(["K", "P"], ["P", "K"])
def test_both_directions_agree_and_nothing_is_lost(old: list[str], new: list[str]) -> None:
    pairs = aligned(old, new)
    assert [one for one, _ in pairs if one is not None] == old
    assert [other for _, other in pairs if other is not None] == new
    matched = [pair for pair in pairs if None not in pair]
    assert [(other, one) for one, other in matched] == [pair for pair in aligned(new, old) if None not in pair]


@given(LINES, st.integers(0, 7))
def test_a_line_put_in_moves_no_other(old: list[str], at: int) -> None:
    new = [*old[:at], "graft", *old[at:]]
    assert [pair for pair in aligned(old, new) if pair[0] != pair[1]] == [(None, "graft")]
