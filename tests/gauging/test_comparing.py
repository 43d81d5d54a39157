"""A swatch beside a pattern: what becomes of the sock, which needle, which fabric."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from grader.gauging import average, compare
from grader.models.pattern import Pattern
from grader.models.swatch import Comparison, Swatch, Tally
from grader.pipeline import foot_of, grade_all
from grader.vocabulary.fabric import cover_factor, fabric_band, needle_step, tex_of
from grader.vocabulary.needles import needle_named


def compared(
    pattern: Pattern, stitches: str, rounds: str | None = "44", size: str = "8", needle: str | None = None
) -> Comparison:
    """A swatch of so many stitches and rounds to 10 cm, counted alike in a dozen places: sure to a tenth."""
    means = [average(12 * [Tally(Fraction(each), Fraction(10))]) if each else None for each in (stitches, rounds)]
    assert means[0] is not None
    sizes, _ = grade_all(pattern)
    which = next(each for each in sizes if each.body.name == size)
    swatch, on = Swatch(means[0], means[1], True), needle_named(needle) if needle else None
    return compare(swatch, pattern, sizes, which, on, foot=foot_of(pattern, which))


def test_the_sock_that_the_printed_numbers_make(ninepenny: Pattern) -> None:
    told = compared(ninepenny, "30", "40")
    around, along = told.measures
    assert around.own == Fraction(640, 30)  # the 64 stitches of size 8
    assert around.stated == 20
    assert around.for_one_more == Fraction(640, 33) - 20
    # 78 rounds of foot and toe; round the heel half of 32 rows joined to 17 stitches and of 14 rows joined to 7, half
    # of which lies under the foot, and of half the 32 heel stitches: the mean of the two
    rounds = 78 + Fraction(32 + 14, 2) / 4
    stitches = Fraction(17 + 7, 2) / 4 + Fraction(16, 2)
    assert along.own == rounds / 4 + stitches / 3
    assert along.for_one_more == rounds * 10 / 45 - rounds * 10 / 44
    assert told.ease == Fraction(640, 30) / 22 - 1
    assert not told.fits  # -3.0 %, and -5 % is allowed


@pytest.mark.parametrize(("stitches", "fits"), [("30", False), ("31", True), ("34", True), ("35", False)])
def test_whether_that_sock_still_fits(ninepenny: Pattern, stitches: str, fits: bool) -> None:
    assert compared(ninepenny, stitches).fits is fits


def test_another_size_may_come_nearer(ninepenny: Pattern) -> None:
    told = compared(ninepenny, "34")
    assert (told.better_size, told.better_cm) == ("9", Fraction(680, 34))
    assert compared(ninepenny, "32").better_size == ""
    told = compared(ninepenny, "50", size="1")  # 11.25 cm take 56 stitches
    assert (told.better_size, told.better_cm) == ("6", Fraction(560, 50))
    assert compared(ninepenny, "60", size="14").better_size == ""  # none has as many
    assert (
        compared(ninepenny, "40", size="13").better_size == ""
    )  # the 88 of size 14 would be nearer, and far too small


@pytest.mark.parametrize(
    ("stitches", "sizes", "take"),
    [
        ("32", 0, "2.5"),
        ("32.4", 0, "2.5"),
        ("32.5", 1, "2.75"),
        ("33", 1, "2.75"),
        ("33.5", 2, "3"),
        ("31.5", -1, "2.25"),
        ("30.5", -2, "2"),
        ("35", 4, "3.5"),
    ],
)
def test_too_many_stitches_ask_for_a_thicker_needle(ninepenny: Pattern, stitches: str, sizes: int, take: str) -> None:
    advice = compared(ninepenny, stitches).needle
    assert (advice.sizes, advice.take, advice.too_far) == (sizes, Fraction(take), False)


def test_needles_end_somewhere_and_so_does_what_they_can_mend(ninepenny: Pattern) -> None:
    assert compared(ninepenny, "40").needle.too_far
    assert compared(ninepenny, "30", needle="1mm").needle.too_far
    assert compared(ninepenny, "33", needle="US 1").needle.take == Fraction("2.5")
    assert compared(ninepenny, "33", needle="2.1 mm").needle.take == Fraction(
        "2.25"
    )  # 2 mm is the nearest of the charts
    unknown = replace(ninepenny, gauge=replace(ninepenny.gauge, needle_mm=None))
    advice = compared(unknown, "33").needle
    assert (advice.sizes, advice.take, advice.too_far) == (1, None, False)


def test_a_gauge_that_so_few_counts_cannot_tell_apart_changes_no_needle(ninepenny: Pattern) -> None:
    sizes, _ = grade_all(ninepenny)
    short = Swatch(average([Tally(Fraction("8.25"), Fraction("2.5"))]), None, True)  # 33 to 10 cm, from an inch
    told = compare(short, ninepenny, sizes, sizes[7])
    assert (told.told_apart, told.needle.sizes) == (False, 0)
    assert compared(ninepenny, "33").told_apart


def test_without_rounds_nothing_is_said_of_length_or_fabric(ninepenny: Pattern) -> None:
    told = compared(ninepenny, "33", None)
    assert (told.rounds_off, told.cover) == (None, None)
    assert [each.name for each in told.measures] == ["round the foot"]


@pytest.mark.parametrize(
    ("off", "sizes"), [("0", 0), ("0.49", 0), ("0.5", 1), ("1", 1), ("1.2", 2), ("-1.2", 2), ("3", 4)]
)
def test_one_size_of_needle_makes_half_a_stitch_to_a_whole_one(off: str, sizes: int) -> None:
    assert needle_step().sizes(Fraction(off)) == sizes
    assert needle_step().fewest * sizes <= max(abs(Fraction(off)), needle_step().fewest)


def test_a_denser_swatch_has_the_higher_cover_factor(ninepenny: Pattern) -> None:
    """420 m to 100 g is 238 tex; at 32 by 44 a washed loop is 12.39 mm, and 15.43 / 12.39 = 1.245."""
    told = compared(ninepenny, "32")
    assert tex_of(Fraction(420), Fraction(100)) == pytest.approx(238.1, abs=0.05)
    assert told.cover == pytest.approx(1.245, abs=0.001)
    covers = [compared(ninepenny, str(stitches)).cover or 0 for stitches in range(20, 60, 4)]
    assert covers == sorted(covers)
    assert [fabric_band(covers[place]).name for place in (0, 3, -1)] == ["loose", "usual", "stiff"]
    assert cover_factor(400, 2) == 1


@pytest.mark.parametrize(
    ("text", "mm"),
    [("2.5mm", "2.5"), ("2,5 mm", "2.5"), ("us 1.5", "2.5"), ("US 1½", "2.5"), ("us1", "2.25"), ("UK 13", "2.25")],
)
def test_needles_are_named_in_three_systems(text: str, mm: str) -> None:
    assert needle_named(text) == Fraction(mm)


@pytest.mark.parametrize("text", ["2", "US", "US 99", "UK 1.5", "JP 3", "mm", "-2mm", ".mm", ""])
def test_a_needle_of_no_system_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="needle"):
        needle_named(text)
