"""A catalogue whose messages fit a text in ways without number: it is given up on, or told of."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest

from grader.loading import load_language
from grader.translating.speaking import speaker

from .guarded import at_once

GERMAN = resources.files("grader").joinpath("data", "languages", "de.yaml").read_text(encoding="utf-8")
NOTE = "Nothing of this is said anywhere. " + "one word after the other, " * 120


def with_message(folder: Path, message: str) -> str:
    path = folder / "de.yaml"
    path.write_text(GERMAN.replace("messages:\n", f'messages:\n  "{message}": "{message}"\n', 1), encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("slots", [3, 6])
def test_slots_with_hardly_a_word_between_them(tmp_path: Path, slots: int) -> None:
    message = " ".join(f"{{name:s{at}}}" for at in range(slots)) + " {text:last}"
    language, findings = load_language(with_message(tmp_path, message))
    assert findings == []
    assert language is not None
    with at_once():
        speaker(language).said(NOTE)


def test_texts_side_by_side_are_told_with_their_place(tmp_path: Path) -> None:
    path = with_message(tmp_path, "{name:a}{name:b}")
    language, findings = load_language(path)
    assert language is None
    line = next(at for at, text in enumerate(GERMAN.split("\n"), 2) if text == "messages:")
    assert [f"{each.span}: {each.message}" for each in findings] == [f"{path}:{line}:3: two texts stand side by side"]
