"""Needles, yarn weights, casts-on and fabrics against what was published; every case names its source."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from outside.published import cases as outside_cases
from outside.published import published

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import for_one
from grader.sizing import grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.fabric import areal_mass, cover_of, fabric_band, tex_of
from grader.vocabulary.loop_length import loop_length_cm, relaxation_state
from grader.vocabulary.needles import needle_named
from grader.vocabulary.quantities import CM_PER_INCH, read_quantity
from grader.vocabulary.reference import read_reference
from grader.vocabulary.yarn_weights import weights_at, yarn_weight

Row = dict[str, Any]


@cache
def tables() -> dict[str, dict[str, Any]]:
    contents: dict[str, dict[str, Any]] = yaml.safe_load(Path(__file__).with_name("published.yaml").read_text("utf-8"))
    return contents


def cases(key: str) -> list[Any]:
    """The rows of one table; the id ends in the source, so that a failure names it."""
    table = tables()[key]
    found = []
    for row in table["rows"]:
        figures = "-".join(str(value) for name, value in row.items() if name != "source")
        found.append(pytest.param(row, id=f"{figures} [{row.get('source', table.get('source'))}]"))
    return found


def sock(pattern: Pattern, girth: Fraction, stitches_per_cm: Fraction, ease: Fraction) -> Graded:
    """The pattern for a foot of that girth at that gauge and ease, whatever ease is left after rounding."""
    loose = replace(pattern, fit=replace(pattern.fit, foot_circumference=ease, allowed=(Fraction(-1), Fraction(1))))
    gauge = replace(pattern.gauge, stitches=stitches_per_cm, rounds=stitches_per_cm * Fraction(11, 8))
    body = Body("M", {"foot_circumference": girth, "foot_length": Fraction(25), "leg_length": Fraction(16)})
    graded, findings = grade(for_one(loose, body, gauge), body)
    assert graded is not None, findings
    return graded


@pytest.mark.parametrize("row", cases("casts_on"))
def test_the_stitches_cast_on_for_a_foot_and_a_gauge(row: Row, ninepenny: Pattern) -> None:
    girth = read_quantity(row["girth"]).amount
    per_cm = Fraction(str(row["to_inch"])) / CM_PER_INCH if "to_inch" in row else Fraction(str(row["to_10_cm"])) / 10
    graded = sock(ninepenny, girth, per_cm, Fraction(row["ease"], 100))
    aimed = next(figure.aimed.amount for figure in graded.figures if figure.name == "cast_on")
    if "raw" in row:
        assert float(aimed) == pytest.approx(row["raw"], abs=0.005)
    if "eased_cm" in row:
        assert float(aimed / per_cm) == pytest.approx(row["eased_cm"], abs=1e-9)
    if "cast_on" in row:
        assert graded.count("cast_on") == row["cast_on"]


@pytest.mark.parametrize("row", cases("stitches_by_weight"))
def test_a_womans_sock_in_each_weight(row: Row, ninepenny: Pattern) -> None:
    tightest = yarn_weight(row["weight"]).gauge_max
    assert tightest is not None
    graded = sock(ninepenny, Fraction(45, 2), Fraction(tightest, 10), Fraction(-10, 100))
    assert graded.count("cast_on") == row["cast_on"]


@pytest.mark.parametrize("row", outside_cases("needle_sizes"))
def test_a_needle_is_known_by_each_of_its_names(row: Row) -> None:
    mm = Fraction(str(row["mm"]))
    assert needle_named(f"{row['mm']} mm") == mm
    for system in ("us", "uk"):
        if row[system] is not None:
            assert needle_named(f"{system.upper()} {row[system]}") == mm


@pytest.mark.parametrize("row", outside_cases("yarn_weights"))
def test_the_gauges_of_a_weight_name_that_weight(row: Row) -> None:
    """Two neighbours share 23 and 24 stitches in the council's own chart: there both are named."""
    ends = [row["gauge_min"], row["gauge_max"]]
    for stitches in (each for each in ends if each is not None):
        named = [each["name"] for each in published("yarn_weights") if _within(each, stitches)]
        assert [each.name for each in weights_at(Fraction(stitches))] == named


def _within(row: Row, stitches: int) -> bool:
    return (row["gauge_min"] or 0) <= stitches <= row["gauge_max"]


@pytest.mark.parametrize("row", cases("areal_masses"))
def test_the_mass_of_a_fabric_in_cm_is_that_in_inches(row: Row) -> None:
    by_inches = row["cpi"] * row["wpi"] * row["loop_mm"] * 39.37**2 * row["tex"] / 1e6
    cm = float(CM_PER_INCH)
    mass = areal_mass(row["wpi"] / cm, row["cpi"] / cm, row["loop_mm"] / 10, row["tex"])
    assert mass == pytest.approx(by_inches, rel=1e-4)


@pytest.mark.parametrize("row", cases("loops_per_cm2"))
def test_a_question_on_loops_to_the_square_cm(row: Row) -> None:
    wales, courses = row["k_w"] / row["loop_cm"], row["k_c"] / row["loop_cm"]
    state = relaxation_state("fully relaxed")
    assert (state.k_w, state.k_c) == (row["k_w"], row["k_c"])
    assert loop_length_cm(wales, courses, "fully relaxed") == pytest.approx(row["loop_cm"], rel=1e-3)
    # a yarn of 20 tex then weighs the loops x 5 mm x 20 tex / 100
    assert areal_mass(wales, courses, row["loop_cm"], 20) == pytest.approx(row["loops"])


@pytest.mark.parametrize("row", cases("loop_ratio"))
def test_a_question_on_courses_over_wales(row: Row) -> None:
    state = relaxation_state("fully relaxed")
    assert round(state.k_c / state.k_w, 1) == row["ratio"]


@pytest.mark.parametrize("row", cases("cover_range"))
def test_the_range_of_plain_fabric_is_the_dense_band(row: Row) -> None:
    plain = read_reference("sock_fabric")["plain_range"]
    assert (plain["low"], plain["high"]) == (row["low"], row["high"])
    bands = [fabric_band(cover).name for cover in (row["low"] - 0.01, row["low"], row["high"] - 0.01, row["high"])]
    assert bands == ["usual", "dense", "dense", "stiff"]


@pytest.mark.parametrize("row", cases("sock_fabric"))
def test_the_usual_sock_yarn_at_its_usual_gauge_is_a_usual_fabric(row: Row) -> None:
    tex = tex_of(Fraction(row["metres"]), Fraction(50))
    cover = cover_of(tex, Fraction(row["stitches"], 10), Fraction(row["rounds"], 10))
    assert fabric_band(cover).name == row["band"]
