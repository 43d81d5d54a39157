"""Lists and Markdown that took minutes: thousands of commas, brackets, and marks within marks."""

from __future__ import annotations

import pytest

from grader.loading.class_list import class_list_of
from grader.markup import MOST_BRACKETS, markdown_tree

from .guarded import PATTERN, at_once, findings_in


def test_a_head_of_twenty_thousand_commas() -> None:
    with at_once():
        members, findings = class_list_of(("name,foot" + "," * 20_000 + "\nAda,22cm\n").encode(), "list.csv")
    assert members is None
    assert [f"{each.span}: {each.message}" for each in findings] == [
        "list.csv:1:1: this comes to 20002 columns in a list, and 200 are the most"
    ]


def test_a_head_that_is_one_cell_of_twenty_thousand_commas() -> None:
    with at_once():
        members, findings = class_list_of(("name;foot (cm)" + "," * 20_000 + "\nAda;22\n").encode(), "list.csv")
    assert members is None
    assert [each.code for each in findings] == ["no-head"]


_MARKS = ("[", "![", "[x](", "[]", "[a](b '", "1. ", "- ", "> ", ">", "*a ", "**a ", "_", "`a", "<")


@pytest.mark.parametrize("sign", _MARKS)
def test_marks_by_the_thousand_are_read_at_once_and_none_is_lost(sign: str) -> None:
    text = sign * 3900 + "end"
    with at_once():
        found = "".join(markdown_tree(text).itertext())
    assert "end" in found
    assert found.count("[") == text.count("[") or sign == "[x]("


def test_few_brackets_are_still_links() -> None:
    assert markdown_tree("[a](b) " * MOST_BRACKETS).find(".//a") is not None


def test_notes_of_thousands_of_brackets_let_the_pattern_through() -> None:
    assert not [each for each in findings_in(PATTERN + f'notes:\n  - "{"[" * 3900}"\n') if each.is_error]
