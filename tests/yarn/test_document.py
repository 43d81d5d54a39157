"""The yarn table of a document: every size, not wider than the page, the same numbers as the size table."""

from __future__ import annotations

import io
import math
import re

import pypdf
import pytest

from grader.pipeline import Checked, Wanted, check
from grader.publishing import Edition, make_document, yarn_uses

from .socks import knitted, pattern_named, with_foot


def _markdown(checked: Checked, edition: Edition) -> str:
    return make_document(checked, edition, "x").files["x.md"].decode()


def _table(text: str) -> list[list[str]]:
    section = text.partition("## Yarn\n")[2].partition("\n## ")[0]
    rows = [line for line in section.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows if not set(row) <= set("|-: ")]


def test_a_row_for_each_size_with_the_metres_of_the_size_table() -> None:
    checked = knitted("ninepenny_bridge")
    text = _markdown(checked, Edition())
    heads, *rows = _table(text)
    assert heads == [
        "Size",
        "Yarn m",
        "From–to m",
        "Yarn g",
        "Balls",
        *["Cuff", "Leg", "Heel", "Foot", "Toe", "Ends", "Swatch"],
    ]
    assert [row[0] for row in rows] == [graded.body.name for graded in checked.sizes]
    sizes = text.partition("## Sizes\n")[2].partition("\n## ")[0]
    stated = [line.strip("|").split("|")[-1].strip() for line in sizes.splitlines() if "○" in line]
    assert [row[1] for row in rows] == stated
    for row, use in zip(rows, yarn_uses(checked.socks, checked).values(), strict=True):
        low, high = (int(each) for each in row[2].split("–"))
        assert low <= use.metres_range[0] < use.metres_range[1] <= high
        assert sum(int(cell) for cell in row[5:]) == pytest.approx(use.metres_pair, abs=7)
        safe = math.ceil(use.metres_range[1] / (420 * 0.92))
        expected = math.ceil(use.metres_pair / 420)
        assert row[4] == (str(safe) if safe == expected else f"{expected}–{safe}")
    assert {row[4] for row in rows} == {"1", "1–2", "2"}
    assert "weighed 92 to 104 g" in text
    assert text.index("## Materials") < text.index("## Yarn") < text.index("## Tension")


@pytest.mark.parametrize("terms", ["UK", "US"])
def test_a_row_for_each_colour(terms: str) -> None:
    checked = check(knitted("first_steps").pattern, Wanted(("long circular (magic loop)",), (terms,)))
    heads, *rows = _table(_markdown(checked, Edition(terms)))
    assert heads[1] == ("Colour" if terms == "UK" else "Color")
    assert [row[1] for row in rows] == ["MC", "CC"] * len(checked.sizes)
    contrast = rows[1]
    assert contrast[heads.index("Leg")] == "–"
    assert contrast[heads.index("Swatch")] == "–"


def test_one_knitter_has_her_own_numbers_as_a_list() -> None:

    checked = check(with_foot(pattern_named("weir_walk"), 23, 25, 18), Wanted(("long circular (magic loop)",)))
    text = _markdown(checked, Edition(one_size=True))
    told = {row[0]: row[1] for row in _table(text)}
    (use,) = yarn_uses(checked.socks, checked).values()
    assert int(told["Yarn m"]) - use.metres_pair < 5
    assert int(told["Toe"]) == pytest.approx(use.part("toe").metres, abs=1)
    assert re.search(r"for a pair about \d+ m, \d+ g, ends and swatch included", text)


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("name", ["ninepenny_bridge", "first_steps"])
def test_the_table_stays_within_the_page(name: str, paper: str) -> None:
    made = make_document(knitted(name), Edition(paper=paper), "x").files["x.pdf"]
    page = next(page for page in pypdf.PdfReader(io.BytesIO(made)).pages if "Swatch" in page.extract_text())
    right: list[float] = []

    def note(text: str, base: list[float], matrix: list[float], _font: object, size: float) -> None:
        if text.strip():
            right.append(base[4] + matrix[4] * base[0] + 0.45 * abs(size) * len(text.strip()))

    page.extract_text(visitor_text=note)
    assert right
    assert max(right) < float(page.mediabox.width) - 14
