"""Commands that go well: what they print, where they print it, and their exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from grader.cli import main
from grader.cli.arguments import chosen, setup_name
from grader.cli.console import Console

NAMES = ["S", "M", "L", "XL", "1-2"]


def test_check_counts_what_it_knitted(capsys: pytest.CaptureFixture[str]) -> None:
    needles = ["--needles", "magic-loop", "--needles", "set-of-4"]
    assert main(["check", "ninepenny_bridge", "--sizes", "6,7", *needles]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    socks, lines = out.split(" socks, ")
    assert socks == "4"
    assert int(lines.split()[0]) > 4 * 100
    assert out.endswith("rounds and rows knitted through: no findings\n")


def test_a_setup_named_twice_is_worked_once(capsys: pytest.CaptureFixture[str]) -> None:
    line = ["check", "ninepenny_bridge", "--sizes", "6", "--needles", "magic-loop", "--needles", "long-circular"]
    assert main(line) == 0
    assert capsys.readouterr().out.startswith("1 sock, ")


def test_check_prints_the_record_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    line = ["check", "ninepenny_bridge", "--sizes", "6", "--needles", "set-of-5", "--terms", "both", "--json"]
    assert main(line) == 0
    record = json.loads(capsys.readouterr().out)
    assert [(run["size"], run["setup"], run["terms"]) for run in record["runs"]] == [
        ("6", "double-pointed, set of 5", "UK"),
        ("6", "double-pointed, set of 5", "US"),
    ]
    assert record["runs"][0]["steps"][0]["after"] == record["runs"][0]["numbers"]["cast_on"]


def test_check_tells_what_is_wrong_and_exits_with_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shipped = Path(__file__).resolve().parents[2] / "patterns" / "ninepenny_bridge.yaml"
    text = shipped.read_text(encoding="utf-8")
    assert text.count('K to last 3 sts, k2tog, K1"}\n          - round: "K"\n        until: "{cast_on} sts"') == 1
    wrong = text.replace('      - row: {RS: "Sl1, K{turn_first}, ssk', '      - row: {RS: "Sl1, K{turn_first + 9}, ssk')
    (tmp_path / "wrong.yaml").write_text(wrong, encoding="utf-8")
    assert main(["check", str(tmp_path / "wrong.yaml"), "--sizes", "6"]) == 1
    out, err = capsys.readouterr()
    assert err.startswith(f"{tmp_path}/wrong.yaml:")
    assert "Traceback" not in err
    assert not out.endswith("no findings\n")


def test_sizes_and_yarn_have_a_row_for_each_size(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sizes", "ninepenny_bridge", "--units", "both", "--why"]) == 0
    out = capsys.readouterr().out
    rows = out.splitlines()
    assert [row.split()[0] for row in rows[:15]] == ["size", *(str(number) for number in range(1, 15))]
    assert out.count("cast_on = ") == 14
    assert main(["yarn", "ninepenny_bridge"]) == 0
    out = capsys.readouterr().out
    metres = [int(row.split()[1]) for row in out.partition("\n\n")[0].splitlines()[1:]]
    assert len(metres) == 14
    assert metres == sorted(metres)


def test_new_writes_a_pattern_that_is_sound(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", 'Weir  Lane: #1 "socks"']) == 0
    assert capsys.readouterr().out == "wrote weir_lane_1_socks.yaml; now try: grader check weir_lane_1_socks.yaml\n"
    assert main(["check", "weir_lane_1_socks.yaml", "--needles", "magic-loop"]) == 0
    assert capsys.readouterr().out.endswith("no findings\n")
    assert main(["new", "weir lane 1 socks"]) == 2


def test_quiet_says_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["publish", "ninepenny_bridge", "--sizes", "1,6", "--out", str(tmp_path), "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")


def test_help_goes_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    for line in ([], ["publish"], ["one-off"], ["check"], ["sizes"], ["yarn"], ["parts"], ["new"]):
        with pytest.raises(SystemExit) as ended:
            main([*line, "--help"])
        assert ended.value.code == 0
        out, err = capsys.readouterr()
        assert out.startswith("usage: grader")
        assert err == ""


def test_a_reader_that_goes_away_is_no_mistake() -> None:
    """As in `grader check --json ... | head -1`."""
    with subprocess.Popen(
        [sys.executable, "-m", "grader", "check", "ninepenny_bridge", "--sizes", "1-6", "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=Path(__file__).resolve().parents[2],
    ) as command:
        assert command.stdout is not None
        assert command.stderr is not None
        command.stdout.readline()
        command.stdout.close()
        told = command.stderr.read().decode()
        assert command.wait(30) == 0
    assert "Traceback" not in told
    assert "Broken" not in told


@pytest.mark.parametrize(
    ("wanted", "names"),
    [
        ("S", ["S"]),
        ("L,S", ["S", "L"]),
        ("M-XL", ["M", "L", "XL"]),
        ("XL-M", ["M", "L", "XL"]),
        ("1-2", ["1-2"]),
        (" S , M - L ", ["S", "M", "L"]),
        ("S,S", ["S"]),
        ("S-9", None),
    ],
)
def test_sizes_come_in_the_patterns_own_order(wanted: str, names: list[str] | None) -> None:
    if names is None:
        with pytest.raises(ValueError, match="no size"):
            chosen(wanted, NAMES)
    else:
        assert chosen(wanted, NAMES) == names


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("magic-loop", "long circular (magic loop)"),
        ("Long Circular (magic loop)", "long circular (magic loop)"),
        ("SET_OF_4", "double-pointed, set of 4"),
        ("double-pointed", "double-pointed, set of 5"),
        ("short circular", "short circular"),
    ],
)
def test_needles_by_their_short_and_their_full_name(typed: str, name: str) -> None:
    assert setup_name(typed) == name


def test_progress_is_drawn_for_somebody_watching_only(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    unwatched = Console()
    unwatched.began -= 10
    unwatched.progress("knitting", 1, 3)
    assert capsys.readouterr() == ("", "")
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    watched = Console()
    watched.progress("knitting", 1, 3)
    assert capsys.readouterr().err == ""
    watched.began -= 10
    watched.progress("knitting", 2, 3)
    watched.result("done")
    out, err = capsys.readouterr()
    assert err == "\rknitting 2 of 3\r\x1b[K"
    assert out == "done\n"
