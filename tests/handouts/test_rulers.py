"""What is cut out of a handout: right to a tenth of a millimetre, on the drawing and in the PDF."""

from __future__ import annotations

import io
import itertools
from collections.abc import Iterator
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream

from grader.handouts import RULER_MM
from grader.models.drawing import Drawing
from grader.pages import set_pages
from grader.rulers import CHECK_MM, gauge_window, ruler

MM = 72 / 25.4
EDGE = 4.5  # of the drawing of a ruler, in mm, at both sides
Point = tuple[float, float]


def lines(drawing: Drawing) -> Iterator[tuple[Point, Point]]:
    """The straight lines that are open, from end to end."""
    for stroke in drawing.strokes:
        if not stroke.closed:
            (_, first), (_, last) = stroke.path
            yield (first[0], first[1]), (last[0], last[1])


def upright(drawing: Drawing) -> list[float]:
    return sorted(x1 for (x1, _), (x2, _) in lines(drawing) if x1 == x2)


@given(st.integers(102, 155), st.sampled_from(["cm", "in", "both"]))
def test_a_ruler_stays_on_its_sheet(length: int, units: str) -> None:
    drawing = ruler(length, units)
    assert drawing.width_mm == length + 9 <= 165
    for start, end in lines(drawing):
        for x, y in (start, end):
            assert EDGE <= x <= length + EDGE + 1e-9
            assert 0 <= y <= drawing.height_mm
    assert all(0 <= label.y <= drawing.height_mm for label in drawing.labels)


def test_every_millimetre_has_a_tick() -> None:
    ticks = [x - EDGE for x in upright(ruler(150, "cm"))]
    for end in (0.0, CHECK_MM):  # of the check line
        ticks.remove(end)
    assert ticks == [float(each) for each in range(151)]


def test_every_eighth_of_an_inch_has_a_tick() -> None:
    ticks = [x - EDGE for x in upright(ruler(150, "in"))]
    for end in (0.0, 101.6):
        ticks.remove(pytest.approx(end))
    assert ticks == pytest.approx([25.4 * eighth / 8 for eighth in range(48)])


def test_ticks_are_longer_at_halves_and_wholes() -> None:
    tall = {round(x1 - EDGE): abs(y2 - y1) for (x1, y1), (x2, y2) in lines(ruler(150, "cm")) if x1 == x2 and y1 == 0}
    assert tall[1] < tall[5] < tall[10]
    inches = {round((x1 - EDGE) * 8 / 25.4): abs(y2 - y1) for (x1, y1), (x2, y2) in lines(ruler(120, "in")) if x1 == x2}
    assert inches[1] < inches[2] < inches[4] < inches[8]


def test_a_ruler_shorter_than_its_check_line_is_refused() -> None:
    with pytest.raises(ValueError, match="too short"):
        ruler(90)


@given(st.fractions(Fraction(1, 2), 6, max_denominator=10), st.fractions(Fraction(1, 2), 6, max_denominator=10))
def test_the_window_is_five_centimetres_whatever_the_gauge(stitches: Fraction, rounds: Fraction) -> None:
    drawing = gauge_window(stitches, rounds)
    frame, opening, *fields = ([point for _, point in stroke.path] for stroke in drawing.strokes if stroke.closed)
    assert len(fields) == 3
    for field in fields:  # room to write, clear of the window
        assert min(x for x, _ in field) > max(x for x, _ in frame)
        assert max(x for x, _ in field) <= drawing.width_mm
        assert 0 < min(y for _, y in field) < max(y for _, y in field) <= drawing.height_mm
    assert max(x for x, _ in opening) - min(x for x, _ in opening) == 50
    assert max(y for _, y in opening) - min(y for _, y in opening) == 50
    assert min(x for x, _ in frame) == 0
    assert drawing.width_mm <= 80, "wider than a column"
    ticks = sorted({x for (x, _), (x2, _) in lines(drawing) if x == x2})
    apart = [after - before for before, after in itertools.pairwise(ticks)]
    assert apart == pytest.approx([10 / float(stitches)] * len(apart)), "a tick for every stitch"


def test_the_window_says_what_should_be_seen() -> None:
    drawing = gauge_window(Fraction(31, 10), Fraction(43, 10), "tension")
    assert {"15½ stitches", "21½ rounds", "5 cm × 5 cm"} <= {label.text for label in drawing.labels}
    assert "tension" in drawing.alt


def painted(pdf: bytes) -> Iterator[list[Point]]:
    """The corners of every path of the first page, in points."""
    reader = PdfReader(io.BytesIO(pdf))
    corners: list[Point] = []
    for operands, operator in ContentStream(reader.pages[0].get_contents(), reader).operations:
        if operator in (b"m", b"l"):
            corners.append((float(operands[0]), float(operands[1])))
        elif operator in (b"S", b"s", b"n", b"B", b"b", b"f"):
            yield corners
            corners = []


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_the_check_length_is_right_on_paper(paper: str) -> None:
    length = RULER_MM.get(paper, 150)
    drawings = {"r.svg": ruler(length), "w.svg": gauge_window(Fraction(3), Fraction(4))}
    text = "# Tools\n\n![ruler](r.svg)\n\n![window](w.svg)\n"
    pdf = set_pages(text, title="T", version="", author="", paper=paper, style="handout", drawings=drawings)
    paths = [path for path in painted(pdf) if path]
    flat = [abs(path[1][0] - path[0][0]) / MM for path in paths if len(path) == 2 and path[0][1] == path[1][1]]
    assert any(abs(each - CHECK_MM) < 0.05 for each in flat), "the check line is not 100 mm long"
    assert any(abs(each - length) < 0.05 for each in flat), "the ruler is not as long as its drawing"
    squares = [path for path in paths if len(path) == 4]
    sides = [(max(x for x, _ in path) - min(x for x, _ in path)) / MM for path in squares]
    assert any(abs(side - 50) < 0.05 for side in sides), "the window is not 50 mm wide"
