"""Shoe sizes against published tables, and the populations that ship against their published percentiles."""

from __future__ import annotations

from fractions import Fraction

import numpy
import pytest

from grader.vocabulary.population import read_population
from grader.vocabulary.shoe_sizes import foot_length_of, shoe_scale, shoe_scales

from .published import Row, cases, published

_INCH = Fraction(254, 100)
_SHARES = {"p1": 1, "p5": 5, "p25": 25, "p50": 50, "p75": 75, "p95": 95, "p99": 99}
_WHOSE = {"female": "women", "male": "men"}
Told = tuple[str, str, Fraction, Fraction]  # system, wearer, size, foot in cm


def _mixed(text: object) -> Fraction:
    return sum((Fraction(part) for part in str(text).split()), Fraction(0))


def _of_conversion(row: Row) -> list[Told]:
    foot = Fraction(row["mondopoint"], 10)
    columns = (("EU", "women", "eu"), ("UK", "women", "uk"), ("US", "women", "us_women"), ("US", "men", "us_men"))
    return [(system, whom, _mixed(row[key]), foot) for system, whom, key in columns]


def _of_length(row: Row) -> list[Told]:
    foot = Fraction(row["foot_mm"], 10)
    return [("EU", "men", _mixed(row["eu"]), foot), ("US", "men", _mixed(row["us"]), foot)]


def _of_device(row: Row) -> list[Told]:
    return [("US", row["for_whom"], _mixed(row["us"]), _mixed(row["foot_in"]) * _INCH)]


def _holds(told: list[Told]) -> None:
    for system, whom, size, foot in told:
        low, high = foot_length_of(system, size, whom)
        assert low <= foot <= high, (system, whom, float(size), float(low), float(foot), float(high))


@pytest.mark.parametrize("row", cases("shoe_conversions"))
def test_a_conversion_lies_in_the_range_told(row: Row) -> None:
    _holds(_of_conversion(row))
    assert shoe_scale("Mondopoint", "men").size(Fraction(row["mondopoint"], 10)) == row["mondopoint"]


@pytest.mark.parametrize("row", cases("shoe_lengths"))
def test_a_makers_length_lies_in_the_range_told(row: Row) -> None:
    _holds(_of_length(row))


@pytest.mark.parametrize("row", cases("shoe_device"))
def test_a_measured_length_lies_in_the_range_told(row: Row) -> None:
    _holds(_of_device(row))


@pytest.mark.parametrize("row", cases("shoe_formula"))
def test_the_formula_gives_its_own_example(row: Row) -> None:
    assert float(shoe_scale("EU", "women").foot_cm(Fraction(row["eu"]))) == pytest.approx(row["foot_cm"], abs=0.05)


@pytest.mark.parametrize("row", cases("shoe_smallest"))
def test_the_smallest_shoe_lies_in_the_range_told(row: Row) -> None:
    _holds([("EU", "child", Fraction(row["eu"]), Fraction(row["foot_mm"], 10))])


def test_the_ranges_are_no_wider_than_the_tables_make_them() -> None:
    """What the scales say they lie beside the tables is the most they do, rounded outwards to half a size."""
    told = [each for row in published("shoe_conversions") for each in _of_conversion(row)]
    told += [each for row in published("shoe_lengths") for each in _of_length(row)]
    told += [each for row in published("shoe_device") for each in _of_device(row)]
    told += [("EU", "child", Fraction(row["eu"]), Fraction(row["foot_mm"], 10)) for row in published("shoe_smallest")]
    for scale in shoe_scales():
        off = [
            scale.exact_size(foot) - size
            for system, whom, size, foot in told
            if system == scale.system and whom in scale.for_whom
        ]
        if not off:
            continue
        assert scale.beside[0] <= min(off), scale
        assert scale.beside[1] >= max(off), scale
        if scale.for_whom == ("child",):
            continue  # few figures of children's shoes were found, and the lower end is the adults'
        assert min(off) - scale.beside[0] < Fraction(1, 2), scale
        assert scale.beside[1] - max(off) < Fraction(1, 2), scale


@pytest.mark.parametrize("row", cases("foot_percentiles"))
def test_the_adults_that_ship_have_the_published_percentiles(row: Row) -> None:
    feet = read_population(_WHOSE[row["sex"]]).feet
    found = numpy.array([foot.length if row["measure"] == "foot_length" else foot.girth for foot in feet], dtype=float)
    assert (len(found), found.min(), found.max()) == (row["n"], row["min"], row["max"])
    assert found.mean() == pytest.approx(row["mean"], abs=0.00501)
    assert found.std(ddof=1) == pytest.approx(row["sd"], abs=0.00501)
    for name, share in _SHARES.items():
        assert numpy.percentile(found, share) == pytest.approx(row[name], abs=0.0501), name


@pytest.mark.parametrize("row", cases("child_foot_percentiles"))
def test_the_children_that_ship_have_the_published_percentiles(row: Row) -> None:
    feet = read_population("children").feet
    if row["sex"] != "both":
        feet = read_population("girls" if row["sex"] == "female" else "boys").feet
    found = numpy.array(
        [foot.length for foot in feet if foot.age is not None and row["age"] <= foot.age < row["age"] + 1], dtype=float
    )
    assert len(found) == row["n"]
    assert found.mean() == pytest.approx(row["mean"], abs=0.0501)
    assert found.std(ddof=1) == pytest.approx(row["sd"], abs=0.0501)
    for name in ("p5", "p25", "p50", "p75", "p95"):
        assert numpy.percentile(found, _SHARES[name]) == pytest.approx(row[name], abs=0.0501), name
