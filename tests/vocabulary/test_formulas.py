"""Formulas of a pattern file come to just what fractions come to, or say what is wrong and where."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK, formulas, mistake_of

from grader.vocabulary.formulas import FormulaError, read_formula
from grader.vocabulary.quantities import Quantity, cm, rounds, stitches

PLAIN = {"x": Quantity(Fraction(7)), "y": Quantity(Fraction(5, 2))}
NAMES = {
    "heel": stitches(32),
    "rounds_done": rounds(16),
    "foot": cm("22.5"),
    "gauge.stitches": Quantity(Fraction(32, 10), (1, 0, -1)),
    "none": stitches(0),
}


@settings(QUICK, max_examples=150)
@given(formulas)
def test_a_formula_comes_to_what_fractions_come_to(told: tuple[str, Fraction]) -> None:
    """Sums, products, brackets, signs and functions, to the last third."""
    text, value = told
    mistake = mistake_of(FormulaError, lambda: read_formula(text))
    if mistake is not None:  # deeper than anyone writes
        assert "too deeply" in str(mistake)
        return
    found = read_formula(text)
    assert found.value(PLAIN) == Quantity(value)
    assert found.names <= {"x", "y"}


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("2 + 3 * 4", 14),
        ("2 * 3 + 4", 10),
        ("10 - 4 - 3", 3),
        ("24 / 4 / 2", 3),
        ("-2 * 3", -6),
        ("2 - -3", 5),
        ("(2 + 3) * 4", 20),
        ("floor(-1 / 2)", -1),
        ("ceil(-1 / 2)", 0),
        ("min(3, 2, 4)", 2),
        ("max(abs(-5), 2)", 5),
        ("10 %", Fraction(1, 10)),
    ],
)
def test_signs_bind_as_they_do_on_paper(text: str, amount: Fraction) -> None:
    """Products before sums, from left to right."""
    assert read_formula(text).value({}).amount == amount


@pytest.mark.parametrize(
    ("text", "unit", "amount"),
    [
        ("heel / 2 + 1", "stitches", 17),
        ("foot * gauge.stitches", "stitches", 72),
        ("heel / gauge.stitches", "a length", 10),
        ("heel / heel", "a plain number", 1),
        ("2 in", "a length", Fraction(508, 100)),
        ("max(heel, 40)", "stitches", 40),
        ("foot - 10 mm", "a length", Fraction(43, 2)),
    ],
)
def test_units_follow_through_a_formula(text: str, unit: str, amount: Fraction) -> None:
    """Stitches by a gauge are a length, a length by it stitches; a bare number takes the unit beside it."""
    found = read_formula(text).value(NAMES)
    assert (found.unit_name, found.amount) == (unit, amount)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("heel + foot", "can't add stitches to a length|can't add a length to stitches"),
        ("heel - rounds_done", "can't take"),
        ("max(heel, foot)", "can't compare"),
        ("heel / none", "divides by zero"),
        ("toes", "unknown name 'toes'"),
        ("floor(1, 2)", "floor takes one value"),
    ],
)
def test_what_has_no_meaning_is_refused_in_words(text: str, words: str) -> None:
    """Stitches never add to centimetres; nothing divides by zero; a name must be known."""
    with pytest.raises(FormulaError, match=words):
        read_formula(text).value(NAMES)


@pytest.mark.parametrize(
    ("text", "offset"),
    [
        ("", 0),
        ("heel +", 6),
        ("heel heel", 5),
        ("(heel", 5),
        ("2 ** 3", 3),
        ("heel; 1", 4),
        ("__import__(1)", 10),
        ("1 2", 2),
    ],
)
def test_a_formula_that_cannot_be_read_names_the_character(text: str, offset: int) -> None:
    """The place is that of the first character that doesn't fit."""
    with pytest.raises(FormulaError) as caught:
        read_formula(text)
    assert caught.value.offset == offset


def test_brackets_that_never_end_are_refused() -> None:
    """Formulas are nested forty deep at the most, whatever nests them."""
    for text in ("(" * 5000 + "1" + ")" * 5000, "-" * 5000 + "1", "abs(" * 5000 + "1" + ")" * 5000):
        with pytest.raises(FormulaError, match="too deeply"):
            read_formula(text)


@settings(QUICK, max_examples=150)
@given(st.text(alphabet="heol+-*/(). 0123456789,%cmin_\"'é½", max_size=24))
def test_any_text_is_a_formula_or_a_formula_error(text: str) -> None:
    """Reading and working out raise nothing else."""
    mistake = mistake_of(FormulaError, lambda: read_formula(text).value(NAMES))
    assert mistake is None or 0 <= mistake.offset <= len(text)


def test_formulas_of_one_text_are_one_and_the_same() -> None:
    """They compare and hash by their text, and show it."""
    assert read_formula("heel / 2") != read_formula("heel / 3")
    assert len({read_formula("heel / 2"), read_formula("heel / 2")}) == 1
    assert repr(read_formula("heel")) == "Formula('heel')"
