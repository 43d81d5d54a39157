"""Needle sizes, yarn weights, abbreviations and loop lengths against the published tables."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from grader.vocabulary.abbreviations import abbreviation_table
from grader.vocabulary.loop_length import loop_length_cm, relaxation_state
from grader.vocabulary.needles import needle_names
from grader.vocabulary.yarn_weights import yarn_weight

from .published import Row, cases, figures_in, published, tables


@pytest.mark.parametrize("row", cases("needle_sizes"))
def test_a_needle_has_its_us_and_uk_number(row: Row) -> None:
    names = needle_names(Fraction(str(row["mm"])))
    assert (names.us, names.uk) == (row["us"] or "", row["uk"] or "")


@pytest.mark.parametrize("row", cases("needle_sizes_fine"))
def test_a_fine_needle_has_its_us_number(row: Row) -> None:
    assert needle_names(Fraction(str(row["mm"]))).us == row["us"]


@pytest.mark.parametrize("row", cases("yarn_weights"))
def test_a_yarn_weight_has_its_gauge_and_needles(row: Row) -> None:
    weight = yarn_weight(row["name"])
    assert (weight.number, weight.gauge_min, weight.gauge_max) == (row["number"], row["gauge_min"], row["gauge_max"])
    for ours, theirs in ((weight.needle_mm_min, row["needle_mm_min"]), (weight.needle_mm_max, row["needle_mm_max"])):
        assert ours == (None if theirs is None else Fraction(str(theirs)))


@pytest.mark.parametrize("row", cases("abbreviations"))
def test_an_abbreviation_says_what_the_master_list_says(row: Row) -> None:
    ours = {abbr.lower().replace("(s)", ""): meaning for abbr, meaning in abbreviation_table("UK").items()}
    meaning = ours[row["abbr"].lower().replace("(s)", "")].lower().replace("with the yarn", "with yarn")
    for words in row["says"]:
        assert words in meaning


@pytest.mark.parametrize("row", cases("loop_lengths"))
def test_a_loop_is_as_long_as_the_constants_make_it(row: Row) -> None:
    ours = loop_length_cm(row["stitches_per_10cm"] / 10, row["rounds_per_10cm"] / 10, row["state"])
    assert ours == pytest.approx(row["cm"], abs=0.0005001)  # half of the last place given


@pytest.mark.parametrize("row", cases("loop_density"))
def test_loops_to_a_square_centimetre_as_examined(row: Row) -> None:
    state, loop = relaxation_state(row["state"]), row["loop_length_cm"]
    assert (state.k_w, state.k_c) == (row["k_w"], row["k_c"])
    wide = (row["loops_per_cm2"] * row["k_w"] / row["k_c"]) ** 0.5
    assert loop_length_cm(wide, row["loops_per_cm2"] / wide, row["state"]) == pytest.approx(loop)


@pytest.mark.parametrize("row", cases("loop_ratio"))
def test_courses_over_wales_as_examined(row: Row) -> None:
    state = relaxation_state(row["state"])
    assert state.k_c / state.k_w == pytest.approx(row["ratio"], abs=0.05)


def test_every_published_table_is_checked_somewhere() -> None:
    code = "".join(path.read_text(encoding="utf-8") for path in Path(__file__).parent.glob("test_*.py"))
    unused = [key for key in tables() if f'("{key}")' not in code]
    assert not unused


def test_every_published_table_names_source_status_and_units() -> None:
    for key, table in tables().items():
        assert all(table[about] for about in ("source", "status", "units", "rows")), key
        assert all(row["source"] != "see each row" for row in published(key)), key


def test_there_are_hundreds_of_published_figures() -> None:
    assert sum(figures_in(table["rows"]) for table in tables().values()) > 1100
