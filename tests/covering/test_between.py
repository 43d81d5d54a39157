"""Feet that lie between two sizes, that neither fits and people have: told where they are, and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shipped import NAMES
from shipped import pattern_named as shipped

from grader.cli import main
from grader.covering import between_sizes
from grader.models.pattern import Pattern
from grader.pipeline import grade_all
from grader.serving import feet_between
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Finding
from grader.vocabulary.population import MeasuredFoot, Population, read_population

PLAIN = "ninepenny_bridge"


def feet_of(*measures: tuple[str, str]) -> tuple[Body, ...]:
    """Sizes named A, B and so on, each with a girth and a length in cm."""
    return tuple(
        Body(
            chr(ord("A") + place),
            {"foot_circumference": Fraction(girth), "foot_length": Fraction(length), "leg_length": Fraction(15)},
        )
        for place, (girth, length) in enumerate(measures)
    )


def told(*measures: tuple[str, str], name: str = PLAIN) -> list[Finding]:
    return feet_between(replace(shipped(name), bodies=feet_of(*measures)))


@pytest.mark.parametrize("name", NAMES)
def test_the_patterns_that_ship_leave_out_no_foot_between_two_sizes(name: str) -> None:
    assert feet_between(shipped(name)) == []


def test_a_gap_between_child_and_adult_is_told_with_what_would_fill_it() -> None:
    """Of feet 22 to 23 cm long, EU 35 to 37, hardly an adult is left out, but one child in twelve."""
    (long, both) = told(("19.5", "21"), ("21", "24"))
    assert long.code == "between-sizes"
    assert not long.is_error
    assert long.message == "feet 22.3 to 22.9 cm long fit neither size A nor size B"
    assert long.found == "0.5 % of the adults and 8.3 % of the children measured have such feet"
    assert long.mend.startswith("put a size of about 21.5 cm round and 22.5 cm long between them")
    assert long.span == shipped(PLAIN).sizes_span
    assert both.message.startswith("feet 19.5 to 21 cm round and 21.3 to ")
    assert told(("19.5", "21"), ("20.5", "22.5"), ("21", "24")) == []


def test_a_gap_in_girth_is_told_by_girth() -> None:
    (found,) = told(("21", "25"), ("26", "26"))
    assert found.message == "feet 22.1 to 24.9 cm round fit neither size A nor size B"
    assert "of the adults" in found.found


def test_what_lies_below_or_above_all_sizes_is_not_between_two() -> None:
    assert told(("22.5", "25")) == []
    assert told(("22.5", "25"), ("23.5", "25.5")) == []


def test_sizes_that_go_side_by_side_are_held_against_their_neighbours() -> None:
    """Narrow and wide feet of each length: neighbours are the wide one of the same length and the next narrow one."""
    assert told(("21", "24"), ("22.5", "24"), ("22", "25"), ("23.5", "25")) == []
    found = told(("21", "24"), ("26", "24"), ("21.5", "25"), ("26.5", "25"))
    assert {each.message.partition("fit neither ")[2] for each in found} == {
        "size A nor size B",
        "size C nor size D",
    }


@settings(max_examples=40, deadline=None)
@given(st.integers(110, 300), st.integers(1, 60))
def test_every_foot_that_is_told_fits_neither_and_lies_between(shorter: int, step: int) -> None:
    """Held against the ease of each foot itself, with one person of every length between the two sizes."""
    pattern = shipped(PLAIN)
    lengths = (Fraction(shorter, 10), Fraction(shorter + step, 10))
    bodies = feet_of(*((str(each), str(each)) for each in lengths))
    sizes, findings = grade_all(replace(pattern, bodies=bodies))
    if findings or len(sizes) < 2:
        return
    everyone = Population("adults", tuple(MeasuredFoot(mm, mm) for mm in range(shorter, shorter + step + 1)), "")
    found = between_sizes(pattern, sizes, [everyone])
    unfitted = [foot for foot in everyone.feet if not any(_fits(pattern, each.finished, foot) for each in sizes)]
    assert bool(found) == bool(unfitted)
    for (low, high), each in zip(_spans(found), found, strict=True):
        assert shorter / 10 <= low <= high <= (shorter + step) / 10
        assert not each.is_error


def _fits(pattern: Pattern, finished: dict[str, Fraction], foot: MeasuredFoot) -> bool:
    assert foot.girth is not None
    around, along = (
        finished[name] * 10 / mm - 1 for name, mm in (("foot_circumference", foot.girth), ("foot_length", foot.length))
    )
    (tight, loose), (short, long) = pattern.fit.allowed, pattern.fit.length_allowed
    return tight <= around <= loose and short <= along <= long


def _spans(found: list[Finding]) -> list[tuple[float, float]]:
    """The first span of centimetres in each message."""
    spans = []
    for each in found:
        numbers = each.message.removeprefix("feet ").split(" cm")[0].split(" to ")
        spans.append((float(numbers[0]), float(numbers[-1])))
    return spans


def test_a_foot_as_rare_as_one_in_a_thousand_is_not_told() -> None:
    pattern = replace(shipped(PLAIN), bodies=feet_of(("19.5", "21"), ("21", "24")))
    sizes, _ = grade_all(pattern)
    for fitted, said in ((998, True), (1000, False)):
        feet = (MeasuredFoot(210, 195),) * fitted + (MeasuredFoot(226, 205),)
        assert bool(between_sizes(pattern, sizes, [Population("adults", feet, "")])) == said


@pytest.mark.parametrize("command", ["check", "sizes"])
def test_check_and_sizes_remark_on_it(command: str, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    text = Path("patterns/ninepenny_bridge.yaml").read_text(encoding="utf-8").partition("\n# The designer's own")[0]
    text = text.replace("{chart: all-feet}", '{chart: all-feet, choose: ["6", "8", "10"]}')
    path = tmp_path / "some.yaml"
    path.write_text(text, encoding="utf-8")
    line = [command, str(path)] + (["--needles", "set-of-5"] if command == "check" else [])
    assert main(line) == 0
    said = capsys.readouterr().err
    spots = {each.partition("fit neither ")[2] for each in said.splitlines()} - {""}
    assert spots == {f"size {small} nor size {large}" for small, large in pairwise(("6", "8", "10"))}
    assert f"{path}:18:8: remark: feet 21.2 to 22.4 cm long fit neither size 6 nor size 8" in said
    if command == "check":
        assert main([*line, "--sizes", "6,8"]) == 0  # what is left out by hand is missed on purpose
        assert "fit neither" not in capsys.readouterr().err


def test_children_without_girths_are_not_left_out_for_an_estimate_alone() -> None:
    """A foot of 15 cm is 15.5 cm round by the estimate, and children differ by 6 %: 14.7 may be one's own."""
    pattern = replace(shipped(PLAIN), bodies=feet_of(("14", "14.5"), ("15", "15.5")))
    assert feet_between(pattern) == []
    assert any(foot.girth is None for foot in read_population("children").feet)
