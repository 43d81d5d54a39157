"""The blocks of a sock stand in the order of their keys: print is put into that order, and hands work in it."""

from __future__ import annotations

import itertools

import pytest
from shipped import NAMES, knitted_whole

from grader.pipeline import Checked


def assert_in_order(checked: Checked) -> None:
    """The keys of the blocks rise in every section of every sock; the combinations of parts are held to it too."""
    for sock in checked.socks:
        for section in sock.instructions.sections:
            for before, after in itertools.pairwise(section.blocks):
                assert before.key < after.key, (sock.instructions.setup, section.name, before.key, after.key)


@pytest.mark.parametrize("name", NAMES)
def test_a_pattern_that_ships_is_printed_in_the_order_it_is_worked(name: str) -> None:
    assert_in_order(knitted_whole(name))
