"""The size charts against the surveys they rest on, and the surveys against their published figures."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache
from itertools import pairwise
from statistics import mean, stdev

import pytest

from grader.sizing.rounding import Lattice
from grader.vocabulary.bodies import Body
from grader.vocabulary.population import read_population
from grader.vocabulary.reference import read_reference
from grader.vocabulary.size_charts import chart_names, chart_title, read_chart

from .published import Row, cases, published

_SEX = {"male": "M", "female": "F"}
_HALF = Fraction(1, 2)


@cache
def feet() -> tuple[tuple[str, int, int], ...]:
    """Sex, foot length and ball girth (mm) of every foot of the survey, as the program reads it."""
    return tuple(
        (sex, foot.length, foot.girth or 0)
        for sex, name in (("M", "men"), ("F", "women"))
        for foot in read_population(name).feet
    )


@cache
def measured(measure: str, sex: str) -> tuple[int, ...]:
    """One measure of one sex (or all), smallest first, in mm."""
    column = 1 if measure == "foot_length" else 2
    return tuple(sorted(int(foot[column]) for foot in feet() if sex == "all" or foot[0] == _SEX[sex]))


def percentile(ordered: tuple[float, ...] | tuple[int, ...], share: int) -> float:
    """Between the order statistics either side of rank (n - 1) * share / 100."""
    rank = (len(ordered) - 1) * share / 100
    low = math.floor(rank)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (rank - low) * (ordered[high] - ordered[low])


def to_half(amount: Fraction) -> Fraction:
    """To the nearest half centimetre."""
    return math.floor(amount / _HALF + _HALF) * _HALF


@pytest.mark.parametrize("row", cases("foot_percentiles"))
def test_the_survey_has_its_published_percentiles(row: Row) -> None:
    found = measured(row["measure"], row["sex"])
    assert (len(found), found[0], found[-1]) == (row["n"], row["min"], row["max"])
    assert mean(found) == pytest.approx(row["mean"], abs=0.00501)
    assert stdev(found) == pytest.approx(row["sd"], abs=0.00501)
    for share in (1, 5, 25, 50, 75, 95, 99):
        assert percentile(found, share) == pytest.approx(row[f"p{share}"], abs=0.0501), f"p{share}"


@pytest.mark.parametrize("row", cases("foot_means"))
def test_the_survey_has_the_means_another_user_found(row: Row) -> None:
    found = measured(row["measure"], row["sex"])
    assert mean(found) == pytest.approx(row["mean"], abs=0.0501)
    assert stdev(found) == pytest.approx(row["sd"], abs=0.0501)


@pytest.mark.parametrize("row", cases("foot_ratios"))
def test_girth_over_length_in_the_survey(row: Row) -> None:
    pairs = [(length, girth) for sex, length, girth in feet() if row["sex"] == "all" or sex == _SEX[row["sex"]]]
    ratios = tuple(sorted(girth / length for length, girth in pairs))
    assert mean(ratios) == pytest.approx(row["mean"], abs=0.000051)
    for share in (5, 50, 95):
        assert percentile(ratios, share) == pytest.approx(row[f"p{share}"], abs=0.000051), f"p{share}"
    lengths, girths = [length for length, _ in pairs], [girth for _, girth in pairs]
    mid_length, mid_girth = mean(lengths), mean(girths)
    shared = sum((length - mid_length) * (girth - mid_girth) for length, girth in pairs) / (len(pairs) - 1)
    assert shared / stdev(lengths) / stdev(girths) == pytest.approx(row["r"], abs=0.000051)


def survey_rows() -> list[Row]:
    """The rows of every chart that rest on the survey."""
    rows = [row for name in chart_names() for row in read_reference(f"charts/{name}")["rows"]]
    return [row for row in rows if row["basis"] == "survey"]


def child_rows() -> list[Row]:
    """The rows of every chart that rest on children's lengths by age."""
    rows = [row for name in chart_names() for row in read_reference(f"charts/{name}")["rows"]]
    return [row for row in rows if row["basis"] == "children"]


@pytest.mark.parametrize("row", survey_rows(), ids=lambda row: f"{row['foot_circumference']} cm")
def test_an_adult_foot_is_as_long_as_the_feet_of_its_girth(row: Row) -> None:
    near = [length for _, length, girth in feet() if abs(girth - row["foot_circumference"] * 10) <= 10]
    length = Fraction(sum(near), len(near)) / 10
    assert (row["feet_measured"], row["mean_length"]) == (len(near), pytest.approx(float(length), abs=0.00501))
    assert Fraction(str(row["foot_length"])) == to_half(length)


