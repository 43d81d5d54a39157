"""What can be wrong in a catalogue is told with its file, line and column."""

from __future__ import annotations

from pathlib import Path

import pytest

from grader.loading import load_language

HEAD = "name: Test\ntag: de-DE\n"


@pytest.mark.parametrize(
    ("text", "line", "column", "message"),
    [
        (f"{HEAD}mesages: {{}}\n", 3, 1, "a catalogue has no key 'mesages'"),
        ("tag: de\n", 1, 1, "a catalogue says its name"),
        ("name: Test\ntag: German!\n", 2, 6, "is no language tag"),
        (f"{HEAD}plural: many\n", 3, 9, "no rule 'many' for the plural"),
        (f"{HEAD}phrases:\n  stich: {{}}\n", 4, 3, "no group of phrases 'stich'"),
        (f'{HEAD}messages:\n  "{{n}} sts": "{{m}} M"\n', 4, 14, "{m} stands in the translation only"),
        (f'{HEAD}messages:\n  "{{n}} sts": "M"\n', 4, 14, "{n} is lost in the translation"),
        (f"{HEAD}messages:\n  Cuff: [Bund]\n", 4, 9, "a translation is a text"),
        (f"{HEAD}messages:\n  Cuff: Bund\n  Cuff: Rand\n", 5, 3, "stands here again"),
        (f"{HEAD}messages: Bund\n", 3, 11, "English words, a colon"),
    ],
)
def test_mistakes_are_told_with_their_place(tmp_path: Path, text: str, line: int, column: int, message: str) -> None:
    file = tmp_path / "xx.yaml"
    file.write_text(text, encoding="utf-8")
    language, findings = load_language(str(file))
    assert language is None
    found = next(finding for finding in findings if message in finding.message)
    assert found.span is not None
    assert (found.span.file, found.span.line, found.span.column) == (str(file), line, column)


def test_a_language_that_does_not_ship_is_told_with_those_that_do() -> None:
    language, (finding,) = load_language("tlh")
    assert language is None
    assert "tlh" in finding.message
    assert "de" in finding.mend


def test_a_catalogue_of_ones_own_needs_a_name_and_a_tag_only(tmp_path: Path) -> None:
    file = tmp_path / "nl.yaml"
    file.write_text('name: Nederlands\ntag: nl\nmessages: {Cuff: Boord, Leg: ""}\n', encoding="utf-8")
    language, findings = load_language(str(file))
    assert language is not None, findings
    assert [each.told for each in language.messages] == ["Boord", ""]
