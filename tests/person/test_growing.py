"""From a baby to a grown-up: with age and with the foot nothing falls, nothing leaps, and all stays in proportion.

The proportions are held to what was published: adults' ratios of the survey, and as wide again for children, whose
girths and legs are estimates.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

import pytest
from shipped import pattern_named as shipped

from grader.cli.person import person_of
from grader.covering import even_range, grid
from grader.measuring import estimate
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.sizing import grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.growth import OLDEST, YOUNGEST, length_at_age
from grader.vocabulary.population import POPULATIONS, read_population

MEASURES = ("foot_circumference", "heel_diagonal", "instep_girth", "ankle", "calf", "knee_height")
AGES = [Fraction(tenth, 10) for tenth in range(5, 181)]
LENGTHS = [Fraction(mm, 10) for mm in range(90, 321, 2)]
# Shares of the foot's length. The survey's middle nine in ten have 0.86 to 1.00 round, 1.20 to 1.33 round the heel, and
# on the average 0.86 round the ankle, 1.47 round the calf, 1.74 up to the knee.
PLAUSIBLE = {
    "foot_circumference": (0.86, 1.09),
    "heel_diagonal": (1.2, 1.5),
    "instep_girth": (0.88, 1.13),
    "ankle": (0.75, 1.02),
    "calf": (1.3, 1.65),
    "knee_height": (1.4, 1.85),
    "leg_length": (0.5, 0.9),
}


def test_feet_grow_with_age_and_never_leap() -> None:
    lengths = [length_at_age(age) for age in AGES]
    for before, after in pairwise(lengths):
        for small, large in zip(before, after, strict=True):
            assert small <= large
            assert large - small < Fraction(3, 10)  # 3 cm a year: none grow faster, babies aside
    assert all(low < middle < high for low, middle, high in lengths)
    assert (AGES[0], AGES[-1]) == (YOUNGEST, OLDEST)


def test_preschool_feet_grow_as_fast_as_shoe_guides_say() -> None:
    """An Austrian research team on children's shoes, quoted by two shoe guides: about 1 mm a month from 3 to 6."""
    grown = length_at_age(Fraction(6))[1] - length_at_age(Fraction(3))[1]
    assert float(grown) * 10 / 36 == pytest.approx(1, abs=0.35)


@pytest.mark.parametrize("whom", ["", "children"])
@pytest.mark.parametrize("wanted", MEASURES)
def test_no_measure_falls_or_leaps_from_child_to_adult(wanted: str, whom: str) -> None:
    """Over lengths in steps of 2 mm; no measure of a leg grows by more than three times what the foot does."""
    found = [estimate({"foot_length": length}, [wanted], whom)[wanted].middle for length in LENGTHS]
    steps = [after - before for before, after in pairwise(found)]
    assert min(steps) >= 0
    assert max(steps) <= Fraction(3, 5) + Fraction(1, 10)  # the rounding to a millimetre
    low, high = PLAUSIBLE[wanted]
    shares = [float(amount / length) for amount, length in zip(found, LENGTHS, strict=True)]
    assert low <= min(shares)
    assert max(shares) <= high


@pytest.mark.parametrize("people", POPULATIONS)
def test_feet_to_try_have_the_legs_of_such_people(people: str) -> None:
    """In proportion to the foot, and no shorter beside a longer foot; whatever legs the sizes of the pattern have."""
    measured = read_population(people)
    for feet in (grid(shipped("high_moor"), measured), even_range(shipped("high_moor"), measured, 9)):
        roundest = 0.99 if measured.has_girth else 1.09
        usual = [foot for foot in feet if 0.86 <= share_of(foot, "foot_circumference") <= roundest]
        assert len(usual) >= min(len(feet), 9) / 2
        for name, (low, high) in PLAUSIBLE.items():
            if name in usual[0].measures:
                assert [foot.name for foot in usual if not low - 0.03 <= share_of(foot, name) <= high + 0.03] == []
        for girth, same in by_girth(feet, measured.has_girth):
            for name in ("knee_height", "leg_length", *(() if measured.has_girth else ("ankle", "calf"))):
                amounts = [foot.measures[name] for foot in same]
                assert amounts == sorted(amounts), (girth, name)


def share_of(foot: Body, name: str) -> float:
    """A measure as a share of the foot's length."""
    return float(foot.measures[name] / foot.measures["foot_length"])


def by_girth(feet: Sequence[Body], has_girth: bool) -> list[tuple[Fraction, list[Body]]]:
    """The feet of each girth, or all together where girths follow from lengths; shortest first."""
    girths = {foot.measures["foot_circumference"] if has_girth else Fraction(0) for foot in feet}
    return [
        (
            girth,
            sorted(
                (foot for foot in feet if girth in (0, foot.measures["foot_circumference"])),
                key=lambda foot: foot.measures["foot_length"],
            ),
        )
        for girth in sorted(girths)
    ]


def test_a_child_in_a_range_for_adults_gets_a_childs_leg() -> None:
    """Beside a foot of 15.5 cm: adults' smallest leg is 19.5 cm round the ankle, 33.5 round the calf, and 41.5 high."""
    feet = grid(shipped("high_moor"), read_population("children"))
    small = next(foot for foot in feet if foot.measures["foot_length"] == Fraction(31, 2))
    assert 13 <= small.measures["ankle"] <= 15
    assert 20 <= small.measures["calf"] <= 24
    assert 22 <= small.measures["knee_height"] <= 26
    assert 9 <= small.measures["leg_length"] <= 12


def of_age(pattern: Pattern, years: Fraction) -> Graded:
    """The sock of `one-off --age`."""
    unsaid = dict.fromkeys(("foot", "length", "leg", "calf", "ankle", "knee_height", "heel", "instep", "shoe", "name"))
    asked = argparse.Namespace(**unsaid, age=f"{float(years):g}", estimate=False, units="cm")
    sock, findings = grade(pattern, person_of(pattern, asked, lambda option, _: pytest.fail(f"{option} is asked for")))
    assert sock is not None, findings
    return sock


@pytest.mark.parametrize("name", ["ninepenny_bridge", "first_steps", "weir_walk", "hearthside"])
def test_with_age_a_sock_never_gets_smaller_nor_grows_by_more_than_a_size(name: str) -> None:
    """Ages of 0.5 to 16 in half years, at 30 to 32 stitches: a size is four stitches, and no 1.5 cm along the foot."""
    pattern = shipped(name)
    socks = [of_age(pattern, Fraction(half, 2)) for half in range(1, 33)]
    for before, after in pairwise(socks):
        assert 0 <= after.count("cast_on") - before.count("cast_on") <= 4, after.body.measures
        assert 0 <= after.finished["foot_length"] - before.finished["foot_length"] < Fraction(3, 2)
        assert before.body.measures["leg_length"] <= after.body.measures["leg_length"]
    assert socks[-1].count("cast_on") - socks[0].count("cast_on") > 20
