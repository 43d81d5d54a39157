"""`grader swatch`, and --gauge of publish, check and sizes, as they are typed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from grader.cli import main

SWATCH = ["swatch", "--stitches", "33 over 10.2cm, 26 over 8cm"]


def test_a_swatch_alone(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SWATCH, "--rounds", "88 over 20 cm", "--washed"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.splitlines() == [
        "stitches 32.4 to 10 cm, from 2 counts over 18.2 cm in all, from 32.4 to 32.5; sure to about ± 0.4"
        " (standard error)",
        "rounds   44 to 10 cm, from 1 count over 20 cm; one count is sure to about ± 0.4"
        " (an estimate: count again elsewhere)",
        "stitches: count over 42 cm in all, on several places, to be sure to half a stitch or round",
        "rounds: count over 47 cm in all, on several places, to be sure to half a stitch or round",
    ]


def test_a_swatch_that_was_not_washed_is_told_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(SWATCH) == 0
    assert "not washed: a pattern's gauge is of washed fabric" in capsys.readouterr().out
    assert main([*SWATCH, "--washed"]) == 0
    assert "not washed" not in capsys.readouterr().out


def test_what_washing_did(capsys: pytest.CaptureFixture[str]) -> None:
    line = ["--rounds", "44 over 10cm", "--unwashed-stitches", "34 over 10cm", "--unwashed-rounds", "40 over 10cm"]
    assert main(["swatch", "--stitches", "32 over 10cm", *line]) == 0
    out = capsys.readouterr().out
    assert "washing: 34 stitches to 10 cm before, 32 after; the width changes by +6.2 %" in out
    assert "washing: 40 rounds to 10 cm before, 44 after; the length changes by -9.1 %" in out
    assert "washing: 10 cm of the finished sock measure 11.0 cm on the needles" in out
    assert "not washed" not in out


def test_a_swatch_beside_a_pattern(capsys: pytest.CaptureFixture[str]) -> None:
    line = [
        "swatch",
        "--stitches",
        "136 over 40cm",
        "--rounds",
        "184 over 40cm",
        "--washed",
        "--for",
        "ninepenny_bridge",
    ]
    assert main([*line, "--units", "both"]) == 0
    told = capsys.readouterr().out.partition("\n\n")[2].splitlines()
    assert told == [
        "Ninepenny Bridge plain socks: 32 sts and 44 rounds to 10 cm",
        "yours: 2 sts more and 2 rounds more",
        "size 8, worked by the pattern's numbers at your gauge:",
        "  round the foot 18.8 cm / 7½ in instead of 20.0 cm / 7¾ in; one stitch more to 10 cm takes off 0.6 cm / ¼ in",
        "  length of the foot 21.4 cm / 8½ in instead of 22.5 cm / 8¾ in; one round more to 10 cm takes off 0.4 cm"
        " / ¼ in",
        "  ease -14.4 % (-15 to -5 % allowed), which still fits round",
        "  the stitches of size 9 would be 20.0 cm / 7¾ in round at your gauge: nearer, if lengths are measured and not"
        " counted",
        "needle: 3 sizes thicker, 3.25 mm (US 3, old UK 10) instead of 2.5 mm (US 1.5) (one size makes about ½ to 1 st"
        " to 10 cm, an estimate); swatch again",
        "or else: grade the pattern for your gauge, --gauge 34x46",
        "fabric: cover factor 1.31, washed: as dense as plain machine-knit fabric; it wears long",
        "fabric: 34 sts to 10 cm are usual for lace yarn; super fine yarn has 27 to 32, and more in a sock",
    ]


def test_rounds_alone_change_no_needle(capsys: pytest.CaptureFixture[str]) -> None:
    line = [
        "swatch",
        "--stitches",
        "128 over 40cm",
        "--rounds",
        "188 over 40cm",
        "--washed",
        "--for",
        "ninepenny_bridge",
    ]
    assert main([*line, "--size", "3", "--yarn", "super fine 400m/100g"]) == 0
    out = capsys.readouterr().out
    assert "size 3, worked" in out
    assert "needle: keep 2.5 mm (US 1.5)\n" in out
    assert "rounds hardly go by the needle: measure lengths and don't count them" in out


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (["swatch"], "the following arguments are required: --stitches"),
        (["swatch", "--stitches", "30 in 1 in"], "stitches: 118.1 to 10 cm can't be; socks have 5 to 60"),
        (["swatch", "--stitches", "30 over 4"], "stitches: '4' has no unit; write 4cm or 4in"),
        ([*SWATCH, "--rounds", "x"], "rounds: 'x' should be a count and a length"),
        ([*SWATCH, "--needle", "2.5mm"], "--needle goes with --for PATTERN"),
        ([*SWATCH, "--size", "3"], "--size goes with --for PATTERN"),
        ([*SWATCH, "--for", "ninepenny_bridge", "--size", "99"], "no size '99'; there are 1, 2"),
        ([*SWATCH, "--for", "ninepenny_bridge", "--needle", "2"], "'2' is not a needle size; write it like 2.5mm"),
        ([*SWATCH, "--for", "ninepenny_bridge", "--needle", "0.2mm"], "0.2 mm can't be; needles have 1 to 25 mm"),
        (["check", "ninepenny_bridge", "--gauge", "28"], "gauge: '28' should be stitches x rounds to 10 cm"),
        (["check", "ninepenny_bridge", "--yarn", "225m/100g"], "--yarn goes with --gauge"),
        (["sizes", "ninepenny_bridge", "--needle", "3mm"], "--needle goes with --gauge"),
        (["publish", "ninepenny_bridge", "--gauge", "28x38", "--yarn", "thick"], "yarn: 'thick' should be how far"),
    ],
)
def test_what_cannot_be_is_said_in_one_line(line: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(line) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("grader: ")
    assert says in err
    assert len(err.splitlines()) == 1


def test_a_pattern_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SWATCH, "--for", "nowhere.yaml"]) == 2
    assert "nowhere.yaml" in capsys.readouterr().err


def test_sizes_at_another_gauge(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sizes", "hearthside", "--gauge", "18x25", "--yarn", "medium 180m/100g", "--needle", "US 6"]) == 0
    table, _, told = capsys.readouterr().out.partition("graded for ")
    assert table.startswith("size")
    lines = told.splitlines()
    assert lines[0] == "18 sts and 25 rounds to 10 cm instead of 22 sts and 30 rounds to 10 cm"
    assert lines[1] == "needle: 4 mm"
    assert lines[2] == "yarn: medium, 180 m to 100 g instead of light, 225 m to 100 g"
    assert lines[3].split() == ["size", "cast", "on", "round", "ease", "metres", "grams"]
    assert len(lines) == 4 + 6
    assert all("->" in line for line in lines[4:])


def test_sizes_at_a_gauge_that_loses_some(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sizes", "ninepenny_bridge", "--gauge", "22x30"]) == 1
    out = capsys.readouterr().out
    assert "1     36 -> -" in out
    assert "size 3 falls out: foot_circumference comes out -15.2 % beside the foot" in out
    assert out.endswith("the others can be printed: --sizes 4-14\n")


def test_the_patterns_own_gauge_changes_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sizes", "hearthside"]) == 0
    plain = capsys.readouterr().out
    assert main(["sizes", "hearthside", "--gauge", "22x30"]) == 0
    assert capsys.readouterr().out == plain


def test_check_at_another_gauge_keeps_its_answer_to_itself(capsys: pytest.CaptureFixture[str]) -> None:
    line = ["check", "weir_walk", "--gauge", "24x33", "--needles", "magic-loop", "--sizes", "M"]
    assert main([*line, "--json"]) == 0
    out, err = capsys.readouterr()
    assert json.loads(out)["runs"][0]["gauge"] == {"stitches": 24, "rounds": 33, "per_cm": 10}
    assert err.startswith("graded for 24 sts and 33 rounds")
    assert main([*line, "--quiet"]) == 0
    out, err = capsys.readouterr()
    assert (out.count("\n"), err) == (1, "")


def test_publish_at_another_gauge_writes_a_document_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    line = ["publish", "weir_walk", "--sizes", "S-L", "--needles", "magic-loop", "--out", str(tmp_path)]
    assert main([*line, "--quiet"]) == 0
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert main([*line, "--gauge", "22.5x30"]) == 0
    told = capsys.readouterr().err
    assert told.startswith("graded for 22.5 sts and 30 rounds to 10 cm instead of 30 sts and 42 rounds to 10 cm\n")
    assert {name: (tmp_path / name).read_bytes() for name in before} == before
    (markdown,) = (path for path in tmp_path.glob("*-22.5x30.md"))
    text = markdown.read_text(encoding="utf-8")
    assert markdown.with_suffix(".pdf").is_file()
    assert "22.5 sts and 30 rounds to 10 cm" in text
    assert "Light (weight 3), " in text
    assert "the size that gives the tension" in text
    assert "2.5 mm" not in text
    assert "Graded anew for this edition; as designed it has 30 sts and 42 rounds to 10 cm (4 in)." in text


def test_publish_writes_nothing_where_sizes_fall_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = [
        "publish",
        "ninepenny_bridge",
        "--gauge",
        "22x30",
        "--needles",
        "magic-loop",
        "--out",
        str(tmp_path / "out"),
    ]
    assert main(line) == 1
    assert "the others can be printed: --sizes 4-14" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    assert main([*line, "--sizes", "4-14", "--quiet"]) == 0
    assert len(list((tmp_path / "out").glob("*-22x30.*"))) == 3
