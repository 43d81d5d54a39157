"""Measures that are common, strange, or can't be, and what mistake is asked about."""

from __future__ import annotations

import csv
import gzip
from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from grader.measuring import estimate, judge
from grader.vocabulary.quantities import CM_PER_INCH

TABLE = Path(__file__).with_name("judged.yaml")
SURVEY = Path(__file__).parents[2] / "grader" / "data" / "populations" / "ansur2_feet.csv.gz"
COLUMNS = {
    "foot_length": "foot_length",
    "foot_circumference": "ball_girth",
    "heel_diagonal": "heel_ankle_girth",
    "ankle": "ankle_girth",
    "calf": "calf_girth",
    "knee_height": "tibial_height",
}
LENGTHS = st.integers(min_value=215, max_value=305).map(lambda mm: Fraction(mm, 10))


def _exact(measures: Mapping[str, float]) -> dict[str, Fraction]:
    return {name: Fraction(str(amount)) for name, amount in measures.items()}


def _cases() -> list[dict[str, Any]]:
    cases: list[dict[str, Any]] = yaml.safe_load(TABLE.read_text(encoding="utf-8"))
    return cases


@cache
def surveyed() -> tuple[tuple[str, dict[str, Fraction]], ...]:
    """Everybody of the survey: women or men, and their measures in cm."""
    with gzip.open(SURVEY, "rt", encoding="utf-8") as lines:
        return tuple(
            (
                "women" if row["sex"] == "F" else "men",
                {name: Fraction(row[column]) / 10 for name, column in COLUMNS.items()},
            )
            for row in csv.DictReader(lines)
        )


def test_there_are_enough_cases() -> None:
    assert len(_cases()) >= 40


@pytest.mark.parametrize("case", _cases(), ids=lambda case: " ".join(f"{k} {v}" for k, v in case["measures"].items()))
def test_every_case_is_told_word_for_word(case: dict[str, Any]) -> None:
    found = judge(_exact(case["measures"]), case.get("whom", ""))
    told = [
        {
            "message": each.message,
            "severity": each.severity.value,
            "expected": each.expected,
            "mend": each.mend,
        }
        for each in found
    ]
    assert told == case["told"]


def test_hardly_anybody_of_the_survey_is_called_strange() -> None:
    """Six measures of 6068 people at one in a thousand: about 30 people are to be expected, and few more."""
    strange = [measures for _, measures in surveyed() if judge(measures)]
    assert 10 <= len(strange) <= 75
    assert not any(each.is_error for measures in strange for each in judge(measures))


def test_mistakes_made_on_purpose_are_noticed_in_the_survey() -> None:
    """Real people's measures, each with one mistake: the share that is noticed."""
    noticed: Counter[str] = Counter()
    people = [measures for _, measures in surveyed()[::20]]
    for own in people:
        foot = {name: own[name] for name in ("foot_length", "foot_circumference")}
        length, girth = foot["foot_length"], foot["foot_circumference"]
        mistakes = {
            "inches": {**foot, "foot_circumference": girth / CM_PER_INCH},
            "length in inches": {**foot, "foot_length": length / CM_PER_INCH},
            "all in inches": {name: amount / CM_PER_INCH for name, amount in own.items()},
            "flat": {**foot, "foot_circumference": girth / 2},
            "round the heel": {**foot, "foot_circumference": own["heel_diagonal"]},
            "ankle for calf": {**own, "calf": own["ankle"]},
            "calf for ankle": {**own, "ankle": own["calf"]},
            "heel not round the heel": {**own, "heel_diagonal": girth},
            "point slipped": {**foot, "foot_length": length * 10},
        }
        noticed.update(name for name, wrong in mistakes.items() if judge(wrong))
    shares = {name: count / len(people) for name, count in noticed.items()}
    unclear = "all in inches"  # the foot alone would do for a baby; knee and calf tell
    assert {name for name, share in shares.items() if share < 0.98 and name != unclear} == set()
    assert len(shares) >= 8


@given(LENGTHS, st.sampled_from(("", "women", "men")))
def test_what_is_estimated_is_never_strange(length: Fraction, whom: str) -> None:
    others = ("foot_circumference", "heel_diagonal", "instep_girth", "ankle", "calf", "knee_height")
    guesses = estimate({"foot_length": length}, others, whom)
    measures = {"foot_length": length, **{name: guess.middle for name, guess in guesses.items()}}
    assert [each.message for each in judge(measures, whom) if "a length of" not in each.message[:11]] == []


@given(LENGTHS)
def test_strange_stays_strange_farther_off(length: Fraction) -> None:
    """If a circumference is strange, a larger one is, and so is a smaller one on the other side."""
    strange = [
        bool(judge({"foot_length": length, "foot_circumference": Fraction(mm, 10)}, "women"))
        for mm in range(100, 400, 10)
    ]
    if all(strange):  # the length alone is
        return
    first = strange.index(False)
    last = len(strange) - 1 - strange[::-1].index(False)
    assert not any(strange[first : last + 1])
