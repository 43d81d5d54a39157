"""The changelog of a pattern file: read, checked, and printed."""

from __future__ import annotations

import pytest

from grader.loading import load_text
from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check
from grader.publishing import Edition, draft
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

from .conftest import ROOT

FIRST = '  - version: "1.0"\n    date: "2026-11-25"\n    changes:\n      - First issue.\n'


def loaded(entries: str) -> tuple[Pattern | None, list[Finding], int]:
    """The pattern that ships with other entries, what was found, and the line at which they begin."""
    text = (ROOT / "patterns" / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    assert text.endswith("changelog:\n" + FIRST)
    head = text.removesuffix(FIRST)
    return *load_text(head + entries, "pattern.yaml", read_chart), head.count("\n") + 1


def test_entries_are_read_newest_first() -> None:
    pattern, findings, _ = loaded(
        '  - {version: "1.0", changes: [The toe is shorter.]}\n' + FIRST.replace("1.0", "0.9")
    )
    assert not findings
    assert pattern is not None
    assert [(each.version, each.date, each.changes) for each in pattern.changelog] == [
        ("1.0", "", ("The toe is shorter.",)),
        ("0.9", "2026-11-25", ("First issue.",)),
    ]


@pytest.mark.parametrize(
    ("entries", "code", "line", "column", "stops"),
    [
        (FIRST + FIRST, "duplicate-version", 4, 15, True),
        (FIRST.replace("1.0", "0.9"), "changelog-behind", 0, 15, False),
        (FIRST.replace("First issue.", '"{cast_on} sts"'), "formula", 3, 10, True),
        ("  - {date: today, changes: [x]}\n", "missing-key", 0, 5, True),
        ('  - {version: "1.0", change: [x], changes: [y]}\n', "unknown-key", 0, 22, True),
    ],
)
def test_a_mistake_is_told_with_its_place(entries: str, code: str, line: int, column: int, stops: bool) -> None:
    pattern, findings, begins = loaded(entries)
    found = [(each.code, each.span.line - begins, each.span.column) for each in findings if each.span]
    assert found == [(code, line, column)]
    assert (pattern is None) == stops
    assert findings[0].is_error == stops


def test_a_mistyped_key_is_suggested() -> None:
    _, findings, _ = loaded('  - {version: "1.0", chagnes: [x], changes: [y]}\n')
    assert "changes" in findings[0].mend


def test_the_document_holds_the_changes() -> None:
    pattern, _, _ = loaded(FIRST)
    assert pattern is not None
    from dataclasses import replace

    checked: Checked = check(replace(pattern, bodies=pattern.bodies[7:8]), Wanted(("double-pointed, set of 5",)))
    assert draft(checked, Edition(), "sock", "sock").document.changes == (("1.0", "2026-11-25", ("First issue.",)),)


def test_the_template_prints_this_version_in_full_and_older_ones_in_short() -> None:
    from jinja2 import Environment, FileSystemLoader

    environment = Environment(
        loader=FileSystemLoader(ROOT / "templates"), trim_blocks=True, lstrip_blocks=True, autoescape=False
    )
    environment.filters.update(line=str, prose=str, plain=str, spoken=str, told=str)

    class Printed:
        changes = (("1.1", "2026-12-01", ("One.", "Two.")), ("1.0", "2026-11-25", ("First issue.",)))

    text = environment.from_string('{% import "_blocks.md.j2" as blocks %}{{ blocks.changes(document) }}').render(
        document=Printed()
    )
    shown = [row for row in text.splitlines() if row]
    assert shown == [
        "## Changes in this version",
        "- One.",
        "- Two.",
        "Earlier:",
        "- **1.0, 2026-11-25:** First issue.",
    ]
