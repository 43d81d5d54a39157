"""The blocks of a sock stand in the order of their keys: print is put into that order, and hands work in it."""

from __future__ import annotations

import itertools

import pytest

from grader.loading import load_text
from grader.pipeline import Wanted, check
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart

from .combining import combinations, pattern_of

SHIPPED = sorted(path.stem for path in folder("patterns").glob("*.yaml"))
HERE = str(folder("patterns") / "put_together.yaml")


def in_order(text: str, path: str = HERE) -> None:
    pattern, findings = load_text(text, path, read_chart)
    assert pattern is not None, findings
    for sock in check(pattern, Wanted()).socks:
        for section in sock.instructions.sections:
            for before, after in itertools.pairwise(section.blocks):
                assert before.key < after.key, (sock.instructions.setup, section.name, before.key, after.key)


@pytest.mark.parametrize("name", SHIPPED)
def test_a_pattern_that_ships_is_printed_in_the_order_it_is_worked(name: str) -> None:
    path = folder("patterns") / f"{name}.yaml"
    in_order(path.read_text(encoding="utf-8"), str(path))


@pytest.mark.parametrize("parts", list(combinations())[::97], ids=", ".join)
def test_so_is_a_pattern_of_parts(parts: tuple[str, ...]) -> None:
    in_order(pattern_of(parts))
