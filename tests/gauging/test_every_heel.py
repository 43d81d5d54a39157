"""What a swatch makes of the foot, heel by heel: the same lines, measured at the swatch's gauge."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from inspection.test_foot import SOCKS
from parts.combining import pattern_of
from shipped import NAMES, pattern_named

from grader.gauging import average, compare
from grader.inspection.foot import measure_foot
from grader.loading import load_text
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.models.swatch import Measure, Swatch, Tally
from grader.pipeline import foot_of, grade_all, work_one
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart

CUPPED = {"short-row toe": ("cuff-1x1-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-short-row")}
ALL = {**SOCKS, **CUPPED}


@cache
def knitted(name: str) -> tuple[Pattern, Graded, Record]:
    """A middle size of a pattern that ships or of a sock with this heel, by magic loop."""
    if name in ALL:
        found, findings = load_text(pattern_of(ALL[name]), str(folder("patterns") / "put_together.yaml"), read_chart)
        assert found is not None, findings
        pattern = found
    else:
        pattern = pattern_named(name)
    sizes, _ = grade_all(pattern)
    graded = sizes[len(sizes) // 2]
    sock, findings = work_one(pattern, graded, "long circular (magic loop)")
    assert sock is not None, findings
    return pattern, graded, sock.record


def foot_at(name: str, stitches: Fraction, rounds: Fraction) -> tuple[Measure, Fraction, Fraction]:
    """What is told of the foot at this gauge to a centimetre, what the lines come to there, and at the pattern's."""
    pattern, graded, record = knitted(name)
    counts = [average([Tally(10 * each, Fraction(10))]) for each in (stitches, rounds)]
    told = compare(Swatch(*counts, True), pattern, [graded], graded, foot=foot_of(pattern, graded))
    there = measure_foot(replace(pattern, gauge=replace(pattern.gauge, stitches=stitches, rounds=rounds)), record)
    here = measure_foot(pattern, record)
    assert there is not None
    assert here is not None
    return told.measures[1], there.length, here.length


@pytest.mark.parametrize("change", [(Fraction(9, 10), Fraction(1)), (Fraction(1), Fraction(9, 10)),
                                    (Fraction(23, 20), Fraction(9, 10))])  # fmt: skip
@pytest.mark.parametrize("name", ALL)
def test_a_foot_is_told_as_its_lines_come_out_at_that_gauge(name: str, change: tuple[Fraction, Fraction]) -> None:
    """By more stitches alone, by more rounds alone, and by both: each heel's depth goes by what it is made of."""
    gauge = knitted(name)[0].gauge
    told, there, here = foot_at(name, gauge.stitches * change[0], gauge.rounds * change[1])
    assert told.own == there
    assert there != here
    assert told.stated == pytest.approx(float(here), abs=0.5 / float(gauge.rounds))


@pytest.mark.parametrize("name", NAMES)
def test_at_the_patterns_own_gauge_every_pattern_comes_out_as_it_says(name: str) -> None:
    gauge = knitted(name)[0].gauge
    told, _, here = foot_at(name, gauge.stitches, gauge.rounds)
    assert told.own == here
    assert told.own == pytest.approx(float(told.stated), abs=0.5 / float(gauge.rounds))
