"""The sock drawn from its numbers."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grader.models.drawing import Drawing
from grader.pages import drawing_svg
from grader.schematic import MEASURES, sock_schematic

from . import samples


def _outline(drawing: Drawing) -> list[tuple[float, float]]:
    (outline,) = [stroke for stroke in drawing.strokes if stroke.closed]
    return [(points[-2], points[-1]) for _, points in outline.path]


def test_the_outline_is_to_scale() -> None:
    points = _outline(samples.drawing())
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    scale = (right - left) / 24
    assert points[1][0] - points[0][0] == pytest.approx(10 * scale)  # half of 20 cm round, lying flat
    flap_end = points[-2][1]
    assert flap_end - points[0][1] == pytest.approx((18 + 7.5) * scale)


def test_a_longer_foot_is_drawn_longer_than_its_leg() -> None:
    measures = {name: ("x", Fraction(5)) for name in MEASURES}
    short = _outline(sock_schematic({**measures, "foot_length": ("x", Fraction(8))}))
    long = _outline(sock_schematic({**measures, "foot_length": ("x", Fraction(16))}))

    def ratio(points: list[tuple[float, float]]) -> float:
        return (max(x for x, _ in points) - points[0][0]) / (points[-2][1] - points[0][1])

    assert ratio(long) == pytest.approx(2 * ratio(short))


_LENGTH = st.fractions(min_value=1, max_value=60, max_denominator=4)


_WORDS = st.sampled_from(["", "A", "20 (21, 22) cm"])


@given(st.fixed_dictionaries({name: st.tuples(_WORDS, _LENGTH) for name in MEASURES}))
def test_any_sock_stays_on_its_sheet(measures: dict[str, tuple[str, Fraction]]) -> None:
    drawing = sock_schematic(measures)
    for stroke in drawing.strokes:
        for _, points in stroke.path:
            assert all(-0.01 <= x <= drawing.width_mm + 0.01 for x in points[0::2])
            assert all(-0.01 <= y <= drawing.height_mm + 0.01 for y in points[1::2])
    assert {label.text for label in drawing.labels} == {words for words, _ in measures.values() if words}
    assert ET.fromstring(drawing_svg(drawing)).tag.endswith("svg")


def test_a_missing_measure_is_named() -> None:
    with pytest.raises(ValueError, match="toe_length"):
        sock_schematic({name: ("x", Fraction(5)) for name in MEASURES if name != "toe_length"})


def test_spaces_do_for_underscores() -> None:
    drawing = sock_schematic({name.replace("_", " "): ("x", Fraction(5)) for name in MEASURES})
    assert "heel x" in drawing.alt


def test_the_svg_says_what_it_shows() -> None:
    svg = drawing_svg(samples.drawing())
    root = ET.fromstring(svg)
    assert "heel 7.5 (8, 8.5) cm" in (root.get("aria-label") or "")
    assert svg.count("<text") == 6
