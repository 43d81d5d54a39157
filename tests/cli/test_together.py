"""What was asked for does something, or is refused before any work: exit code 2, the option named, nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest

from grader.cli import main

PUBLISH = ["publish", "ninepenny_bridge"]
KNITTER = [
    "one-off",
    "ninepenny_bridge",
    "--foot",
    "22cm",
    "--length",
    "24cm",
    "--gauge",
    "32x44",
    "--needles",
    "set-of-5",
]
CLASS = ["class", "ninepenny_bridge", "list.csv", "--gauge", "32x44", "--needles", "set-of-5"]
STRIPES = ["stripes", "ninepenny_bridge", "--size", "8", "--repeat", "4m blue, 2m cream"]
SWATCH = ["swatch", "--stitches", "33 over 10cm", "--for", "ninepenny_bridge"]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ([*PUBLISH, "--edition", ","], "edition: none is named"),
        ([*PUBLISH, "--edition", " , ", "--edition", ""], "edition: none is named"),
        ([*PUBLISH, "--edition", "all,weg"], "edition: there is no 'weg'"),
        ([*PUBLISH, "--jobs", "0"], "jobs: '0' should be a number from 1 to 64"),
        ([*PUBLISH, "--jobs", "65", "--watch"], "jobs: '65'"),
        ([*PUBLISH, "--edition", ",", "--preview"], "edition: none is named"),
        ([*PUBLISH, "--edition", "web", "--crop-marks"], "--crop-marks goes with an edition on paper, not with web"),
        ([*PUBLISH, "--edition", "epub,plain-text", "--paper", "a5"], "--paper goes with an edition on paper"),
        (
            [*PUBLISH, "--edition", "one-size", "--each-setup"],
            "--each-setup goes with an edition that holds all setups",
        ),
        (
            [*PUBLISH, "--edition", "handout", "--arrange", "both"],
            "--arrange goes with an edition that holds all setups",
        ),
        ([*PUBLISH, "--sizes", ","], "no size is named"),
        ([*KNITTER, "--edition", ","], "edition: none is named"),
        ([*KNITTER, "--edition", "web", "--black"], "--black goes with an edition on paper, not with web"),
        ([*CLASS, "--jobs", "x"], "jobs: 'x'"),
        ([*CLASS, "--separate", "--right-hand"], "--right-hand goes with one document for all"),
        ([*PUBLISH, "--language", "xx"], "language: there is no 'xx'"),
        (["compare", "old.yaml", "new.yaml", "--language", "xx"], "language: there is no 'xx'"),
        ([*PUBLISH, "--out", __file__], f"{__file__}: a file of that name is in the way"),
        ([*CLASS, "--out", __file__], f"{__file__}: a file of that name is in the way"),
        (["check", "ninepenny_bridge", "--json", "--sample"], "--json and --sample"),
        (["yarn", "ninepenny_bridge", "--units", "in"], "--units goes with --ball"),
        ([*STRIPES, "--paper", "letter"], "--paper goes with --out"),
        ([*STRIPES, "--needles", "set-of-5", "--needles", "set-of-4"], "needles: stripes are of one setup at a time"),
        (["compare", "old.yaml", "new.yaml", "--json", "--out", "x"], "--out goes with a sheet"),
        ([*SWATCH, "--size", "8-10"], "size: one size at a time"),
        ([*SWATCH, "--size", ""], "no size is named"),
    ],
)
def test_what_would_do_nothing_is_refused(
    line: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(line) == 2
    told = capsys.readouterr()
    assert (told.out, told.err.count("\n")) == ("", 1)
    assert told.err.startswith(f"grader: {said}")
    assert list(tmp_path.iterdir()) == []


def test_editions_may_stand_apart(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = [
        *PUBLISH,
        "--sizes",
        "8",
        "--needles",
        "magic-loop",
        "--edition",
        "plain-text, web,",
        "--out",
        str(tmp_path),
    ]
    assert main(line) == 0
    written = {
        line.removeprefix("wrote ") for line in capsys.readouterr().err.splitlines() if line.startswith("wrote ")
    }
    assert written == {str(path) for path in tmp_path.iterdir()}
    assert {path.suffix for path in tmp_path.iterdir()} == {".txt", ".html"}
