"""Estimates of what was not measured, beside the figures published of the survey."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from grader.measuring import estimate, usual
from grader.vocabulary.conditioning import childhood, expected, together
from grader.vocabulary.foot_measures import adults
from grader.vocabulary.growth import length_at_age

from .test_judging import surveyed

PUBLISHED: dict[str, list[dict[str, Any]]] = yaml.safe_load(
    Path(__file__).with_name("published.yaml").read_text(encoding="utf-8")
)
OTHERS = ("foot_circumference", "heel_diagonal", "ankle", "calf", "knee_height")
LENGTHS = st.integers(min_value=215, max_value=305).map(lambda mm: Fraction(mm, 10))


def _id(row: dict[str, Any]) -> str:
    return f"ANSUR II 2014 {row['people']} {row['measure']}"


@pytest.mark.parametrize("row", [*PUBLISHED["measures"], *PUBLISHED["cross_check"]], ids=_id)
def test_means_and_spreads_are_the_published_ones(row: dict[str, Any]) -> None:
    people = next(each for each in adults() if each.name == row["people"])
    step = 0.05 if row in PUBLISHED["cross_check"] else 0.005  # mm, half of the last place printed
    assert people.mean[row["measure"]] * 10 == pytest.approx(row["mean"], abs=step + 0.006)
    assert people.covariance[row["measure"], row["measure"]] ** 0.5 * 10 == pytest.approx(row["sd"], abs=step + 0.006)


@pytest.mark.parametrize("row", PUBLISHED["regressions"], ids=_id)
def test_an_estimate_from_the_length_is_the_published_regression(row: dict[str, Any]) -> None:
    for length in (22.5, 25.0, 28.0):
        (found,) = expected(row["measure"], {"foot_length": length}, row["people"])
        assert found.mean * 10 == pytest.approx(row["slope"] * length * 10 + row["intercept"], abs=0.05)
        assert found.spread * 10 == pytest.approx(row["left"], abs=0.01)


def test_nine_in_ten_of_the_survey_lie_in_the_range_that_is_told() -> None:
    """The ranges promise nine in ten; counted over every tenth person, for each measure from the foot's two."""
    inside = dict.fromkeys(OTHERS[1:], 0)
    people = surveyed()[::10]
    for whom, own in people:
        foot = {name: own[name] for name in ("foot_length", "foot_circumference")}
        for name, guess in estimate(foot, OTHERS[1:], whom).items():
            inside[name] += guess.low <= own[name] <= guess.high
    assert {
        name: round(count / len(people), 2) for name, count in inside.items() if not 0.86 <= count / len(people) <= 0.94
    } == {}


@pytest.mark.parametrize(
    ("source", "low", "high"),
    [("a sock designer's guide: heel diagonal 130 to 140 % of the foot", 1.30, 1.40)],
)
@pytest.mark.parametrize("length", [22.5, 24.5, 27])
def test_the_heel_is_as_much_rounder_as_the_trade_has_it(source: str, low: float, high: float, length: float) -> None:
    foot = {"foot_length": Fraction(str(length))}
    foot["foot_circumference"] = estimate(foot, ["foot_circumference"])["foot_circumference"].middle
    assert low <= usual(foot)["heel_diagonal"] / foot["foot_circumference"] <= high, source


@pytest.mark.parametrize(
    ("age", "low", "middle", "high"),
    [
        (2, "12.84", "14.4", "15.9"),
        (4, "15.24", "16.7", "18.2"),
        (10, "19.78", "22.1", "24.1"),
        (13, "21.8", "24", "27.2"),
    ],
    ids=lambda value: f"UM-HSRI-77-17 1977 {value}",
)
def test_a_length_by_age_is_the_published_one(age: int, low: str, middle: str, high: str) -> None:
    assert length_at_age(Fraction(age)) == tuple(Fraction(each) for each in (low, middle, high))


