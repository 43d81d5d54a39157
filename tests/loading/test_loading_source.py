"""What can be wrong with a file before it is YAML, and bytes of every kind."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grader.loading import load_pattern, load_text
from grader.vocabulary.bodies import Body

SHIPPED = Path(__file__).parents[2] / "patterns" / "ninepenny_bridge.yaml"


def _no_charts(name: str) -> tuple[Body, ...]:
    raise KeyError(name)


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "1:1: this file is empty"),
        (b" \n\n", "1:1: this file is empty"),
        (b"# only a remark\n", "1:1: a pattern begins with keys such as title: and gauge:"),
        (b"---\n", "2:1: a pattern begins with keys such as title: and gauge:"),
        (b"title: caf\xe9\n", "1:11: the byte 0xe9 is not UTF-8"),
        (b"title: x\nauthor: \xc3\xa9\xff\n", "2:10: the byte 0xff is not UTF-8"),
        ("title: x\n".encode("utf-16"), "1:1: this file is in UTF-16"),
        (b"title: x\0y\n", "1:9: the control character U+0000 stands here"),
        (b"title: x\nauthor: \x1b[0m\n", "2:9: the control character U+001B stands here"),
        (b"title: " + b"x" * (1 << 20), "1:1: this file is larger than 1 MiB"),
        (b"title: " + b"x" * 5000, "1:8: this comes to 5000 characters in one text, and 4000 are the most"),
        (b"notes: [" + b"x, " * 20_001 + b"x]", "1:60000: this comes to more than 20000 values in one file"),
        (b"{" * 1000, "1:41: values stand more than 40 levels deep here"),
        (b"plain words\n", "1:1: a pattern begins with keys such as title: and gauge:"),
    ],
)
def test_a_file_that_is_no_pattern(tmp_path: Path, data: bytes, expected: str) -> None:
    path = tmp_path / "pattern.yaml"
    path.write_bytes(data)
    pattern, findings = load_pattern(str(path))
    assert pattern is None
    assert [f"{each.span}: {each.message}" for each in findings] == [f"{path}:{expected}"]
    assert all(each.mend for each in findings)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("missing.yaml", "there is no such file"),
        (".", "this is a folder, not a pattern file"),
        ("nul\0", "no file can have this name"),
    ],
)
def test_a_file_that_can_not_be_read(tmp_path: Path, name: str, expected: str) -> None:
    path = os.path.join(tmp_path, name)
    pattern, findings = load_pattern(path)
    assert pattern is None
    assert [(each.message, str(each.span)) for each in findings] == [(expected, f"{path}:1:1")]


def test_a_file_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    (tmp_path / "pattern.yaml").write_text("title: T", encoding="utf-8")
    monkeypatch.setattr("os.open", refuse)
    pattern, findings = load_pattern(str(tmp_path / "pattern.yaml"))
    assert pattern is None
    assert [each.message for each in findings] == ["this file may not be read"]


def test_a_mark_of_byte_order_is_passed_over() -> None:
    _, plain = load_text("titel: x\n", "p", _no_charts)
    _, marked = load_text("\ufefftitel: x\n", "p", _no_charts)
    assert plain == marked
    assert plain


def test_billions_of_nothing_are_refused_at_once() -> None:
    text = "a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a, *a, *a]\n" for n in range(9))
    pattern, findings = load_text(text, "bomb", _no_charts)
    assert pattern is None
    assert {each.message.split()[0] for each in findings} == {"anchors", "aliases"}


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=400))
def test_no_bytes_make_the_loader_fail(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "bytes.yaml"
    path.write_bytes(data)
    pattern, findings = load_pattern(str(path), _no_charts)
    assert pattern is None
    assert findings
    assert all(each.span and each.span.line >= 1 and each.span.column >= 1 for each in findings)


@settings(max_examples=60, deadline=None)
@given(st.text(alphabet=st.sampled_from("ab01 \n:-{}[]\"'*&!|>#%,~?"), max_size=120))
def test_no_text_makes_the_loader_fail(text: str) -> None:
    pattern, findings = load_text(text, "text", _no_charts)
    assert pattern is None
    assert findings


def _mutated(text: str, rolls: random.Random, times: int) -> str:
    """Lines and characters deleted, doubled, swapped or overwritten."""
    for _ in range(times):
        lines = text.split("\n")
        at, other = rolls.randrange(len(lines)), rolls.randrange(len(lines))
        change = rolls.randrange(7)
        if change == 0:
            del lines[at]
        elif change == 1:
            lines.insert(other, lines[at])
        elif change == 2:
            lines[at], lines[other] = lines[other], lines[at]
        text = "\n".join(lines)
        place = rolls.randrange(len(text)) if text else 0
        if change == 3:
            text = text[:place] + text[place + 1 :]
        elif change == 4:
            text = text[:place] + text[place : place + 1] * 2 + text[place + 1 :]
        elif change == 5:
            text = text[:place] + text[place + 1 : place + 2] + text[place : place + 1] + text[place + 2 :]
        elif change == 6:
            text = text[:place] + rolls.choice("{}[]\"'*&:,-% \n0zK\u00e9") + text[place + 1 :]
    return text


@settings(max_examples=60, deadline=None)
@given(st.randoms(use_true_random=False), st.integers(1, 12))
def test_no_mutation_of_the_shipped_pattern_makes_the_loader_fail(rolls: random.Random, times: int) -> None:
    text = _mutated(SHIPPED.read_text(encoding="utf-8"), rolls, times)
    pattern, findings = load_text(text, "mutated")
    assert pattern is not None or findings
    for each in findings:
        assert each.span is not None
        assert each.span.line <= len(text.split("\n")) + 1
        assert each.message
        assert each.mend
