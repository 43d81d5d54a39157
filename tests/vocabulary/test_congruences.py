"""Numbers that must divide by several others with something over: compared with every number tried one by one."""

from __future__ import annotations

from fractions import Fraction
from math import lcm

from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK

from grader.vocabulary.congruences import Congruence, common

_one = st.tuples(st.integers(1, 12), st.integers(0, 14))


@settings(QUICK, max_examples=100)
@given(st.lists(_one, min_size=1, max_size=4))
def test_the_numbers_found_are_all_there_are(asked: list[tuple[int, int]]) -> None:
    """None where no number of a whole period meets all; else every number of the answer, and no other."""
    found = common(Congruence(Fraction(step), Fraction(plus)) for step, plus in asked)
    period = lcm(*(step for step, _ in asked))
    right = [number for number in range(period) if all((number - plus) % step == 0 for step, plus in asked)]
    if found is None:
        assert right == []
        return
    assert right == [number for number in range(period) if found.holds(Fraction(number))]
    assert found.first_from(Fraction(7)) == min(
        number for number in range(7, 8 + 2 * period) if all((number - plus) % step == 0 for step, plus in asked)
    )


@settings(QUICK)
@given(st.lists(_one, min_size=1, max_size=3), st.integers(2, 6))
def test_steps_of_a_part_are_steps_of_the_whole(asked: list[tuple[int, int]], part: int) -> None:
    """Halves, thirds and so on: the same answer, so much finer."""
    whole = common(Congruence(Fraction(step), Fraction(plus)) for step, plus in asked)
    fine = common(Congruence(Fraction(step, part), Fraction(plus, part)) for step, plus in asked)
    assert (whole is None) == (fine is None)
    if whole and fine:
        assert fine == Congruence(whole.step / part, whole.plus / part)


def test_what_is_over_stays_as_it_was_asked_for() -> None:
    """4 and 6, each plus 10, are 12 plus 10; without any demand whole numbers are left."""
    asked = [Congruence(Fraction(4), Fraction(10)), Congruence(Fraction(6), Fraction(10))]
    assert common(asked) == Congruence(Fraction(12), Fraction(10))
    assert common([]) == Congruence(Fraction(1))
    assert common([Congruence(Fraction(6), Fraction(1)), Congruence(Fraction(4))]) is None