@pytest.mark.parametrize("row", child_rows(), ids=lambda row: row["note"])
def test_a_child_foot_is_as_long_as_its_age(row: Row) -> None:
    means = {each["age"]: Fraction(str(each["mean"])) / 10 for each in published("child_foot_means")}
    length = sum((means[age] for age in row["ages"]), Fraction(0)) / len(row["ages"])
    assert Fraction(str(row["foot_length"])) == to_half(length)
    # girths are estimates: 1.00 at 15 cm by the council's child sizes (memory), 0.95 as knitters reckon, 0.93 of adults
    share = {2: "1.00", 4: "0.99", 5: "0.975", 7: "0.95", 9: "0.95"}[row["ages"][0]]
    assert Fraction(str(row["foot_circumference"])) == to_half(length * Fraction(share))


def test_a_foot_between_child_and_adult_lies_between_both_surveys() -> None:
    (row,) = (each for each in read_reference("charts/all-feet")["rows"] if each["basis"] == "growing")
    near = [length for _, length, girth in feet() if abs(girth - row["foot_circumference"] * 10) <= 10]
    twelve = next(each["mean"] for each in published("child_foot_means") if each["age"] == 12)
    assert twelve / 10 - 0.25 <= row["foot_length"] <= sum(near) / len(near) / 10


@pytest.mark.parametrize("name", ["adult-feet", "all-feet", "child-feet"])
def test_a_chart_rises_in_half_centimetres(name: str) -> None:
    chart = read_chart(name)
    assert chart_title(name)
    assert len(chart) > 5
    assert len({body.name for body in chart}) == len(chart)
    for body in chart:
        assert body.note
        assert body.source
        assert all(amount % _HALF == 0 for amount in body.measures.values()), body.name
        # nine adult feet in ten have 0.86 to 1.00; babies' feet are rounder, the smallest girths the slimmest
        assert Fraction("0.84") <= girth(body) / body.measures["foot_length"] <= Fraction("1.1"), body.name
    for smaller, larger in pairwise(chart):
        assert all(smaller.measures[measure] < larger.measures[measure] for measure in smaller.measures), larger.name


@pytest.mark.parametrize("name", ["adult-feet", "all-feet", "child-feet"])
def test_no_foot_lies_between_two_sizes_of_a_chart(name: str) -> None:
    """A sock 4 % shorter than its foot, which may be up to 10 % shorter and no longer, fits feet a ninth apart."""
    lengths = [body.measures["foot_length"] for body in read_chart(name)]
    for shorter, longer in pairwise(lengths):
        assert longer * Fraction(96, 100) <= shorter * Fraction(96, 100) / Fraction(9, 10), (shorter, longer)


def girth(body: Body) -> Fraction:
    """Round the foot, in cm."""
    return body.measures["foot_circumference"]


def cast_ons(name: str, per_10cm: int) -> list[int]:
    """Cast-on of every size of a chart, a tenth smaller than the foot, by fours."""
    fours = Lattice(Fraction(4))
    found = [fours.nearest(girth(body) * Fraction(9, 10) * per_10cm / 10) for body in read_chart(name)]
    return [int(count) for count in found if count is not None]


def test_fourteen_feet_make_fourteen_cast_ons_in_a_row() -> None:
    chart = read_chart("all-feet")
    assert [body.name for body in chart] == [str(number) for number in range(1, 15)]
    counts = cast_ons("all-feet", 32)
    assert counts == list(range(36, 92, 4))
    for body, count in zip(chart, counts, strict=True):
        ease = Fraction(count * 10, 32) / girth(body) - 1
        assert Fraction("-0.13") < ease < Fraction("-0.07"), body.name


@pytest.mark.parametrize(
    ("name", "per_10cm"),
    [
        ("all-feet", 36),
        ("adult-feet", 28),
        ("adult-feet", 32),
        ("adult-feet", 36),
        ("child-feet", 32),
        ("child-feet", 36),
    ],
)
def test_no_two_sizes_share_a_cast_on(name: str, per_10cm: int) -> None:
    counts = cast_ons(name, per_10cm)
    assert len(set(counts)) == len(counts)


def test_at_28_stitches_only_two_pairs_of_the_fourteen_share_a_cast_on() -> None:
    counts = cast_ons("all-feet", 28)
    assert counts == sorted(counts)
    assert len(counts) - len(set(counts)) == 2


def test_the_medium_adult() -> None:
    medium = next(body for body in read_chart("adult-feet") if body.name == "M")
    usual = {"foot_circumference": Fraction(45, 2), "foot_length": 25, "leg_length": 18}
    assert {name: medium.measures[name] for name in usual} == usual


def test_an_unknown_chart_names_the_known_ones() -> None:
    with pytest.raises(KeyError, match="adult-feet, all-feet, child-feet"):
        read_chart("giant-feet")
