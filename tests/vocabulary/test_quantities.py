"""Amounts are exact and keep their units; what can't be put together is refused in words."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK, formula_values, mistake_of

from grader.vocabulary.quantities import (
    Quantity,
    UnitError,
    cm,
    read_quantity,
    round_half_up,
    rounds,
    stitches,
)

_dims = st.sampled_from(((0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, -1)))
_quantities = st.builds(Quantity, formula_values, _dims)


@settings(QUICK)
@given(_quantities, _quantities)
def test_alike_amounts_add_in_any_order_and_others_are_refused(a: Quantity, b: Quantity) -> None:
    """Stitches add to stitches or to a bare number, exactly; never to rounds or to a length."""
    if a.dims == b.dims or a.is_plain or b.is_plain:
        assert (a + b) == (b + a)
        assert (a + b).amount == a.amount + b.amount
        assert (a - b).amount == a.amount - b.amount
        assert (a + b).dims == (b.dims if a.is_plain else a.dims)
    else:
        with pytest.raises(UnitError, match="can't add"):
            a + b
        with pytest.raises(UnitError, match="can't take"):
            a - b


@settings(QUICK)
@given(_quantities, _quantities)
def test_dividing_undoes_multiplying(a: Quantity, b: Quantity) -> None:
    """The amount and the unit come back; nothing divides by zero."""
    if not b.amount:
        with pytest.raises(UnitError, match="divides by zero"):
            a / b
        return
    assert (a * b) / b == a
    assert (-a) + a == Quantity(Fraction(0), a.dims)


def test_a_gauge_turns_a_length_into_stitches_and_back() -> None:
    """32 stitches to 10 cm make 20 cm 64 stitches, and 64 stitches 20 cm."""
    gauge = stitches(32) / cm(10)
    assert cm(20) * gauge == stitches(64)
    assert stitches(64) / gauge == cm(20)
    assert gauge.unit_name == "stitches per length"
    assert (cm(2) * cm(2)).unit_name == "a mixed unit"


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("22.5 cm", Fraction(45, 2), "a length"),
        ("22,5cm", Fraction(45, 2), "a length"),
        ("225 mm", Fraction(45, 2), "a length"),
        ("8 3/4 in", Fraction(35, 4) * Fraction(254, 100), "a length"),
        ("8¾ in", Fraction(35, 4) * Fraction(254, 100), "a length"),
        ('8½"', Fraction(17, 2) * Fraction(254, 100), "a length"),
        ("½ inch", Fraction(127, 100), "a length"),
        ("1 m", Fraction(100), "a length"),
        ("-10 %", Fraction(-1, 10), "a plain number"),
        ("−10 %", Fraction(-1, 10), "a plain number"),
        ("+5 %", Fraction(1, 20), "a plain number"),
        ("64", Fraction(64), "a plain number"),
        ("64 sts", Fraction(64), "stitches"),
        ("1 st", Fraction(1), "stitches"),
        ("16 rounds", Fraction(16), "rounds"),
        ("32 rows", Fraction(32), "rounds"),
    ],
)
def test_a_number_is_read_with_its_unit(text: str, amount: Fraction, unit: str) -> None:
    """Centimetres, inches with fractions, per cent, counts: each to its exact amount."""
    found = read_quantity(text)
    assert (found.amount, found.unit_name) == (amount, unit)


@pytest.mark.parametrize("text", ["", "cm", "22.5 ells", "1/0 in", "twelve", "5 5 cm", "1e9 cm", "--5", "5 cm 3"])
def test_what_is_no_amount_is_refused(text: str) -> None:
    """A unit nobody knits by, a number without digits, a division by zero: a `UnitError`."""
    with pytest.raises(UnitError):
        read_quantity(text)


@settings(QUICK)
@given(st.text(max_size=20))
def test_reading_any_text_gives_an_amount_or_a_unit_error(text: str) -> None:
    """Nothing else leaves the reader."""
    mistake = mistake_of(UnitError, lambda: read_quantity(text))
    assert str(mistake) if mistake else isinstance(read_quantity(text).amount, Fraction)


@settings(QUICK)
@given(st.fractions(-300, 300, max_denominator=60), st.sampled_from((1, 2, 4, Fraction(1, 5))))
def test_rounding_takes_the_nearest_step_and_halves_away_from_nought(amount: Fraction, parts: Fraction) -> None:
    """Never further off than half a step; a half goes away from zero; the sign doesn't matter."""
    step = 1 / Fraction(parts)
    found = round_half_up(amount, step)
    assert found % step == 0
    assert abs(found - amount) <= step / 2
    assert round_half_up(-amount, step) == -found
    if abs(found - amount) == step / 2:
        assert abs(found) > abs(amount)


@settings(QUICK)
@given(_quantities)
def test_floor_and_ceiling_lie_around_the_amount_in_its_unit(value: Quantity) -> None:
    """The whole numbers at or below and at or above; the same where it is whole, which `whole` then gives."""
    assert value.floor().amount <= value.amount <= value.ceil().amount
    assert value.floor().dims == value.ceil().dims == value.dims
    if value.amount.denominator == 1:
        assert value.floor() == value.ceil() == value
        assert value.whole() == value.amount
    else:
        with pytest.raises(UnitError, match="not a whole number"):
            value.whole()


def test_what_can_be_counted_is_stitches_rounds_or_a_bare_number() -> None:
    """A length can't be counted off on the needles."""
    assert stitches(1).is_count
    assert rounds(1).is_count
    assert Quantity(Fraction(1)).is_count
    assert not cm(1).is_count
    assert cm(1).is_length
