"""Lengths in print: centimetres to the nearest half, inches to the nearest quarter, from one value.

Rounding: common practice in printed patterns.
"""

from __future__ import annotations

from fractions import Fraction

from grader.vocabulary.quantities import CM_PER_INCH, Quantity, round_half_up

UNITS = ("cm", "in", "both")
_FRACTIONS = {0: "", 1: "¼", 2: "½", 3: "¾"}


def print_cm(amount: Fraction) -> str:
    """ "4.5" for 4.6 cm."""
    return f"{float(round_half_up(amount, Fraction(1, 2))):g}"


def print_inches(amount: Fraction) -> str:
    """ "1¾" for 4.6 cm; the amount given is in centimetres."""
    quarters = int(round_half_up(amount / CM_PER_INCH, Fraction(1, 4)) * 4)
    whole, part = divmod(quarters, 4)
    return f"{whole or ''}{_FRACTIONS[part]}" if quarters else "0"


def print_length(amount: Fraction, units: str = "cm") -> str:
    """A length of so many cm in "cm", "in" or "both": "4.5 cm", "1¾ in", "4.5 cm / 1¾ in"."""
    if units == "cm":
        return f"{print_cm(amount)} cm"
    if units == "in":
        return f"{print_inches(amount)} in"
    return f"{print_cm(amount)} cm / {print_inches(amount)} in"


def print_quantity(value: Quantity, units: str = "cm") -> str:
    """A graded number in prose: a count as it is, a length in the units asked for."""
    if value.is_length:
        return print_length(value.amount, units)
    return f"{float(value.amount):g}"
