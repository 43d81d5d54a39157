"""The drawing of a striped pair: it covers the socks, is no smaller than they are, and says in words what it shows."""

from __future__ import annotations

import itertools
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grader.models.drawing import Drawing, Stroke
from grader.models.profile import fitted_profile, outline
from grader.models.stripes import Ask, Stripe
from grader.pages import drawing_svg
from grader.stripe_drawing import MEASURES, draw_stripes

from .socks import AFTERTHOUGHT, COLOURED, FOUR, PAIR, PLAIN, TOE_UP, striped

CM = dict(zip(MEASURES, map(Fraction, ("20", "3.5", "20", "7.5", "24", "5")), strict=True))
LOW, HIGH = Fraction(40), Fraction(1, 2)
# the measures as shares of the length of the foot, as far as socks have them: leg, cuff, circumference, flap, foot, toe
SHARES = (
    (Fraction(1, 2), 2),
    (Fraction(1, 10), Fraction(1, 4)),
    (Fraction(7, 10), 1),
    (Fraction(1, 4), Fraction(2, 5)),
    (1, 1),
    (Fraction(1, 6), Fraction(1, 4)),
)


def _area(stroke: Stroke) -> float:
    """The area of a closed line of straight pieces, in square mm."""
    points = [points[-2:] for _, points in stroke.path]
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in itertools.pairwise([*points, points[0]]))) / 2


def _tinted(drawing: Drawing) -> float:
    return sum(_area(each) for each in drawing.strokes if each.closed and each.shade and not each.weight)


def _outlined(drawing: Drawing) -> float:
    """The areas of the two socks, their curves followed finely."""
    return sum(
        _area(_straightened(each)) for each in drawing.strokes if each.closed and not each.shade and len(each.path) > 5
    )


def _straightened(stroke: Stroke) -> Stroke:
    path: list[tuple[str, tuple[float, ...]]] = []
    for command, points in stroke.path:
        if command == "C":
            ends = [path[-1][1][-2:], points[:2], points[2:4], points[4:]]
            for step in range(1, 33):
                t = step / 32
                weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
                x, y = (sum(w * end[axis] for w, end in zip(weights, ends, strict=True)) for axis in (0, 1))
                path.append(("L", (x, y)))
        else:
            path.append((command, points))
    return Stroke(tuple(path), closed=True)


@settings(max_examples=8, deadline=None)
@given(
    st.sampled_from([PLAIN, TOE_UP, PAIR, AFTERTHOUGHT]),
    st.fractions(1, 40, max_denominator=20),
    st.fractions(1, 40, max_denominator=20),
    st.tuples(*(st.fractions(low, high, max_denominator=10) for low, high in SHARES)),
    st.fractions(10, 30, max_denominator=2),
)
def test_the_stripes_of_two_colours_cover_both_socks(
    name: str, first: Fraction, second: Fraction, shares: tuple[Fraction, ...], foot: Fraction
) -> None:
    cm = dict(zip(MEASURES, (share * foot for share in shares), strict=True))
    blue, red = Stripe("blue", first), Stripe("red", second)
    red_tinted = draw_stripes(striped(name, Ask((blue, red))), cm)
    blue_tinted = draw_stripes(
        striped(name, Ask((red, blue), start=second)), cm
    )  # the same sock, the first colour white
    covered = _tinted(red_tinted) + _tinted(blue_tinted)
    assert covered == pytest.approx(_outlined(red_tinted), rel=0.04)


@settings(max_examples=8, deadline=None)
@given(
    st.sampled_from([PLAIN, TOE_UP, COLOURED, PAIR, AFTERTHOUGHT]),
    st.lists(
        st.tuples(st.sampled_from("abcdefgh"), st.fractions(Fraction(1, 2), 20, max_denominator=20)),
        min_size=2,
        max_size=9,
    ),
)
def test_everything_lies_on_the_sheet(name: str, stripes: list[tuple[str, Fraction]]) -> None:
    drawing = draw_stripes(striped(name, Ask(tuple(Stripe(*each) for each in stripes))), CM)
    for stroke in drawing.strokes:
        for _, points in stroke.path:
            assert all(-0.01 <= x <= drawing.width_mm + 0.01 for x in points[::2])
            assert all(-0.01 <= y <= drawing.height_mm + 0.01 for y in points[1::2])
    for label in drawing.labels:
        assert 0 <= label.x <= drawing.width_mm
        assert 0 < label.y <= drawing.height_mm


def test_each_colour_has_a_letter_a_tint_and_marks_of_its_own() -> None:
    names = ("blue", "brown", "black", "beige", "bronze", "red")
    drawing = draw_stripes(striped(PLAIN, Ask(tuple(Stripe(each, Fraction(3)) for each in names))), CM)
    key = [label.text for label in drawing.labels if ", 3 m" in label.text]
    assert [each.split(" ", 1)[1].strip() for each in key] == [f"{name}, 3 m" for name in names]
    assert len({each[0] for each in key}) == len(names)
    boxes = [each.shade for each in drawing.strokes if each.closed and len(each.path) == 4 and each.weight]
    assert len(set(boxes)) == len(names)
    assert max(boxes) <= 0.42  # words in ink on it keep a contrast of 4.5 to 1


def test_the_words_tell_what_the_drawing_shows() -> None:
    drawing = draw_stripes(striped(PLAIN, Ask(FOUR, contrast=("Heel flap", "Heel turn"))), CM)
    assert "B is blue, 4 m; C is cream, 2 m; R is red, 4 m; X is contrast, in another yarn" in drawing.alt
    assert "Both socks alike: cuff B C R C B, leg B C R C" in drawing.alt
    assert "heel X, gusset C R C" in drawing.alt
    assert f'aria-label="{drawing.alt}"' in drawing_svg(drawing)


def test_many_stripes_are_counted_in_words() -> None:
    drawing = draw_stripes(striped(PLAIN, Ask((Stripe("blue", HIGH), Stripe("red", HIGH)))), CM)
    assert re.search(r"leg \d+ stripes from [BR] to [BR]", drawing.alt)
    assert len(drawing.alt) < 600


def test_a_stripe_is_drawn_as_high_as_its_rounds() -> None:
    one = striped(PLAIN, Ask(FOUR)).metres_per_stitch
    repeat = (Stripe("white", 100 * 64 * one), Stripe("red", LOW))
    drawing = draw_stripes(striped(PLAIN, Ask(repeat, start=80 * 64 * one)), CM)  # red from the 21st line on
    profile, _ = fitted_profile({name: float(each) for name, each in CM.items()}, left=6, top=7, wide=72, high=61)
    top = min(y for each in drawing.strokes if each.shade and not each.weight for _, (_, y) in each.path)
    lines = 1 + 15 + 64  # the cast-on, the cuff and the leg
    assert top - profile.top == pytest.approx(20 / lines * profile.leg, rel=0.12)  # the front is a little shorter


def test_the_schematic_and_the_stripes_share_one_outline() -> None:
    drawing = draw_stripes(striped(PLAIN, Ask(FOUR)), CM)
    profile, _ = fitted_profile({name: float(each) for name, each in CM.items()}, left=6, top=7, wide=72, high=56)
    assert outline(profile) in [stroke.path for stroke in drawing.strokes]


def test_a_measure_that_is_missing_is_an_error_of_ours() -> None:
    with pytest.raises(KeyError):
        draw_stripes(striped(PLAIN, Ask(FOUR)), {})
