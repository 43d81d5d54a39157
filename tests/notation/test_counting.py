"""Counting a line over its stitches, cutting it at the joins of needles, and printing the parts again."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK, mistake_of

from grader.notation import print_line, read_line
from grader.notation.counting import MisfitError, SplitError, edge_of, fill, reflow, repeat_of, resolve, split
from grader.notation.tree import Line, Op, Round

LINES = (
    *("K to end", "K1, ssk, K to last 3 sts, k2tog, K1", "*K2, P2; rep from * to end"),
    *(
        "K2, *P1, K1; rep from * to end",
        "*K1, P1; rep from * to last 2 sts, K2",
        "k2tog, K to end",
        "P to last 2 sts, ssp",
        "K3, yo, K to last st, P1",
    ),
    "(K2, P2) twice, K to end",
)


def line_of(text: str) -> Line:
    """The one line of a text."""
    statement = read_line(text)
    assert isinstance(statement, Round)
    return statement.parts[0].line


@settings(QUICK, max_examples=120)
@given(st.sampled_from(LINES), st.integers(0, 60))
def test_a_line_takes_every_stitch_or_says_how_many_it_asks_for(text: str, total: int) -> None:
    """Resolved over so many stitches it takes them all; a misfit tells what was asked and what is there."""
    line = line_of(text)
    fits = total >= edge_of(line) and (total - edge_of(line)) % repeat_of(line) == 0
    mistake = mistake_of(MisfitError, lambda: resolve(line, total))
    assert fits == (mistake is None)
    if mistake is not None:
        assert mistake.there == total
        assert mistake.asked != total
        return
    found = resolve(line, total)
    assert sum(stretch.takes for stretch in found) == total


@settings(QUICK, max_examples=120)
@given(st.sampled_from(LINES), st.integers(4, 60), st.data())
def test_a_line_cut_at_joins_is_worked_as_before(text: str, total: int, data: st.DataObject) -> None:
    """Each part takes the stitches of its needle, together they leave as many; read again, each fits its needle."""
    line = line_of(text)
    try:
        whole = resolve(line, total)
    except MisfitError:
        return
    cuts = tuple(sorted(data.draw(st.sets(st.integers(1, total - 1), max_size=3))))
    try:
        parts = split(whole, cuts)
    except SplitError:
        assert any(stretch.takes > 1 for stretch in whole)
        return
    ends = (0, *cuts, total)
    assert [sum(each.takes for each in part) for part in parts] == [b - a for a, b in itertools.pairwise(ends)]
    assert sum(each.leaves for part in parts for each in part) == sum(each.leaves for each in whole)
    for part in parts:
        takes, leaves = sum(each.takes for each in part), sum(each.leaves for each in part)
        printed = print_line(reflow(part))
        again = resolve(line_of(printed), takes)
        assert (sum(each.takes for each in again), sum(each.leaves for each in again)) == (takes, leaves)


@pytest.mark.parametrize(
    ("text", "total", "cuts", "printed"),
    [
        ("K1, ssk, K to last 3 sts, k2tog, K1", 32, (16,), ["K1, ssk, K to end", "K to last 3 sts, k2tog, K1"]),
        ("K1, ssk, K to last 3 sts, k2tog, K1", 6, (3,), ["K1, ssk, K to end", "K to last 3 sts, k2tog, K1"]),
        ("*K2, P2; rep from * to end", 16, (8,), ["*K2, P2; rep from * to end"] * 2),
        (
            "*K2, P2; rep from * to end",
            12,
            (6,),
            ["*K2, P2; rep from * to last 2 sts, K2", "P2, *K2, P2; rep from * to end"],
        ),
        ("K to end", 9, (3, 6), ["K", "K", "K"]),
    ],
)
def test_the_words_stay_those_of_the_line(text: str, total: int, cuts: tuple[int, ...], printed: list[str]) -> None:
    """What led goes to the first needle, what came last to the last; the run between is a run on each."""
    assert [print_line(reflow(part)) for part in split(resolve(line_of(text), total), cuts)] == printed


def test_formulas_are_filled_with_their_numbers() -> None:
    """Every count in braces becomes a whole number; what has none stays the same."""
    tree = read_line("Sl1, K{heel / 2}, *K{a}, ssk* {b} times, K to {c} sts before gap")
    values = {"heel / 2": 16, "a": 2, "b": 3, "c": 1}
    filled = fill(tree, values.__getitem__)
    assert filled == read_line("Sl1, K16, *K2, ssk* 3 times, K to 1 st before gap")
    plain = read_line("K5, ssk")
    assert fill(plain, values.__getitem__) == plain


def test_an_unfilled_formula_is_a_bug_not_a_count() -> None:
    """Counting before filling is a mistake of ours and raises `TypeError`."""
    with pytest.raises(TypeError, match="unfilled"):
        resolve(Line((Op("k", "heel"),)), 5)
