"""Broken patterns: each case file states all of its findings, word for word, in its first lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from grader.loading import Charts, load_pattern, load_text
from grader.vocabulary.findings import Finding

CASES = sorted((Path(__file__).parent.parent / "cases" / "broken").glob("*.yaml"))
_MARK = "# expect "


def _shown(finding: Finding, name: str) -> str:
    assert finding.span is not None, finding
    assert finding.mend, f"nothing says what would mend {finding}"
    return f"{finding.span}: {finding.message} -> {finding.mend}".removeprefix(f"{name}:")


def test_there_are_enough_cases() -> None:
    assert len(CASES) >= 150


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_every_mistake_is_found_at_its_place(case: Path, charts: Charts) -> None:
    lines = case.read_text(encoding="utf-8").splitlines()
    expected = [line.removeprefix(_MARK) for line in lines if line.startswith(_MARK)]
    assert expected, "a broken case must expect something"
    pattern, findings = load_pattern(str(case), charts)
    assert [_shown(each, str(case)) for each in findings] == expected
    only_in_prose = {each.code for each in findings} <= {"naked-number", "kind"}
    assert (pattern is not None) == only_in_prose


def test_the_cases_are_right_but_for_their_mistake(charts: Charts) -> None:
    """The frame that the case files share loads clean, so that a finding is due to the mistake alone."""
    text = (CASES[0].parent / "name_misspelt.yaml").read_text(encoding="utf-8")
    pattern, findings = load_text(text.replace("cast_no", "cast_on"), "mended", charts)
    assert findings == []
    assert pattern is not None


def test_a_hundred_findings_are_enough(charts: Charts) -> None:
    text = "".join(f"key{number}: x\n" for number in range(300))
    pattern, findings = load_text(text, "many", charts)
    assert pattern is None
    assert len(findings) == 101
    assert findings[-1].message == "at least 207 more mistakes stand further down"
