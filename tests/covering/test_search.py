"""The largest cover: never worse than any other choice, shown by trying them all."""

from __future__ import annotations

from fractions import Fraction
from functools import cache, reduce
from itertools import combinations
from operator import or_

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grader.covering.ranges import grid
from grader.covering.search import largest_cover, weight_of
from grader.covering.serving import cover
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import grade_all, open_pattern
from grader.sizing import grade
from grader.vocabulary.population import Population, read_population

Sets = list[frozenset[int]]


def tried_all(sets: Sets, weights: list[int], count: int) -> int:
    """The most that any `count` sets weigh together, by looking at every choice; a set is a number of as many bits."""
    bits = [sum(1 << cell for cell in each) for each in sets]

    @cache
    def weight(union: int) -> int:
        return sum(each for cell, each in enumerate(weights) if union >> cell & 1)

    return max(weight(reduce(or_, choice, 0)) for choice in combinations(bits, min(count, len(bits))))


@st.composite
def covers(draw: st.DrawFn) -> tuple[Sets, list[int], int]:
    """Sets of a few cells with weights, some alike, some within others, and how many may be chosen."""
    cells = draw(st.integers(1, 14))
    weights = draw(st.lists(st.integers(0, 60), min_size=cells, max_size=cells))
    sets = draw(st.lists(st.frozensets(st.integers(0, cells - 1), max_size=6), min_size=1, max_size=12))
    return sets, weights, draw(st.integers(1, 5))


@settings(max_examples=150, deadline=None)
@given(covers())
def test_no_choice_covers_more(case: tuple[Sets, list[int], int]) -> None:
    sets, weights, count = case
    chosen = largest_cover(sets, weights, count)
    assert len(chosen) <= count
    assert list(chosen) == sorted(set(chosen))
    assert weight_of(sets, weights, chosen) == tried_all(sets, weights, count)


@st.composite
def stretches(draw: st.DrawFn) -> tuple[Sets, list[int], int]:
    """Boxes over a plain of feet, as socks are: those whose girth and length lie between two bounds each."""
    feet = draw(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=8, max_size=40))
    corners = draw(st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), min_size=4, max_size=16, unique=True))
    boxes = [
        frozenset(i for i, (x, y) in enumerate(feet) if a <= x <= a + 2 and b <= y <= b + 2) for a, b in sorted(corners)
    ]
    return boxes, [1] * len(feet), draw(st.integers(1, 4))


@settings(max_examples=80, deadline=None)
@given(stretches())
def test_no_choice_of_boxes_covers_more(case: tuple[Sets, list[int], int]) -> None:
    sets, weights, count = case
    assert weight_of(sets, weights, largest_cover(sets, weights, count)) == tried_all(sets, weights, count)


def test_the_greedy_choice_is_not_the_best_here() -> None:
    """Taking the largest first (4 of 6) leaves one of the two halves behind."""
    sets = [frozenset({1, 2, 3, 4}), frozenset({0, 1, 2}), frozenset({3, 4, 5})]
    assert largest_cover(sets, [1] * 6, 2) == (1, 2)
    assert largest_cover(sets, [1] * 6, 1) == (0,)


@pytest.mark.parametrize(
    ("sets", "count", "chosen"),
    [
        ([], 3, ()),
        ([frozenset()], 1, ()),
        ([frozenset({0}), frozenset({0})], 2, (0,)),
        ([frozenset({0}), frozenset({0, 1})], 5, (1,)),
        ([frozenset({0}), frozenset({1})], 0, ()),
    ],
)
def test_sets_that_add_nothing_are_left_out(sets: Sets, count: int, chosen: tuple[int, ...]) -> None:
    assert largest_cover(sets, [3, 4], count) == chosen


@cache
def real_socks() -> tuple[Pattern, Population, list[Graded], list[frozenset[int]]]:
    """Every sock of a pattern that ships, and which of all women measured each serves."""
    pattern, _ = open_pattern("patterns/hearthside.yaml")
    assert pattern is not None
    people = read_population("women")
    socks: dict[tuple[object, ...], Graded] = {}
    for body in grid(pattern, people):
        graded, _ = grade(pattern, body)
        if graded is not None:
            socks.setdefault(tuple(graded.finished[name] for name in ("foot_circumference", "foot_length")), graded)
    girths, lengths = [foot.girth or 0 for foot in people.feet], [foot.length for foot in people.feet]

    def fitted(sock_cm: Fraction, feet_mm: list[int], ease: tuple[Fraction, Fraction]) -> frozenset[int]:
        wear = {each for each in set(feet_mm) if ease[0] <= sock_cm * 10 / each - 1 <= ease[1]}
        return frozenset(place for place, each in enumerate(feet_mm) if each in wear)

    served = [
        fitted(each.finished["foot_circumference"], girths, pattern.fit.allowed)
        & fitted(each.finished["foot_length"], lengths, pattern.fit.length_allowed)
        for each in socks.values()
    ]
    return pattern, people, list(socks.values()), served


@pytest.mark.parametrize("count", [1, 2])
def test_no_pair_of_real_socks_serves_more(count: int) -> None:
    """Every pair of every sock of a pattern that ships, over the feet of all women measured."""
    pattern, people, socks, served = real_socks()
    chosen = largest_cover(served, [1] * len(people.feet), count)
    found = len(frozenset().union(*(served[each] for each in chosen)))
    bits = [sum(1 << place for place in each) for each in served]
    best = max(reduce(or_, choice).bit_count() for choice in combinations(bits, count))
    assert found == best
    assert cover(pattern, [socks[each] for each in chosen], (), people).served == best


def test_the_sizes_of_a_pattern_can_be_graded_again() -> None:
    """The feet of the charts lie on the grid that is searched, so that a choice is never worse than the chart."""
    pattern, _ = open_pattern("patterns/quayside.yaml")
    assert pattern is not None
    sizes, _ = grade_all(pattern)
    feet = {
        (body.measures["foot_circumference"], body.measures["foot_length"])
        for body in grid(pattern, read_population("adults"))
    }
    assert {(each.body.measures["foot_circumference"], each.body.measures["foot_length"]) for each in sizes} <= feet
