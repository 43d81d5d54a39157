"""Every character of a YAML text is found again in its file, whatever quotes and folds it is written in."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grader.loading.source import source_of
from grader.loading.tree import Node, read_tree


def _value(text: str) -> Node:
    source, findings = source_of(text, "p")
    assert source is not None, findings
    root, _ = read_tree(source)
    assert root is not None
    node = root.child("a")
    assert node is not None
    return node


@pytest.mark.parametrize(
    ("text", "wanted", "place"),
    [
        ("a: one X\n", "X", (1, 8)),
        ("a: 'it''s X'\n", "X", (1, 11)),
        ('a: "\\u00e9\\t\\"X"\n', "X", (1, 15)),
        ('a: "one \\\n    X"\n', "X", (2, 5)),
        ("a: one\n   two X\n", "X", (2, 8)),
        ("a: |\n  one\n\n   two X\n", "X", (4, 8)),
        ("a: >-\n  one\n  two X\n", "X", (3, 7)),
        ('a: "one\n\n  two X"\n', "X", (3, 7)),
        ("a: ÄÖ\U0001f9e6 X\n", "X", (1, 8)),
    ],
)
def test_the_place_of_a_character(text: str, wanted: str, place: tuple[int, int]) -> None:
    node = _value(text)
    span = node.at(node.text.index(wanted))
    assert (span.line, span.column) == place


@settings(deadline=None)
@given(st.text(alphabet="ab {}é'\"\\", min_size=1, max_size=20).map(str.strip).filter(bool), st.sampled_from("'\""))
def test_every_character_is_found_in_quotes(text: str, quote: str) -> None:
    written = text.replace("'", "''") if quote == "'" else text.replace("\\", "\\\\").replace('"', '\\"')
    line = f"a: {quote}{written}{quote}"
    node = _value(line + "\n")
    assert node.text == text
    for offset, sign in enumerate(text):
        if sign != " ":
            found = line[node.at(offset).column - 1 :]
            assert found.startswith(sign) or found.startswith("\\" + sign)