@pytest.mark.parametrize("age", [Fraction(0), Fraction(49, 100), Fraction(19), Fraction(181, 10)])
def test_other_ages_were_not_measured(age: Fraction) -> None:
    with pytest.raises(KeyError):
        length_at_age(age)


@given(LENGTHS, st.sampled_from(("women", "men")), st.sampled_from(OTHERS))
def test_knowing_more_never_makes_less_sure(length: Fraction, whom: str, wanted: str) -> None:
    known = {"foot_length": float(length)}
    spread = together(expected(wanted, known, whom)).spread
    for other in OTHERS:
        if other != wanted:
            known[other] = together(expected(other, known, whom)).mean
            narrower = together(expected(wanted, known, whom)).spread
            assert narrower <= spread + 1e-9
            spread = narrower


@given(LENGTHS, LENGTHS, st.sampled_from(("women", "men", "children")), st.sampled_from((*OTHERS, "instep_girth")))
def test_a_longer_foot_is_never_estimated_smaller(first: Fraction, second: Fraction, whom: str, wanted: str) -> None:
    short, long = sorted((first, second))
    small, large = (estimate({"foot_length": each}, [wanted], whom)[wanted].middle for each in (short, long))
    assert small <= large


@given(LENGTHS, st.fractions(min_value=0, max_value=2, max_denominator=10))
def test_an_unsure_length_makes_what_follows_as_unsure(length: Fraction, half: Fraction) -> None:
    sure = estimate({"foot_length": length}, OTHERS, "women")
    unsure = estimate({"foot_length": length}, OTHERS, "women", {"foot_length": half})
    for name, guess in unsure.items():
        assert guess.middle == sure[name].middle
        assert guess.low <= sure[name].low <= sure[name].high <= guess.high


def test_what_is_known_is_not_guessed() -> None:
    assert estimate({"foot_length": Fraction(24), "calf": Fraction(40)}, ["calf"]) == {}


def test_estimates_name_their_source() -> None:
    grown = estimate({"foot_length": Fraction(24)}, ["calf", "instep_girth"])
    child = estimate({"foot_length": Fraction(16)}, ["foot_circumference"])
    assert "a survey of 6068 adults" in grown["calf"].basis
    assert "an estimate of ours" in grown["instep_girth"].basis
    assert "an estimate" in child["foot_circumference"].basis


@pytest.mark.parametrize(
    ("known", "whom", "answer"),
    [
        ({"foot_length": 16.0}, "", 1),
        ({"foot_length": 20.0}, "", 1),
        ({"foot_length": 22.0}, "", 0.5),
        ({"foot_length": 22.0}, "children", 0.5),
        ({"foot_length": 24.0}, "children", 0),
        ({"foot_length": 16.0}, "women", 0),
        ({"foot_circumference": 16.0}, "", 1),
        ({"foot_circumference": 23.0}, "", 0),
        ({}, "children", 1),
        ({}, "", 0),
    ],
)
def test_a_short_foot_is_a_childs_unless_said_otherwise(known: dict[str, float], whom: str, answer: float) -> None:
    assert childhood(known, whom) == answer


def test_a_childs_foot_is_as_round_as_the_shares_say() -> None:
    """As round as long at four years, 0.95 at six to seven, 1.08 before two: shares that are estimates."""
    for length, girth in (("16.5", "16.4"), ("19", "18.1"), ("12", "13")):
        guess = estimate({"foot_length": Fraction(length)}, ["foot_circumference"])["foot_circumference"]
        assert guess.middle == Fraction(girth)
        back = estimate({"foot_circumference": Fraction(girth)}, ["foot_length"], "children")["foot_length"]
        assert abs(back.middle - Fraction(length)) <= Fraction(1, 5)


def test_usual_is_what_the_foot_alone_says() -> None:
    foot = {"foot_circumference": Fraction(23), "foot_length": Fraction(24)}
    assert usual(foot) == usual({**foot, "calf": Fraction(50), "heel_diagonal": Fraction(40)})
