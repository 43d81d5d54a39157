"""The one place where a graded number is rounded: always to the nearest legal number."""

from __future__ import annotations

import math
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK

from grader.sizing.rounding import Lattice, least_common_multiple

_steps = st.integers(1, 16)
_amounts = st.fractions(0, 200, max_denominator=12)
_bounds = st.one_of(st.none(), st.integers(0, 120))


def legal(step: int, plus: int, low: int | None, high: int | None) -> list[int]:
    """Every legal number up to 400, found by trying each."""
    return [
        number
        for number in range(-50, 400)
        if (number - plus) % step == 0 and (low is None or number >= low) and (high is None or number <= high)
    ]


@settings(QUICK, max_examples=150)
@given(_amounts, _steps, st.integers(0, 8), _bounds, _bounds)
def test_the_number_chosen_is_legal_and_none_is_nearer(
    amount: Fraction, step: int, plus: int, low: int | None, high: int | None
) -> None:
    """Compared with every legal number tried one by one; halfway the smaller is taken; None where there is none."""
    bounds = (None if low is None else Fraction(low), None if high is None else Fraction(high))
    lattice = Lattice(Fraction(step), Fraction(plus), *bounds)
    numbers = legal(step, plus, low, high)
    found = lattice.nearest(amount)
    if not numbers:
        assert found is None
        return
    assert found == min(numbers, key=lambda number: (abs(number - amount), number))
    assert lattice.holds(Fraction(found))


@settings(QUICK)
@given(_amounts, _steps, st.integers(0, 8))
def test_the_numbers_around_an_amount_are_the_next_ones(amount: Fraction, step: int, plus: int) -> None:
    """`below` and `above` are the largest legal number not above and the smallest not below."""
    lattice = Lattice(Fraction(step), Fraction(plus))
    numbers = legal(step, plus, None, None)
    assert lattice.below(amount) == max(number for number in numbers if number <= amount)
    assert lattice.above(amount) == min(number for number in numbers if number >= amount)
    assert lattice.holds(amount) == (amount in numbers)


@settings(QUICK)
@given(_amounts, _amounts, _steps, _bounds, _bounds)
def test_a_larger_target_never_gets_a_smaller_number(
    a: Fraction, b: Fraction, step: int, low: int | None, high: int | None
) -> None:
    """Rounding keeps the order of what it rounds."""
    lattice = Lattice(Fraction(step), Fraction(0), *(None if each is None else Fraction(each) for each in (low, high)))
    first, second = lattice.nearest(min(a, b)), lattice.nearest(max(a, b))
    if first is not None and second is not None:
        assert first <= second
    else:
        assert first is second is None


@settings(QUICK)
@given(st.lists(_steps, max_size=4))
def test_several_multiples_are_met_by_their_least_common_one(steps: list[int]) -> None:
    """The smallest positive number that every step divides; 1 for none."""
    found = least_common_multiple([Fraction(step) for step in steps])
    assert found == next(n for n in range(1, 70000) if all(n % step == 0 for step in steps))


def test_steps_of_half_a_centimetre_have_a_common_multiple_too() -> None:
    """Halves and thirds meet at one; lengths may have steps as well as counts."""
    assert least_common_multiple([Fraction(1, 2), Fraction(1, 3)]) == 1
    assert least_common_multiple([Fraction(1, 2), Fraction(3, 4)]) == Fraction(3, 2)
    assert math.isclose(float(Lattice(Fraction(1, 2)).nearest(Fraction("22.7")) or 0), 22.5)
