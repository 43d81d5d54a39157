"""Laws that hold for every shipped pattern, any foot and any gauge: nothing shrinks as what it hangs on grows."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from grader.cli.arguments import length_of
from grader.cli.gauging import tallies_of
from grader.gauging import average
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import for_one, open_pattern, work_one
from grader.sizing import grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.lengths import print_cm, print_inches
from grader.vocabulary.quantities import CM_PER_INCH, read_quantity
from grader.yarn_use import yarn_for_pair

SHIPPED = sorted(path.stem for path in (Path(__file__).resolve().parents[2] / "patterns").glob("*.yaml"))
LOOP = "long circular (magic loop)"
FEW = settings(max_examples=12, deadline=None)
ANY = (Fraction(-9, 10), Fraction(9))  # an ease that nothing falls out of

gauges = st.integers(80, 176).map(lambda quarters: Fraction(quarters, 4))  # stitches to 10 cm, 20 to 44
girths = st.integers(170, 290).map(lambda mm: Fraction(mm, 10))
lengths = st.integers(190, 300).map(lambda mm: Fraction(mm, 10))
eighths = st.integers(1, 8 * 40).map(lambda count: Fraction(count, 8))


@cache
def opened(name: str) -> Pattern:
    pattern, _ = open_pattern(name_path(name))
    assert pattern is not None
    return replace(pattern, fit=replace(pattern.fit, allowed=ANY, length_allowed=ANY))


def name_path(name: str) -> str:
    return str(Path(__file__).resolve().parents[2] / "patterns" / f"{name}.yaml")


def made(name: str, girth: Fraction, length: Fraction, stitches: Fraction | None = None) -> tuple[Pattern, Graded]:
    """A shipped pattern for one foot; at a gauge whose rounds go along with its stitches."""
    pattern = opened(name)
    own = pattern.gauge
    gauge = None
    if stitches is not None:
        gauge = replace(own, stitches=stitches / 10, rounds=stitches / 10 * own.rounds / own.stitches)
    middle = pattern.bodies[len(pattern.bodies) // 2]
    body = Body("any", {**middle.measures, "foot_circumference": girth, "foot_length": length})
    one = for_one(pattern, body, gauge)
    graded, _ = grade(one, body)
    assume(graded is not None)
    assert graded is not None
    return one, graded


@given(eighths)
def test_a_length_typed_in_inches_is_exact_and_prints_back(inches: Fraction) -> None:
    whole, over = divmod(inches, 1)
    typed = f"{whole} {over.numerator}/{over.denominator} in" if over else f"{whole} in"
    cm = length_of(typed, "foot")
    assert cm / CM_PER_INCH == inches
    assert abs(read_quantity(print_inches(cm) + " in").amount - cm) <= CM_PER_INCH / 8
    assert abs(read_quantity(print_cm(cm) + " cm").amount - cm) <= Fraction(1, 4)


@given(st.integers(10, 60), eighths.filter(lambda each: 2 <= each <= 39))
def test_a_count_over_inches_is_the_same_gauge_as_over_cm(number: int, inches: Fraction) -> None:
    cm = inches * CM_PER_INCH
    (over_inches,) = tallies_of(f"{number} over {inches.numerator}/{inches.denominator} in", "stitches")
    (over_cm,) = tallies_of(f"{number} over {float(cm)!r} cm", "stitches")
    assert over_inches.to_10_cm * CM_PER_INCH / 10 == number / inches
    assert float(over_cm.to_10_cm) == pytest.approx(float(over_inches.to_10_cm))
    assert average([over_inches]).mean == over_inches.to_10_cm


@pytest.mark.parametrize("name", SHIPPED)
@given(gauge=gauges, finer=gauges, girth=girths, length=lengths)
@FEW
def test_a_finer_gauge_never_gives_fewer_stitches(
    name: str, gauge: Fraction, finer: Fraction, girth: Fraction, length: Fraction
) -> None:
    low, high = sorted((gauge, finer))
    counts = []
    for each in (low, high):
        pattern, graded = made(name, girth, length, each)
        counts.append(graded.finished["foot_circumference"] * pattern.gauge.stitches)
    assert counts[0] <= counts[1]


@pytest.mark.parametrize("name", SHIPPED)
@given(gauge=gauges, girth=girths, other=girths, length=lengths, longer=lengths)
@FEW
def test_a_bigger_foot_never_gets_a_smaller_sock(
    name: str, gauge: Fraction, girth: Fraction, other: Fraction, length: Fraction, longer: Fraction
) -> None:
    (thin, thick), (short, long) = sorted((girth, other)), sorted((length, longer))
    (_, small), (_, large) = made(name, thin, short, gauge), made(name, thick, long, gauge)
    for measure in ("foot_circumference", "foot_length"):
        assert small.finished[measure] <= large.finished[measure]


@pytest.mark.parametrize("name", SHIPPED)
@given(girth=girths, more=st.integers(0, 40), length=lengths, longer=st.integers(0, 40))
@FEW
def test_yarn_grows_with_the_foot(name: str, girth: Fraction, more: int, length: Fraction, longer: int) -> None:
    used = []
    for around, along in ((girth, length), (girth + Fraction(more, 10), length + Fraction(longer, 10))):
        pattern, graded = made(name, around, along)
        sock, findings = work_one(pattern, graded, LOOP)
        assert sock is not None, findings
        assume(sock.record.complete)
        used.append(yarn_for_pair(pattern, sock.record).metres_pair)
    assert used[0] <= used[1]
