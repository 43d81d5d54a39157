"""The kinds of what a number in a sentence states: one table, all of it answered and told."""

from __future__ import annotations

from pathlib import Path

import pytest

from grader.inspection.claims import ANSWERS
from grader.vocabulary.statements import KINDS, kind_named, kinds_for, parted, without_kinds

_README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_kind_is_answered_and_told(kind: object) -> None:
    assert kind.name in ANSWERS
    assert f"`{kind.name}`" in _README
    assert len(ANSWERS) == len(KINDS)


def test_a_kind_is_told_by_its_words() -> None:
    found = {
        words: kind_named(words) for words in ("sts", "sts  of the left heel", "sts of the", "finished", "chain", "")
    }
    named = {words: (each[0].name, each[1]) for words, each in found.items() if each}
    assert named == {"sts": ("sts", ""), "sts  of the left heel": ("sts of the REGION", "left heel")}


def test_a_number_has_only_kinds_of_its_unit() -> None:
    assert not {each.name for each in kinds_for("a length")} & {each.name for each in kinds_for("stitches")}
    assert {each.name for each in kinds_for("stitches")} & {each.name for each in kinds_for("rounds")} == {
        "chains",
        "divisor",
        "times",
    }
    assert kinds_for("stitches per length") == ()


def test_commas_within_brackets_part_nothing() -> None:
    assert parted("min(a, b), sts") == ("min(a, b)", "sts", 11)
    assert parted("max(a, b)") == ("max(a, b)", "", 9)
    assert without_kinds("A tail of {tail, tail}, or {min(a, b),sts}.") == "A tail of {tail}, or {min(a, b)}."
