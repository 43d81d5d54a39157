"""Colours in the notation: what is printed reads back, and other wordings come out in the house style."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK, statements

from grader.notation import NotationError, print_statement, read_line
from grader.notation.counting import reflow, resolve, split
from grader.notation.tree import Change, Group, Line, Op, Part, Reach, Repeat, Round, Run, Statement

COLOURS = ("", "MC", "CC", "CC1", "CC9")


def _coloured(tree: Any, colours: list[str]) -> Any:
    """The same tree with its stitches and runs in these colours, in turn."""
    if isinstance(tree, Op | Run):
        colours.append(colours.pop(0))
        return replace(tree, colour=colours[-1])
    if isinstance(tree, Group | Repeat | Line):
        return replace(tree, items=tuple(_coloured(each, colours) for each in tree.items))
    if isinstance(tree, Part):
        return replace(tree, line=_coloured(tree.line, colours))
    if isinstance(tree, Round):
        return replace(tree, parts=tuple(_coloured(each, colours) for each in tree.parts))
    return tree


coloured = st.builds(_coloured, statements, st.lists(st.sampled_from(COLOURS), min_size=1, max_size=4)).filter(
    lambda tree: len(print_statement(tree)) <= 2000
)
changes = st.builds(Change, st.sampled_from(COLOURS[1:]), st.sampled_from(("Begin with", "Change to", "With")))


@settings(QUICK, max_examples=80)
@given(st.one_of(coloured, changes), st.sampled_from(("UK", "US")))
def test_a_line_in_colours_reads_back_to_the_same_tree(tree: Statement, terms: str) -> None:
    """Every statement with any of its stitches in colours reads back to itself, in capitals or not."""
    text = print_statement(tree, terms)
    assert read_line(text) == tree
    if isinstance(tree, Change):
        assert read_line(f"{text.lower()}.") == tree


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("k2 mc", "K2 MC"),
        ("*K1 MC, K1 CC; rep from * to end", "*K1 MC, K1 CC; rep from * to end"),
        ("K2 in MC, K to end with CC", "K2 MC, K to end in CC"),
        ("Knit with CC", "K in CC"),
        ("K MC", "K in MC"),
        ("P CC2 to last 2 sts, P2 CC2", "P to last 2 sts in CC2, P2 CC2"),
        ("sl1 wyif CC, ssk MC", "Sl1 wyif CC, ssk MC"),
        ("K8 MC to the centre of the heel", "K8 MC to the centre of the heel"),
        ("(k1, p1, k1) into one CC", "(k1, p1, k1) into one CC"),
        ("in pattern with CC", "in pattern in CC"),
        ("Join CC.", "Change to CC"),
        ("switch to cc1", "Change to CC1"),
        ("with MC", "With MC"),
        ("begin with mc", "Begin with MC"),
    ],
)
def test_other_wordings_come_out_in_the_house_style(written: str, printed: str) -> None:
    assert print_statement(read_line(written)) == printed
    assert read_line(printed) == read_line(written)


@pytest.mark.parametrize("text", ["K2 XC", "K2 CC0", "K2 CC12", "K2 MC CC", "Change to blue", "With", "K in", "MC"])
def test_what_is_no_colour_is_not_read_as_one(text: str) -> None:
    with pytest.raises(NotationError):
        read_line(text)


def test_runs_and_splits_keep_their_colour() -> None:
    """A run counted and split over two needles is still in its colour on both."""
    line = Line((Op("k", 2, colour="MC"), Run("k", Reach("end", 1), "CC"), Op("k", 1, colour="MC")))
    pieces = split(resolve(line, 12), (6,))
    told = [print_statement(Round((Part(reflow(piece)),))) for piece in pieces]
    assert told == ["K2 MC, K to end in CC", "K to last st in CC, K1 MC"]
