"""The feet to try sizes for: a fine grid of them, and ranges that are spaced evenly."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction

from grader.models.pattern import Pattern
from grader.vocabulary.bodies import Body, leg_length_beside
from grader.vocabulary.conditioning import expected, together
from grader.vocabulary.population import Population
from grader.vocabulary.size_charts import OF_THE_LEG

STEP = Fraction(1, 2)  # cm; what a tape tells, and what size tables print
_NEAR = 10  # mm; the feet whose mean length goes with a girth, as in the charts that ship
_WHOM = {"girls": "children", "boys": "children"}
_ENDS = (1, 99)  # percentiles between which an even range lies, so that single odd feet don't stretch it


def grid(pattern: Pattern, people: Population) -> tuple[Body, ...]:
    """A foot for every girth and length of the population in steps of half a centimetre, smallest first.

    Without girths one foot for every length, as round as children's feet of that length are estimated to be. The leg
    is as people have it who have such a foot.
    """
    lengths = _steps([foot.length for foot in people.feet])
    if not people.has_girth:
        return tuple(_body(pattern, people, girth_of_child(length), length) for length in lengths)
    girths = _steps([foot.girth for foot in people.feet if foot.girth is not None])
    return tuple(_body(pattern, people, girth, length) for girth in girths for length in lengths)


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
        return tuple(_body(pattern, people, girth_of_child(length), length) for length in lengths)
    feet = []
    for middle in middles:
        narrow, wide = math.ceil(middle - _NEAR), math.floor(middle + _NEAR)
        near = [foot.length for foot in people.feet if foot.girth is not None and narrow <= foot.girth <= wide]
        feet.append((_to_step(middle / 10), _to_step(Fraction(sum(near), len(near)) / 10)))
    return tuple(_body(pattern, people, girth, length) for girth, length in feet)


def girth_of_child(length: Fraction) -> Fraction:
    """How round a child's foot of this length (cm) is, to the half centimetre: an estimate, from no survey."""
    return _estimated("foot_circumference", {"foot_length": float(length)}, "children")


def _steps(millimetres: Sequence[int]) -> list[Fraction]:
    low, high = math.floor(min(millimetres) / (10 * STEP)), math.ceil(max(millimetres) / (10 * STEP))
    return [each * STEP for each in range(low, high + 1)]


def _to_step(amount: Fraction) -> Fraction:
    return math.floor(amount / STEP + Fraction(1, 2)) * STEP


def _body(pattern: Pattern, people: Population, girth: Fraction, length: Fraction) -> Body:
    """A foot with the leg that such people have on the average; how high the sock goes is the pattern's own choice."""
    known = {"foot_circumference": float(girth), "foot_length": float(length)}
    measures = {"foot_circumference": girth, "foot_length": length}
    for name in pattern.bodies[0].measures:
        if name == "leg_length":
            measures[name] = _to_step(leg_length_beside(pattern.bodies, length))
        elif name in OF_THE_LEG and all(name in body.measures for body in pattern.bodies):
            measures[name] = _estimated(name, known, _WHOM.get(people.name, people.name))
    return Body(f"{float(girth):g} x {float(length):g}", measures)


def _estimated(name: str, known: Mapping[str, float], whom: str) -> Fraction:
    return _to_step(Fraction(together(expected(name, known, whom)).mean))
