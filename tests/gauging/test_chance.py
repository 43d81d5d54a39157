"""How often two gauges that are alike are told apart by chance: simulated swatches, and Student's distribution."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from fractions import Fraction

import pytest

from grader.gauging import average, compare
from grader.gauging.chance import times_the_error, within
from grader.models.pattern import Pattern
from grader.models.swatch import Averaged, Swatch, Tally
from grader.pipeline import grade_all
from grader.vocabulary.fabric import usual_scatter

SWATCHES = 1500
NOISE = 3 * math.sqrt(0.05 * 0.95 / SWATCHES)  # three standard errors of a rate of 1 in 20
Hand = Callable[[random.Random], float]


def usual(_: random.Random) -> float:
    """A hand that scatters as counts are said to: half a stitch in 10 cm."""
    return 0.5


def twice(_: random.Random) -> float:
    """One that scatters twice as much."""
    return 1.0


def any_hand(chance: random.Random) -> float:
    """Hands of which that is as well known as from so many counts: some scatter less, some more."""
    known = usual_scatter().counts - 1
    return 0.5 * math.sqrt(known / chance.gammavariate(known / 2, 2))


def counted(chance: random.Random, gauge: Fraction, scatter: float, counts: int) -> Averaged:
    """So many counts over 10 cm on places of one fabric, each read to the half."""
    read = [round(2 * chance.gauss(float(10 * gauge), scatter)) for _ in range(counts)]
    return average([Tally(Fraction(each, 2), Fraction(10)) for each in read])


def false_alarms(pattern: Pattern, hand: Hand, counts: int, rounds: bool) -> tuple[float, float]:
    """How often hands that knit at the pattern's gauge are told another, and another needle."""
    chance, (which, *_), apart, needle = random.Random(1959), grade_all(pattern)[0], 0, 0
    for _ in range(SWATCHES):
        scatter = hand(chance)
        stitches = counted(chance, pattern.gauge.stitches, scatter, counts)
        others = counted(chance, pattern.gauge.rounds, scatter, counts) if rounds else None
        told = compare(Swatch(stitches, others, True), pattern, [which], which)
        apart += told.told_apart
        needle += told.needle.sizes != 0
    return apart / SWATCHES, needle / SWATCHES


@pytest.mark.parametrize("counts", [1, 2, 3, 5])
def test_of_all_hands_no_more_than_one_in_twenty_is_told_apart_by_chance(ninepenny: Pattern, counts: int) -> None:
    apart, needle = false_alarms(ninepenny, any_hand, counts, rounds=False)
    assert needle <= apart <= 0.05 + NOISE
    assert apart > 0.02  # and not because nobody is ever told apart


@pytest.mark.parametrize("counts", [1, 2, 4])
@pytest.mark.parametrize(("hand", "most"), [(usual, 0.05), (twice, 0.1)])
def test_stitches_and_rounds_share_the_chance(ninepenny: Pattern, hand: Hand, most: float, counts: int) -> None:
    """A hand that scatters as usual is told apart less often than 1 in 20, one that scatters twice as much 1 in 10."""
    apart, needle = false_alarms(ninepenny, hand, counts, rounds=True)
    assert needle <= apart <= most + NOISE


@pytest.mark.parametrize("counts", [1, 3])
def test_a_gauge_that_is_another_is_still_told_apart(ninepenny: Pattern, counts: int) -> None:
    """Three stitches off: by one count mostly, by three nearly always."""
    chance, (which, *_) = random.Random(1959), grade_all(ninepenny)[0]
    swatches = [counted(chance, Fraction(35, 10), 0.5, counts) for _ in range(100)]
    apart = [compare(Swatch(each, None, True), ninepenny, [which], which).told_apart for each in swatches]
    assert sum(apart) >= 95


@pytest.mark.parametrize(
    ("freedom", "one_in_20", "one_in_100"),
    [(1, 12.706, 63.657), (2, 4.303, 9.925), (3, 3.182, 5.841), (4, 2.776, 4.604), (5, 2.571, 4.032),
     (10, 2.228, 3.169), (15, 2.131, 2.947), (30, 2.042, 2.750), (120, 1.980, 2.617)],
)  # fmt: skip
def test_students_table(freedom: int, one_in_20: float, one_in_100: float) -> None:
    """The table printed in textbooks of statistics (Fisher 1925; from memory)."""
    assert times_the_error(freedom, 0.05) == pytest.approx(one_in_20, abs=0.0006)
    assert times_the_error(freedom, 0.01) == pytest.approx(one_in_100, abs=0.0006)


@pytest.mark.parametrize("freedom", [1, 2, 3, 8])
def test_the_closed_form_is_the_area_under_the_curve(freedom: int) -> None:
    """Summed in small steps of the density, which goes with (1 + t^2 / f)^-((f + 1) / 2)."""
    factor = math.gamma((freedom + 1) / 2) / math.sqrt(freedom * math.pi) / math.gamma(freedom / 2)
    step = 0.001
    area = sum(
        2 * step * factor * (1 + ((place + 0.5) * step) ** 2 / freedom) ** (-(freedom + 1) / 2) for place in range(2000)
    )
    assert within(2.0, freedom) == pytest.approx(area, abs=1e-6)
