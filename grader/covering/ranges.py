"""The feet to try sizes for: a fine grid of them, and ranges that are spaced evenly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from grader.models.pattern import Pattern
from grader.vocabulary.bodies import Body
from grader.vocabulary.population import Population
from grader.vocabulary.size_charts import read_chart

STEP = Fraction(1, 2)  # cm; what a tape tells, and what size tables print
_NEAR = 10  # mm; the feet whose mean length goes with a girth, as in the charts that ship
_ENDS = (1, 99)  # percentiles between which an even range lies, so that single odd feet don't stretch it


def grid(pattern: Pattern, people: Population) -> tuple[Body, ...]:
    """A foot for every girth and length of the population in steps of half a centimetre, smallest first.

    Without girths one foot for every length, as round as children's feet of that length are estimated to be.
    """
    lengths = _steps([foot.length for foot in people.feet])
    if not people.has_girth:
        return tuple(_body(pattern, girth_of_child(length), length) for length in lengths)
    girths = _steps([foot.girth for foot in people.feet if foot.girth is not None])
    return tuple(_body(pattern, girth, length) for girth in girths for length in lengths)


def even_range(pattern: Pattern, people: Population, count: int) -> tuple[Body, ...]:
    """`count` feet in even steps of girth, each as long as measured feet of that girth are on the average.

    The steps divide what lies between the 1st and the 99th percentile of the population evenly, and each size stands
    in the middle of its step; without girths the same with lengths.
    """
    measured = sorted(foot.length if foot.girth is None else foot.girth for foot in people.feet)
    low, high = (Fraction(measured[(len(measured) - 1) * each // 100]) for each in _ENDS)
    middles = [low + (high - low) * (2 * each + 1) / (2 * count) for each in range(count)]
    if not people.has_girth:
        lengths = [_to_step(each / 10) for each in middles]
        return tuple(_body(pattern, girth_of_child(length), length) for length in lengths)
    feet = []
    for middle in middles:
        narrow, wide = math.ceil(middle - _NEAR), math.floor(middle + _NEAR)
        near = [foot.length for foot in people.feet if foot.girth is not None and narrow <= foot.girth <= wide]
        feet.append((_to_step(middle / 10), _to_step(Fraction(sum(near), len(near)) / 10)))
    return tuple(_body(pattern, girth, length) for girth, length in feet)


def girth_of_child(length: Fraction) -> Fraction:
    """How round a child's foot of this length (cm) is, to the half centimetre: an estimate after the children's chart.

    Children's girths were found in no survey; beyond the chart the share of its nearest foot is kept.
    """
    chart = read_chart("child-feet")
    lengths = [each.measures["foot_length"] for each in chart]
    shares = [each.measures["foot_circumference"] / each.measures["foot_length"] for each in chart]
    return _to_step(length * _between(lengths, shares, length))


def _steps(millimetres: Sequence[int]) -> list[Fraction]:
    low, high = math.floor(min(millimetres) / (10 * STEP)), math.ceil(max(millimetres) / (10 * STEP))
    return [each * STEP for each in range(low, high + 1)]


def _to_step(amount: Fraction) -> Fraction:
    return math.floor(amount / STEP + Fraction(1, 2)) * STEP


def _body(pattern: Pattern, girth: Fraction, length: Fraction) -> Body:
    """A foot with legs as they lie between the pattern's own sizes: nobody's measure, and the designer's to change."""
    sizes = sorted(pattern.bodies, key=lambda body: body.measures["foot_circumference"])
    girths = [body.measures["foot_circumference"] for body in sizes]
    measures = {"foot_circumference": girth, "foot_length": length}
    for name in sizes[0].measures:
        if name not in measures and all(name in body.measures for body in sizes):
            measures[name] = _to_step(_between(girths, [body.measures[name] for body in sizes], girth))
    return Body(f"{float(girth):g} x {float(length):g}", measures)


def _between(places: Sequence[Fraction], amounts: Sequence[Fraction], place: Fraction) -> Fraction:
    """The amount at a place on straight lines from point to point, level beyond both ends; places in order."""
    if place <= places[0]:
        return amounts[0]
    for left, right, low, high in zip(places, places[1:], amounts, amounts[1:], strict=False):
        if left < place <= right:
            return low + (high - low) * (place - left) / (right - left)
    return amounts[-1]
