"""Who is served: the same feet whose own ease the grading allows; who is left out, and what would help."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import pairwise
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shipped import NAMES
from shipped import pattern_named as shipped

from grader.covering import cover, even_range, grid
from grader.covering.ranges import girth_of_child
from grader.models.coverage import Choice, Coverage
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import grade_all
from grader.serving import choose_sizes, cover_sizes, usual_population
from grader.sizing import grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Finding
from grader.vocabulary.population import POPULATIONS, MeasuredFoot, Population, read_population

ALL = ("women", "men", "children")
# Every pattern is held against one population, in turn.
HELD = [(name, ALL[place % 3]) for place, name in enumerate(NAMES)]


@pytest.fixture(autouse=True, scope="module")
def graded_once() -> Iterator[None]:
    """The grid of a population is the same each time that it is graded for a pattern that ships."""
    known: dict[tuple[object, ...], tuple[Graded | None, list[Finding]]] = {}
    kept: list[Pattern] = []  # so that the id of each stays its own

    def graded(pattern: Pattern, body: Body, index: int = 0) -> tuple[Graded | None, list[Finding]]:
        key = (id(pattern), body.name, index, *body.measures.items())
        if key not in known:
            kept.append(pattern)
            known[key] = grade(pattern, body, index)
        return known[key]

    with patch("grader.serving.grade", graded):
        yield


@cache
def covered(name: str, people: str) -> Coverage:
    """Whom the sizes of a pattern that ships fit; each of them can be graded."""
    found, findings = cover_sizes(shipped(name), people)
    assert not findings
    return found


@cache
def chosen(name: str, people: str, count: int) -> Choice:
    return choose_sizes(shipped(name), people, count)


def fits(pattern: Pattern, graded: Graded, foot: MeasuredFoot) -> bool:
    """Straight from the ease of this foot in this sock."""
    lengthwise = graded.finished["foot_length"] * 10 / foot.length - 1
    low, high = pattern.fit.length_allowed
    if foot.girth is None:
        return low <= lengthwise <= high
    around = graded.finished["foot_circumference"] * 10 / foot.girth - 1
    return low <= lengthwise <= high and pattern.fit.allowed[0] <= around <= pattern.fit.allowed[1]


@pytest.mark.parametrize(("name", "people"), [("hearthside", "women"), ("first_steps", "children")])
def test_a_foot_is_served_where_its_own_ease_is_allowed(name: str, people: str) -> None:
    pattern, feet = shipped(name), read_population(people).feet
    sizes, _ = grade_all(pattern)
    found = covered(name, people)
    for row, graded in zip(found.sizes, sizes, strict=True):
        assert row.feet == sum(fits(pattern, graded, foot) for foot in feet)
    times = [sum(fits(pattern, graded, foot) for graded in sizes) for foot in feet]
    assert found.served == sum(count > 0 for count in times)
    assert sum(row.alone for row in found.sizes) == times.count(1)


@pytest.mark.parametrize(("name", "people"), HELD)
def test_everybody_is_served_or_left_out_for_a_reason(name: str, people: str) -> None:
    found = covered(name, people)
    assert found.people == len(read_population(people).feet)
    assert found.served + sum(each.feet for each in found.left_out) == found.people
    assert max(row.feet for row in found.sizes) <= found.served
    assert all(row.alone <= row.feet for row in found.sizes)
    assert found.added <= found.people - found.served


@pytest.mark.parametrize("name", ["quayside", "hearthside"])
def test_the_size_to_add_serves_as_many_more_as_it_says(name: str) -> None:
    pattern = shipped(name)
    before = covered(name, "women")
    assert before.add is not None
    after, _ = cover_sizes(replace(pattern, bodies=(*pattern.bodies, before.add)), "women")
    assert after.served == before.served + before.added
    assert before.added > 0
    assert after.added <= before.added


def middle(low: Fraction, high: Fraction) -> int:
    return round((low + high) / 2 * 10)


def test_the_reasons_are_those_of_the_foot() -> None:
    pattern = shipped("quayside")
    sizes, _ = grade_all(pattern)
    some = cover(pattern, sizes[2:4], (), read_population("women"))
    (low, _), (_, high) = (row.girth or (Fraction(0), Fraction(0)) for row in some.sizes)
    (short, _), (_, long) = (row.length or (Fraction(0), Fraction(0)) for row in some.sizes)
    inside = middle(low, high)
    odd = {
        "too narrow for the smallest size": MeasuredFoot(middle(short, long), int(low * 10) - 1),
        "too wide for the largest size": MeasuredFoot(middle(short, long), int(high * 10) + 2),
        "too short for their girth": MeasuredFoot(int(short * 10) - 1, inside),
        "too long for their girth": MeasuredFoot(int(long * 10) + 2, inside),
    }
    for reason, foot in odd.items():
        (left,) = cover(pattern, sizes[2:4], (), Population("women", (foot,), "")).left_out
        assert (left.reason, left.girth, left.length) == (
            reason,
            Fraction(foot.girth or 0, 10),
            Fraction(foot.length, 10),
        )
    apart = cover(pattern, (sizes[0], sizes[-1]), (), Population("women", (MeasuredFoot(255, 235),), ""))
    assert [each.reason for each in apart.left_out] == [
        "between two sizes, wider than the one and narrower than the other"
    ]


def test_children_are_asked_for_their_length_alone() -> None:
    pattern = shipped("first_steps")
    sizes, _ = grade_all(pattern)
    shortest, longest = sizes[0].finished["foot_length"], sizes[-1].finished["foot_length"]
    few = (MeasuredFoot(int(shortest * 10) - 1), MeasuredFoot(int(longest * 12)), MeasuredFoot(142))
    found = cover(pattern, (sizes[0], *sizes[2:]), (), Population("children", few, ""))
    assert {each.reason for each in found.left_out} == {
        "too short for the smallest size",
        "too long for the largest size",
        "between two sizes, longer than the one and shorter than the other",
    }
    assert all(row.girth is None for row in found.sizes)


def test_without_sizes_or_people_nobody_is_served() -> None:
    pattern = shipped("hearthside")
    nobody = cover(pattern, (), (), read_population("women"))
    assert (nobody.served, nobody.sizes, nobody.left_out, nobody.add) == (0, (), (), None)
    sizes, _ = grade_all(pattern)
    assert cover(pattern, sizes, (), Population("women", (), "")).served == 0


@pytest.mark.parametrize(
    ("name", "people", "count"),
    [(name, *(("women", 6), ("children", 7))[place % 2]) for place, name in enumerate(NAMES)],
)
def test_chosen_sizes_beat_evenly_spaced_ones(name: str, people: str, count: int) -> None:
    choice = chosen(name, people, count)
    assert len(choice.even.sizes) == count
    assert len(choice.chosen.sizes) <= count
    assert choice.chosen.served > choice.even.served


@pytest.mark.parametrize(("name", "people"), [("quayside", "women"), ("hearthside", "adults"), ("weir_walk", "women")])
def test_chosen_sizes_serve_more_than_the_chart_has(name: str, people: str) -> None:
    sizes = len(shipped(name).bodies)
    assert chosen(name, people, sizes).chosen.served > covered(name, people).served


def test_more_sizes_never_serve_fewer_and_each_adds_less_than_the_first() -> None:
    served = [chosen("lantern_lane", "women", count).chosen.served for count in range(1, 7)]
    assert served == sorted(served)
    assert all(after - before <= served[0] for before, after in pairwise(served))


def test_chosen_sizes_are_numbered_from_the_smallest_and_named_for_shoes() -> None:
    sizes = chosen("high_moor", "women", 4).chosen.sizes
    assert [each.body.name for each in sizes] == ["1", "2", "3", "4"]
    girths = [each.body.measures["foot_circumference"] for each in sizes]
    assert girths == sorted(girths)
    assert all(each.body.note.startswith("about EU ") for each in sizes)
    assert all({"leg_length", "ankle", "calf", "knee_height"} <= set(each.body.measures) for each in sizes)


def test_more_sizes_than_are_needed_are_not_given() -> None:
    choice = chosen("first_steps", "children", 30)
    assert len(choice.chosen.sizes) < 20
    assert choice.chosen.served == chosen("first_steps", "children", 29).chosen.served


@pytest.mark.parametrize("people", POPULATIONS)
def test_the_grid_goes_in_half_centimetres_round_everybody(people: str) -> None:
    measured = read_population(people)
    feet = grid(shipped("high_moor"), measured)
    for name, amounts in (
        ("foot_length", [foot.length for foot in measured.feet]),
        ("foot_circumference", [foot.girth for foot in measured.feet if foot.girth is not None]),
    ):
        found = [body.measures[name] for body in feet]
        assert all(amount % Fraction(1, 2) == 0 for amount in found)
        if amounts:
            assert min(found) * 10 <= min(amounts) < min(found) * 10 + 5
            assert max(found) * 10 - 5 < max(amounts) <= max(found) * 10
    assert len({(each.measures["foot_circumference"], each.measures["foot_length"]) for each in feet}) == len(feet)
    assert all({"leg_length", "ankle", "calf", "knee_height"} <= set(each.measures) for each in feet)


@settings(max_examples=12, deadline=None)
@given(st.integers(1, 30), st.sampled_from(("women", "men", "children")))
def test_an_even_range_rises_in_even_steps(count: int, people: str) -> None:
    feet = even_range(shipped("hearthside"), read_population(people), count)
    assert len(feet) == count
    name = "foot_length" if people == "children" else "foot_circumference"
    places = [body.measures[name] for body in feet]
    steps = [after - before for before, after in pairwise(places)]
    assert all(step >= 0 for step in steps)
    assert not steps or max(steps) - min(steps) <= Fraction(1, 2)  # the rounding to half centimetres


@pytest.mark.parametrize("body", [(13, 14), (Fraction(29, 2), 15), (Fraction(33, 2), Fraction(33, 2)), (19, 18)])
def test_a_childs_girth_is_its_share_of_the_length(body: tuple[Fraction, Fraction]) -> None:
    length, girth = body
    assert girth_of_child(Fraction(length)) == girth


@given(st.integers(60, 600), st.integers(60, 600))
def test_a_longer_childs_foot_is_no_narrower(first: int, second: int) -> None:
    short, long = sorted((Fraction(first, 20), Fraction(second, 20)))
    assert girth_of_child(short) <= girth_of_child(long)


def test_a_pattern_for_children_is_asked_about_children() -> None:
    assert usual_population(shipped("first_steps")) == "children"
    assert usual_population(shipped("ninepenny_bridge")) == "adults"


def test_a_size_that_cannot_be_graded_is_told() -> None:
    pattern = shipped("hearthside")
    impossible = Body("0", {"foot_circumference": Fraction(24), "foot_length": Fraction(8), "leg_length": Fraction(10)})
    found, findings = cover_sizes(replace(pattern, bodies=(*pattern.bodies, impossible)), "women")
    assert findings
    assert isinstance(found, Coverage)
    assert len(found.sizes) == len(pattern.bodies)
