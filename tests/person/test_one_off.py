"""`grader one-off` for somebody who measured more than the foot, or less."""

from __future__ import annotations

from pathlib import Path

import pytest
from parts.combining import pattern_of

from grader.cli import main

from .people import FLAPPED

HANDS = ("--gauge", "32x44", "--needles", "set-of-5", "--units", "cm")
FOOT = ("--foot", "21cm", "--length", "24cm")
KNEE = ("cuff-2x2-rib", "leg-calf", "heel-german-short-row", "foot-plain", "toe-star")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own with two patterns put together from parts."""
    (tmp_path / "own.yaml").write_text(pattern_of(FLAPPED), encoding="utf-8")
    (tmp_path / "knee.yaml").write_text(pattern_of(KNEE), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def told(pattern: str = "own.yaml") -> list[str]:
    """What the document says of the person."""
    (path,) = Path("build").glob("*.md")
    text = path.read_text(encoding="utf-8")
    _, there, rest = text.partition("## For this foot\n")
    return [line.removeprefix("- ") for line in rest.split("\n## ")[0].splitlines() if line] if there else []


def run(*typed: str, pattern: str = "own.yaml", code: int = 0) -> list[str]:
    assert main(["one-off", pattern, *typed, *HANDS]) == code
    return told(pattern) if code == 0 else []


def test_a_foot_that_was_measured_is_told_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*FOOT, "--quiet") == []
    assert capsys.readouterr() == ("", "")


def test_a_shoe_size_is_enough() -> None:
    length, girth = run("--shoe", "EU 39")
    assert length == (
        "The length of the foot was not measured: a shoe of EU 39 means 23.5 cm to 25.5 cm, and 25 cm was taken, an"
        " estimate. Tables of shoe sizes differ by up to two sizes; measure the foot if you can."
    )
    assert girth.startswith("Round the ball of the foot was not measured: 23 cm is an estimate, and nine in ten like")
    assert girth.endswith("Source: a survey of 6068 adults (US Army Natick, 2014).")


def test_an_age_is_enough_for_a_child() -> None:
    length, girth = run("--age", "4", pattern="own.yaml")
    assert length == (
        "The length of the foot was not measured: an age of 4 means 15 cm to 18 cm, and 16.5 cm was taken, an estimate."
        " Source: a survey of 3898 children (University of Michigan, 1977)."
    )
    assert "an estimate: no survey of their girths was found" in girth


def test_what_is_missing_beside_a_length_is_estimated_alone() -> None:
    (only,) = run("--length", "24cm", "--estimate")
    assert only.startswith("Round the ball of the foot was not measured")


def test_the_measures_of_a_leg_are_estimated_if_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    calf, knee = run(*FOOT, "--estimate", pattern="knee.yaml")
    assert calf.startswith("Round the calf was not measured: 35 cm is an estimate")
    assert knee.startswith("The height of the knee was not measured: 43 cm is an estimate")
    run(*FOOT, pattern="knee.yaml", code=2)
    assert "Round the calf at its widest (such as 37cm) is missing" in capsys.readouterr().err


def test_a_high_instep_is_altered_and_told() -> None:
    (why,) = run(*FOOT, "--heel", "31.5cm")
    assert why.startswith("High instep, by the heel: rows of the heel flap 3")
    assert "instead of 30" in why


def test_several_alterations_are_told_in_one_document() -> None:
    told = run("--foot", "25cm", "--length", "24cm", "--heel", "30.5cm", "--calf", "44cm")
    assert [each.partition(":")[0] for each in told] == ["Wide calf", "Narrow heel", "Broad toes", "Top of the leg"]


def test_two_feet_that_differ_are_two_documents() -> None:
    for name, foot in (("Ada left", "21cm"), ("Ada right", "22cm")):
        assert main(["one-off", "own.yaml", "--foot", foot, "--length", "24cm", "--name", name, *HANDS]) == 0
    made = sorted(path.name for path in Path("build").glob("*.md"))
    assert made == ["put-together-for-ada-left.md", "put-together-for-ada-right.md"]


def test_a_strange_foot_is_asked_about_and_still_knitted(capsys: pytest.CaptureFixture[str]) -> None:
    run("--foot", "31cm", "--length", "23cm")
    said = capsys.readouterr().err
    assert "remark: a length of 23 cm with a circumference of 31 cm is rarer than 1 in 1,000,000" in said
    assert "to mend it: round the wrong place?" in said
    run("--foot", "31cm", "--length", "23cm", "--quiet")
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("typed", "answer"),
    [
        (("--shoe", "39"), "shoe: '39' is no shoe size; write it like 'EU 39', 'UK 6' or 'US women 8'"),
        (("--shoe", "US 8"), "shoe: US sizes differ; write US women 8, US men 8 or US child 8"),
        (("--shoe", "EU 99"), "shoe: EU 99 is no shoe size"),
        (("--age", "old"), "age: 'old' should be years, such as 4"),
        (("--age", "40"), "age: 40 is not 0.5 to 18, the ages that are known; give --length"),
        (("--shoe", "EU 30", "--age", "6"), "--shoe and --age both tell the length of the foot; give one of them"),
        (("--estimate",), "there is nothing to estimate from; give --foot, --length, --shoe or --age"),
        ((*FOOT, "--heel", "4cm"), "heel: 4 cm can't be; heels have 12 to 48 cm"),
        ((*FOOT, "--heel", "31"), "heel: '31' has no unit; write 31cm or 31in"),
        ((*FOOT, "--instep", "60in"), "instep: 152.4 cm can't be; insteps have 9 to 40 cm"),
        ((*FOOT, "--knee-height", "40cm"), "nothing in this pattern hangs on --knee-height; leave it out"),
    ],
)
def test_what_can_not_be_used_is_refused_with_what_would_be_right(
    typed: tuple[str, ...], answer: str, capsys: pytest.CaptureFixture[str]
) -> None:
    run(*typed, code=2)
    assert answer in capsys.readouterr().err


@pytest.mark.parametrize(
    ("size", "length"),
    [("EU 39", "24.5"), ("eu 39", "24.5"), ("UK women 6", "24.5"), ("US women 8", "24.5"), ("MP 245", "24.5")],
)
def test_every_system_means_about_the_same_foot(size: str, length: str) -> None:
    middle = float(run("--shoe", size)[0].split(" was taken")[0].split()[-2])
    assert abs(middle - float(length)) <= 1


def test_what_was_measured_goes_before_a_shoe_size_and_a_contradiction_is_told() -> None:
    (told,) = run("--foot", "22cm", "--length", "22cm", "--shoe", "EU 44")
    assert told.startswith("A shoe of EU 44 means a foot of 27")
    assert "but 22 cm was measured and is taken: measure once more" in told
    assert run("--foot", "22cm", "--length", "24cm", "--shoe", "EU 38") == []


def test_an_instep_is_refused_where_nothing_is_altered_by_it(capsys: pytest.CaptureFixture[str]) -> None:
    run(*FOOT, "--instep", "23cm", pattern="knee.yaml", code=2)
    assert "nothing in this pattern hangs on --instep; leave it out" in capsys.readouterr().err
