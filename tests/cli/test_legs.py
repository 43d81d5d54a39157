"""`grader one-off` for a pattern that is graded by the leg: its measures are asked for, and shape the sock."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from parts.combining import pattern_of

from grader.cli import main
from grader.cli.one_off import measures_used, own_body
from grader.models.pattern import Pattern
from grader.pipeline import open_pattern

from .test_asking import ANSWERS, at_a_terminal

KNEE = ("cuff-2x2-rib", "leg-calf", "heel-german-short-row", "foot-plain", "toe-star")
FOOT = ("--foot", "22.5cm", "--length", "25cm", "--gauge", "32x44", "--needles", "magic-loop", "--quiet")


@pytest.fixture
def knee(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A pattern for knee socks, in a folder of its own."""
    (tmp_path / "knee.yaml").write_text(pattern_of(KNEE, "adult-feet"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return "knee.yaml"


def cast_on_for(knee: str, *legs: str) -> int:
    """The stitches cast on for this leg."""
    assert main(["one-off", knee, *FOOT, *legs]) == 0
    text = Path("build/put-together-one-off.md").read_text(encoding="utf-8")
    found = re.search(r"Cast on (\d+) sts", text)
    assert found
    return int(found[1])


def test_the_measures_of_the_leg_shape_the_sock(knee: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Round the calf the sock is smaller by a tenth: 37 cm x 0.9 x 3.2 sts is 106.6, and 36 cm 103.7."""
    assert cast_on_for(knee, "--calf", "37cm", "--knee-height", "45cm") == 108
    assert cast_on_for(knee, "--calf", "36cm", "--knee-height", "45cm") == 104
    assert cast_on_for(knee, "--calf", "14 1/4 in", "--knee-height", "18in") == 104
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("legs", "answer"),
    [
        ((), "Round the calf at its widest (such as 37cm) is missing; give it with --calf"),
        (
            ("--calf", "37cm"),
            "From the floor to the top of the shin bone (such as 45cm) is missing; give it with --knee-height",
        ),
        (("--calf", "37", "--knee-height", "45cm"), "calf: '37' has no unit; write 37cm or 37in"),
        (("--calf", "3.7m", "--knee-height", "45cm"), "calf: 370 cm can't be; calves have 12 to 65 cm"),
        (
            ("--calf", "37cm", "--knee-height", "45cm", "--ankle", "2m"),
            "ankle: 200 cm can't be; ankles have 9 to 40 cm",
        ),
        (
            ("--calf", "37cm", "--knee-height", "45in"),
            "knee-height: 114.3 cm can't be; legs up to the knee have 12 to 65 cm; did you mean 45 cm?",
        ),
    ],
)
def test_what_is_missing_or_can_not_be_is_said(
    legs: tuple[str, ...], answer: str, knee: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nobody is there to answer: the option that is missing is named, and nothing is written."""
    assert main(["one-off", knee, *FOOT, *legs]) == 2
    assert capsys.readouterr() == ("", f"grader: {answer}\n")
    assert not Path("build").exists()


def test_a_leg_too_short_for_its_calf_is_a_finding(knee: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["one-off", knee, *FOOT, "--calf", "37cm", "--knee-height", "20cm"]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "leg_below comes to -" in err
    assert err.endswith("grader: no sock was written for this foot; the reason stands above\n")


def test_the_leg_is_asked_for_by_hand_where_the_pattern_needs_it(knee: str, tmp_path: Path) -> None:
    legs = {
        "Round the calf at its widest (such as 37cm): ": "37cm",
        "From the floor to the top of the shin bone (such as 45cm): ": "45cm",
    }
    questions = list(ANSWERS)
    code, shown, asked = at_a_terminal(["one-off", knee], tmp_path, {**ANSWERS, **legs})
    assert code == 0, shown
    assert asked == [*questions[:2], *legs, *questions[2:]]


def test_the_names_a_pattern_uses_are_those_of_its_formulas_and_its_prose(tmp_path: Path) -> None:
    text = pattern_of(("cuff-2x2-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-star"))
    plain = _opened(tmp_path, text)
    assert not {"calf", "ankle", "knee_height"} & measures_used(plain)
    assert {"foot_circumference", "leg_length", "cast_on"} <= measures_used(plain)
    leg = '  - name: Leg\n    steps:\n      - rounds: K\n        for: "{leg_plain}"\n'
    spoken = _opened(tmp_path, f"{text}sections:\n{leg}        say: From the heel {{ankle, from the heel}}.\n")
    assert {"calf", "ankle", "knee_height"} & measures_used(spoken) == {"ankle"}


def test_what_is_not_measured_is_that_of_the_nearest_size(tmp_path: Path) -> None:
    pattern = _opened(tmp_path, pattern_of(KNEE, "adult-feet"))
    body = own_body(pattern, Fraction(45, 2), Fraction(25), {"calf": Fraction(50)}, "")
    nearest = next(each for each in pattern.bodies if each.measures["foot_circumference"] == Fraction(45, 2))
    assert body.measures["calf"] == 50
    assert body.measures["knee_height"] == nearest.measures["knee_height"]


def _opened(place: Path, text: str) -> Pattern:
    path = place / "some.yaml"
    path.write_text(text, encoding="utf-8")
    pattern, findings = open_pattern(str(path))
    assert findings == []
    assert pattern is not None
    return pattern
