"""`grader compare`: what it prints, writes and returns."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from grader.cli import main

from .conftest import base, changed

NEXT = ('version: "1.0"\ndate: "2026-11-25"', 'version: "1.1"\ndate: "2026-12-01"')
STEM = "ninepenny-bridge-plain-socks-errata-1.0-to-1.1"


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the old version and a new one that says a thing otherwise."""
    monkeypatch.chdir(tmp_path)
    small = changed(base(), ('"4", "8"', '"4"'), ("[long circular, ", "["))
    Path("old.yaml").write_text(small, encoding="utf-8")
    Path("new.yaml").write_text(changed(small, NEXT, ("without a ridge", "without a ridge inside")), encoding="utf-8")
    return tmp_path


def test_a_sheet_is_written_in_markdown_and_pdf(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", "old.yaml", "new.yaml"]) == 0
    said = capsys.readouterr()
    assert said.out == "Every size knits the same stitches as before; only words and figures changed.\n"
    assert "1 correction\n" in said.err
    markdown = (files / "build" / f"{STEM}.md").read_text(encoding="utf-8")
    assert markdown.endswith(
        '    changes:\n          - "Every size knits the same stitches as before; only words'
        ' and figures changed."\n          - "Toe, Graft, “Check” (all sizes, all setups): “The toe'
        ' is closed without a ridge inside” instead of “The toe is closed without a ridge”."\n'
    )
    pdf = (files / "build" / f"{STEM}.pdf").read_bytes()
    assert pdf.startswith(b"%PDF")


def test_terms_and_paper_are_in_the_names(files: Path) -> None:
    asked = ["compare", "old.yaml", "new.yaml", "--terms", "us", "--paper", "a5", "--units", "in", "--out", "sheets"]
    assert main([*asked, "--quiet"]) == 0
    assert sorted(each.name for each in (files / "sheets").iterdir()) == [f"{STEM}-us-a5.pdf", f"{STEM}-us.md"]


def test_nothing_changed_writes_nothing(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", "old.yaml", "old.yaml"]) == 0
    assert capsys.readouterr().out.startswith("nothing changed")
    assert not (files / "build").exists()


def test_json_is_printed_and_no_sheet_written(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compare", "old.yaml", "new.yaml", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["versions"] == ["1.0", "1.1"]
    assert [each["sort"] for each in told["corrections"]] == ["check"]
    assert not (files / "build").exists()


def test_an_old_version_with_findings_is_compared(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    old = changed(Path("old.yaml").read_text(encoding="utf-8"), ("heel_rows / 2 + 1", "heel_rows / 2 + 2"))
    Path("old.yaml").write_text(old, encoding="utf-8")
    assert main(["compare", "old.yaml", "new.yaml"]) == 0
    assert "old.yaml has findings; it is compared as far as it could be knitted" in capsys.readouterr().err


def test_another_title_and_the_same_version_are_told(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    new = changed(Path("old.yaml").read_text(encoding="utf-8"), ("Ninepenny Bridge plain", "Tenpenny Bridge plain"))
    Path("new.yaml").write_text(new, encoding="utf-8")
    assert main(["compare", "old.yaml", "new.yaml"]) == 0
    said = capsys.readouterr().err
    assert "two titles: 'Ninepenny Bridge plain socks' and 'Tenpenny Bridge plain socks'" in said
    assert "both are version 1.0" in said


def test_what_cannot_be_read_or_is_asked_wrongly(files: Path) -> None:
    assert main(["compare", "old.yaml", "missing.yaml"]) == 2
    assert main(["compare", "old.yaml"]) == 2
    Path("new.yaml").write_text("title: no pattern\n", encoding="utf-8")
    assert main(["compare", "old.yaml", "new.yaml"]) == 1
    assert not (files / "build").exists()
