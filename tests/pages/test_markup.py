"""What is read by a shorter way is read as the library reads it."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown.inlinepatterns import Pattern

from grader.markup import _tree, markdown_tree

_MARKS = (
    "**", "*", "_", "\\", "`", "[a](b)", "<i>", "&amp;", "!", "  \n", "\n", "\n\n", "- ", "> ", "# ",
    "| ", "|\n|---|\n", "    ", "**Row 1:** ", "**k2**", "— ", "1. ", "don't ",
)  # fmt: skip
_TEXT = st.lists(st.sampled_from(_MARKS) | st.text("ab é:'☐…|", max_size=4), max_size=14).map("".join)


def _told(element: ET.Element) -> object:
    told = (element.tag, element.text or "", dict(element.attrib), element.tail or "")
    return (*told, [_told(child) for child in element])


@given(_TEXT)
@settings(max_examples=120, deadline=None)
def test_easy_text_is_read_as_any_other(text: str) -> None:
    easy = _tree(text, spared=True)
    assert _told(easy) == _told(_tree(text, spared=False))
    assert not set("".join(easy.itertext())) & {"\x02", "\x03"}


@pytest.mark.parametrize("text", ["**a** b **c**", "plain", "a **b c** d", "**Round 1:** k1."])
def test_easy_text_is_not_left_to_the_library(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    expected = _told(_tree(text, spared=False))
    monkeypatch.setattr(Pattern, "getCompiledRegExp", lambda *_: pytest.fail("looked for by the library"))
    assert _told(markdown_tree(text)) == expected


def test_marks_of_the_library_and_what_no_page_holds_are_left_out() -> None:
    tree = markdown_tree("a\x02b\x03 \x02amp\x03 don't&nbsp;&#2; \\* x\u202ey")
    assert "".join(tree.itertext()).strip() == "ab amp don’t\xa0 * xy"
