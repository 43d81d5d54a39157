"""Counts of a swatch: read as typed, averaged, and how sure they are."""

from __future__ import annotations

import math
import statistics
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import QUICK

from grader.cli.arguments import UsageError
from grader.cli.gauging import ball_of, tallies_of
from grader.gauging import average
from grader.models.swatch import Tally

tallies = st.builds(
    Tally,
    st.integers(20, 160).map(lambda quarters: Fraction(quarters, 4)),
    st.integers(20, 200).map(lambda mm: Fraction(mm, 10)),
)


@pytest.mark.parametrize(
    ("typed", "counts"),
    [
        ("33 over 10.2cm, 26 over 8cm", [(33, "10.2"), (26, 8)]),
        ("33,5 over 10,2 cm,26 over 8cm", [("33.5", "10.2"), (26, 8)]),
        ("33 1/2 sts over 4 in; 17½ stitches in 2 1/8 in", [("33.5", "10.16"), ("17.5", "5.3975")]),
        ("28 over 17/8 in", [(28, "5.3975")]),
        ("44 rounds to 100 mm", [(44, 10)]),
        ('28/4"', [(28, "10.16")]),
    ],
)
def test_counts_are_read_as_people_type_them(typed: str, counts: list[tuple[object, object]]) -> None:
    assert tallies_of(typed, "stitches") == tuple(Tally(Fraction(str(a)), Fraction(str(b))) for a, b in counts)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("33", "'33' should be a count and a length, such as '33 over 10.2cm'"),
        ("33 over 10", "'10' has no unit; write 10cm or 10in"),
        ("0 over 10cm", "can't be; a swatch has some stitches"),
        ("33 over 3 m", "at the most 100 cm wide"),
        ("33 over 10cm,", "'' should be a count and a length"),
        ("many over 10cm", "'many over 10cm' should be a count and a length"),
        ("1 over 1cm, " * 60, "this list is too long"),
    ],
)
def test_a_count_that_cannot_be_is_refused_with_what_would_be_right(typed: str, says: str) -> None:
    with pytest.raises(UsageError, match=r"^stitches: ") as told:
        tallies_of(typed, "stitches")
    assert says in str(told.value)


def test_a_longer_count_weighs_more() -> None:
    mean = average([Tally(Fraction(33), Fraction("10.2")), Tally(Fraction(26), Fraction(8))])
    assert mean.mean == Fraction(590) / Fraction("18.2")  # 59 stitches over 18.2 cm
    assert mean.width == Fraction("18.2")


@pytest.mark.parametrize("tens", [1, 2, 4])
def test_a_single_count_is_as_sure_as_counts_are_as_a_rule(tens: int) -> None:
    """Read to half a stitch either way, 0.5 / sqrt(3); and half a stitch by which one place differs from the next."""
    mean = average([Tally(Fraction(32 * tens), Fraction(10 * tens))])
    assert mean.error == pytest.approx(math.hypot(0.5 / math.sqrt(3) / tens, 0.5 / math.sqrt(tens)))
    assert mean.freedom == 3


def test_counts_that_scatter_are_as_sure_as_their_scatter_lets_them() -> None:
    """Over equal widths the textbook's standard error of a mean, its variance pooled with the usual one of 4 counts."""
    numbers = [30, 32, 34, 33]
    mean = average([Tally(Fraction(each), Fraction(10)) for each in numbers])
    assert mean.mean == Fraction(statistics.mean(numbers))
    usual = 0.25 + 0.25 / 3
    assert mean.error == pytest.approx(math.sqrt((3 * usual + 3 * statistics.variance(numbers)) / 6) / 2)
    assert mean.freedom == 6


def test_many_counts_that_agree_are_as_sure_as_they_can_be_read() -> None:
    mean = average(12 * [Tally(Fraction(32), Fraction(10))])
    assert mean.error == pytest.approx(0.5 / math.sqrt(3) / math.sqrt(12))


@given(st.lists(tallies, min_size=1, max_size=6), st.randoms(use_true_random=False))
@QUICK
def test_the_mean_lies_between_the_counts_whatever_their_order(counts: list[Tally], shuffled: object) -> None:
    mean = average(counts)
    assert mean.lowest <= mean.mean <= mean.highest
    turned = average(counts[::-1])
    assert (turned.mean, turned.error) == (mean.mean, pytest.approx(mean.error))
    assert mean.error > 0


@given(st.lists(tallies, min_size=1, max_size=4))
@QUICK
def test_the_same_counts_again_are_never_less_sure(counts: list[Tally]) -> None:
    assert average(counts * 2).error <= average(counts).error * (1 + 1e-9)


def test_nothing_counted_is_no_gauge() -> None:
    with pytest.raises(ValueError, match="nothing was counted"):
        average([])


@pytest.mark.parametrize(
    ("typed", "weight", "metres", "grams"),
    [
        ("225m/100g", "light", "225", "100"),
        ("50 g / 210 m", "light", "210", "50"),
        ("fine 110yd per 50g", "fine", "100.584", "50"),
        ("Super Fine, 210m/50g", "super fine", "210", "50"),
    ],
)
def test_a_ball_is_read_as_labels_have_it(typed: str, weight: str, metres: str, grams: str) -> None:
    yarn = ball_of(typed, Fraction(22, 10))
    assert (yarn.weight, yarn.metres, yarn.grams) == (weight, Fraction(metres), Fraction(grams))


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("225", "should be how far a ball goes, such as 225m/100g"),
        ("225m/100m", "should be how far a ball goes"),
        ("0m/100g", "should be how far a ball goes"),
        ("2250m/1g", "2250 m to the gram can't be"),
        ("heavy 100m/50g", "no yarn weight 'heavy'; there are lace, super fine"),
    ],
)
def test_a_ball_that_cannot_be_is_refused(typed: str, says: str) -> None:
    with pytest.raises(UsageError) as told:
        ball_of(typed, Fraction(22, 10))
    assert says in str(told.value)
