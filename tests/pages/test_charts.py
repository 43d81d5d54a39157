"""Charts on the page: several drawings in one document, each at its own size and beside its own words."""

from __future__ import annotations

import io
from dataclasses import replace

import pypdf
import pytest

from grader.models.document import ChartText, Document
from grader.models.drawing import Drawing, Label, Stroke
from grader.pages import set_pages
from grader.pages.pieces import Page, Placed, Sketch
from grader.pages.setting import lay_out
from grader.pages.sheets import SHEETS
from grader.write_up import write_up

from . import samples

_POINTS_PER_MM = 72 / 25.4


def _square(wide: float, high: float, words: str) -> Drawing:
    corners = ((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high))
    path = (("M", corners[0]), *(("L", corner) for corner in corners[1:]))
    strokes = (Stroke(path, 0.0, closed=True, shade=0.3), Stroke(path, 0.5, closed=True))
    return Drawing(wide, high, strokes, (Label(1, high - 1, words, "start"),), words)


TECHNIQUES = (("Turn", "Take the work round so that its other side faces you."),)
DRAWINGS = {
    "sock-chart-lace.svg": _square(60, 30, "first lace"),
    "sock-chart-rope.svg": _square(150, 90, "second rope"),
}
CHARTS = tuple(
    ChartText(
        name,
        f"lantern {name}",
        ((f"sock-chart-{name}.svg", f"Chart of lantern {name} [8 stitches]."),),
        "Repeat of 8 sts and 4 rounds.",
        "Read from the bottom up.",
        (("empty square", "K", "knit"), ("grey square", "", "no stitch")),
    )
    for name in ("lace", "rope")
)


def _document(one_size: bool) -> Document:
    return replace(samples.one_size() if one_size else samples.five_sizes(), charts=CHARTS, techniques=TECHNIQUES)


def _markdown(one_size: bool) -> str:
    return write_up(_document(one_size), "one_size.md.j2" if one_size else "pattern.md.j2")


def _sketches(pages: tuple[Page, ...]) -> list[tuple[int, Placed, Sketch]]:
    return [
        (number, placed, mark)
        for number, page in enumerate(pages)
        for placed in page
        for mark in placed.marks
        if isinstance(mark, Sketch)
    ]


@pytest.mark.parametrize("one_size", [False, True])
def test_the_markdown_shows_each_chart_with_its_words(one_size: bool) -> None:
    text = _markdown(one_size)
    assert text.count("## Charts\n") == 1
    first, second = text.index("### Chart: lantern lace\n"), text.index("### Chart: lantern rope\n")
    assert text.index("## Abbreviations") < first < second < text.index("## Techniques")
    assert "![Chart of lantern lace (8 stitches).](sock-chart-lace.svg)" in text[first:second]
    assert "> **In words:** empty square: K, knit; grey square: no stitch.\n" in text[first:second]
    assert text.count("Craft Yarn Council's chart symbols") == 1


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("one_size", [False, True])
def test_every_drawing_stands_in_its_own_place(paper: str, one_size: bool) -> None:
    sock = samples.drawing()
    pages = lay_out(_markdown(one_size), paper=paper, drawing=sock, one_size=one_size, drawings=DRAWINGS).pages
    found = _sketches(pages)
    assert [mark.drawing for _, _, mark in found] == [sock, *DRAWINGS.values()]
    sheet = SHEETS[paper]
    for _, placed, mark in found[1:]:
        assert placed.role == "chart"
        assert mark.x == 0.0, "a chart begins where the words do"
        assert mark.drawing.width_mm * mark.scale * _POINTS_PER_MM <= sheet.wide + 0.01
        assert placed.y + mark.drawing.height_mm * mark.scale * _POINTS_PER_MM <= sheet.depth + 0.01
        assert mark.scale == 1.0 or paper == "a5", "squares keep the size they were drawn in"


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_a_chart_stays_with_its_heading(paper: str) -> None:
    pages = lay_out(_markdown(False), paper=paper, drawing=samples.drawing(), drawings=DRAWINGS).pages
    marked = [(number, each.bookmark) for number, page in enumerate(pages) for each in page if each.bookmark]
    heads = [number for number, bookmark in marked if bookmark[1].startswith("Chart: ")]
    assert heads == [number for number, _, _ in _sketches(pages)[1:]]


def test_the_pdf_holds_the_words_in_the_drawings() -> None:
    document = _document(False)
    pdf = set_pages(
        _markdown(False),
        title=document.title,
        version=document.version,
        author=document.author,
        drawing=samples.drawing(),
        drawings=DRAWINGS,
    )
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    assert text.index("first lace") < text.index("second rope")
    assert "Chart of lantern" not in text, "the description is for those who can't see the drawing"
