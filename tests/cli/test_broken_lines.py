"""Command lines that can't be followed: one exact answer each, and nothing is written."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from grader.cli import main

from .broken_lines import BROKEN, FILES, SHIPPED, Broken

_QUOTED_CHOICES = re.compile(r"\(choose from [^)]*\)")


def _same(answer: str) -> str:
    """The answer without the quotes that some versions of Python put round the choices."""
    return _QUOTED_CHOICES.sub(lambda found: found[0].replace("'", ""), answer)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "a_folder").mkdir()
    (tmp_path / "a_file").write_text("kept")
    (tmp_path / "taken.yaml").write_text("kept")
    (tmp_path / "not_utf8.yaml").write_bytes(b"title: \xff\xfe\n")
    (tmp_path / "empty.yaml").write_text("")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO("an answer that nobody gave\n"))
    return tmp_path


def _tree(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() if path.is_file() else b"" for path in folder.rglob("*")}


def test_there_are_enough_of_them() -> None:
    assert len(BROKEN) >= 80
    assert len({broken.typed for broken in BROKEN}) == len(BROKEN)


@pytest.mark.parametrize("broken", BROKEN, ids=[f"{place} {each.answer[8:50]}" for place, each in enumerate(BROKEN)])
def test_a_broken_line_has_its_exact_answer(broken: Broken, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = _tree(folder)
    code = main(list(broken.typed))
    out, err = capsys.readouterr()
    assert _same(err) == _same(broken.answer)
    assert (code, out) == (broken.code, "")
    assert _tree(folder) == before


def test_it_is_the_same_from_a_shell(folder: Path) -> None:
    broken = FILES[0]
    done = subprocess.run(
        [sys.executable, "-m", "grader", *broken.typed],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=30,
        stdin=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])},
    )
    assert (done.stderr, done.stdout, done.returncode) == (broken.answer, "", broken.code)


def test_a_folder_that_must_not_be_written(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_args: object, **_options: object) -> object:
        raise PermissionError(13, "Permission denied", "a_folder")

    monkeypatch.setattr(tempfile, "mkstemp", refused)
    line = "--foot 22.5cm --length 25cm --gauge 32x44 --needles magic-loop --out a_folder"
    assert main(["one-off", SHIPPED, *line.split()]) == 2
    assert capsys.readouterr() == ("", "grader: a_folder: this may not be read or written here\n")


@pytest.mark.parametrize(
    ("feet", "words"),
    [
        (("25cm", "9.8cm"), "the foot is too short for this shaping"),
        (("40cm", "7cm"), "the foot is too short for this shaping"),
        (("9cm", "22.5cm"), "outside what is allowed"),
    ],
)
def test_a_foot_that_no_sock_of_the_pattern_fits_is_a_finding(
    feet: tuple[str, str], words: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Such as the girth and the length of a foot the wrong way round."""
    before = _tree(folder)
    foot, length = feet
    line = ["--foot", foot, "--length", length, "--gauge", "32x44", "--needles", "magic-loop"]
    assert main(["one-off", SHIPPED, *line]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert words in err
    assert err.endswith("\ngrader: no sock was written for this foot; the reason stands above\n")
    assert _tree(folder) == before


@pytest.mark.parametrize("length", ["225mm", "22.5 cm", "22,5cm", "8 7/8 in", "8⅞in", '8.875"'])
def test_lengths_as_people_write_them(length: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = ["--foot", length, "--length", "25cm", "--gauge", "32x44", "--needles", "set of 4", "--out", "made"]
    assert main(["one-off", SHIPPED, *line, "--units", "cm", "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")
    assert "| Foot round cm | 22.5" in (folder / "made" / "ninepenny-bridge-plain-socks-one-off.md").read_text()


def test_needles_the_pattern_is_not_written_for(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = (Path(__file__).resolve().parents[2] / "patterns" / f"{SHIPPED}.yaml").read_text(encoding="utf-8")
    (folder / "some.yaml").write_text(f"{text}\nsetups: [short circular]\n", encoding="utf-8")
    answer = "grader: this pattern is not written for double-pointed, set of 4\n"
    for command in ("publish", "check"):
        assert main([command, "some.yaml", "--needles", "set-of-4"]) == 2
        assert capsys.readouterr() == ("", answer)
    line = ["--foot", "22.5cm", "--length", "25cm", "--gauge", "32x44", "--needles", "set-of-4"]
    assert main(["one-off", "some.yaml", *line]) == 2
    assert capsys.readouterr() == ("", answer)
