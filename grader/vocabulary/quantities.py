"""Exact quantities with their units: stitches, rounds, centimetres and what they make.

A quantity is a `Fraction` with an exponent for stitches, rounds and centimetres. A gauge of
32 stitches to 10 cm is 16/5 stitches per centimetre; a length times that is stitches again.
A bare number fits any single unit ("heel / 2 + 1"), as it does in a knitter's head, but
stitches never add to centimetres, nor stitches to rounds.

A count that a length was turned into by a gauge is `measured`. A number of stitches may be re-read as as many
rounds where it was counted, as a square flap has a row for each stitch of the heel; where it was measured it would be
a height by the gauge of the width. Dividing by stitches or rounds ("/ 2 sts") leaves a plain number of times, which was
not measured.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from fractions import Fraction

CM_PER_INCH = Fraction(254, 100)  # exact by definition of the international inch (1959)
METRES_PER_YARD = Fraction("0.9144")  # the international yard (1959), exact by definition
GRAMS_PER_OUNCE = Fraction("28.349523125")  # the international avoirdupois ounce, exact by definition
_UNITS: dict[str, tuple[tuple[int, int, int], Fraction]] = {
    "": ((0, 0, 0), Fraction(1)),
    "%": ((0, 0, 0), Fraction(1, 100)),
    "st": ((1, 0, 0), Fraction(1)),
    "sts": ((1, 0, 0), Fraction(1)),
    "stitch": ((1, 0, 0), Fraction(1)),
    "stitches": ((1, 0, 0), Fraction(1)),
    "round": ((0, 1, 0), Fraction(1)),
    "rounds": ((0, 1, 0), Fraction(1)),
    "row": ((0, 1, 0), Fraction(1)),
    "rows": ((0, 1, 0), Fraction(1)),
    "mm": ((0, 0, 1), Fraction(1, 10)),
    "cm": ((0, 0, 1), Fraction(1)),
    "m": ((0, 0, 1), Fraction(100)),
    "in": ((0, 0, 1), CM_PER_INCH),
    "inch": ((0, 0, 1), CM_PER_INCH),
    "inches": ((0, 0, 1), CM_PER_INCH),
    '"': ((0, 0, 1), CM_PER_INCH),
}
UNIT_WORDS = tuple(word for word in _UNITS if word.isalpha())
_NAMES = {
    (0, 0, 0): "a plain number",
    (1, 0, 0): "stitches",
    (0, 1, 0): "rounds",
    (0, 0, 1): "a length",
    (1, 0, -1): "stitches per length",
    (0, 1, -1): "rounds per length",
}
_TEXT = re.compile(  # a fraction, a number with or without one, or a fraction in one sign; each piece is read but once
    r"\s*+([-+\u2212\u2013]?)\s*+"
    r"(?:(\d++)\s*+/\s*+(\d++)|(\d++(?:[.,]\d++)?)(?:\s++(\d++)\s*+/\s*+(\d++)|\s*+([¼½¾⅛⅜⅝⅞]))?|([¼½¾⅛⅜⅝⅞]))"
    r"\s*+(%|\"|[A-Za-z]*+)\s*+"
)
_VULGAR = {
    "¼": Fraction(1, 4),
    "½": Fraction(1, 2),
    "¾": Fraction(3, 4),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}


LONGEST = 60  # characters of an amount as it is typed; no measure has half as many


class UnitError(ValueError):
    """Two quantities that can't be put together, said in words."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact amount; `dims` are the exponents of (stitches, rounds, centimetres).

    `measured` is true where a length has gone into a count.
    """

    amount: Fraction
    dims: tuple[int, int, int] = (0, 0, 0)
    measured: bool = field(default=False, compare=False)

    def __add__(self, other: Quantity) -> Quantity:
        return Quantity(self.amount + other.amount, self._shared(other, "add", "to"), self.measured or other.measured)

    def __sub__(self, other: Quantity) -> Quantity:
        dims = self._shared(other, "take", "from", swap=True)
        return Quantity(self.amount - other.amount, dims, self.measured or other.measured)

    def __mul__(self, other: Quantity) -> Quantity:
        return self._product(self.amount * other.amount, other, 1)

    def __truediv__(self, other: Quantity) -> Quantity:
        if not other.amount:
            raise UnitError("this divides by zero")
        return self._product(self.amount / other.amount, other, -1)

    def __neg__(self) -> Quantity:
        return Quantity(-self.amount, self.dims, self.measured)

    def _product(self, amount: Fraction, other: Quantity, power: int) -> Quantity:
        a, b = self.dims, other.dims
        dims = (a[0] + power * b[0], a[1] + power * b[1], a[2] + power * b[2])
        has_length = self.measured or other.measured or bool(a[2] or b[2])
        counted_off = dims == (0, 0, 0) and any(a[:2])  # so many stitches by so many: how many times
        return Quantity(amount, dims, has_length and not dims[2] and not counted_off)

    def _shared(self, other: Quantity, verb: str, joint: str, swap: bool = False) -> tuple[int, int, int]:
        if self.dims == other.dims or other.is_plain:
            return self.dims
        if self.is_plain:
            return other.dims
        first, second = (other, self) if swap else (self, other)
        raise UnitError(f"can't {verb} {first.unit_name} {joint} {second.unit_name}")

    @property
    def is_plain(self) -> bool:
        """A number without a unit."""
        return self.dims == (0, 0, 0)

    @property
    def is_length(self) -> bool:
        """Centimetres."""
        return self.dims == (0, 0, 1)

    @property
    def is_stitches(self) -> bool:
        """Stitches."""
        return self.dims == (1, 0, 0)

    @property
    def is_rounds(self) -> bool:
        """Rounds or rows, which are one unit."""
        return self.dims == (0, 1, 0)

    @property
    def is_count(self) -> bool:
        """Stitches, rounds, or a bare number: what can be counted off on the needles."""
        return self.dims in ((0, 0, 0), (1, 0, 0), (0, 1, 0))

    @property
    def unit_name(self) -> str:
        """The unit in words, for messages."""
        return _NAMES.get(self.dims, "a mixed unit")

    def whole(self) -> int:
        """The amount as a count; `UnitError` if it is not a whole number."""
        if self.amount.denominator != 1:
            raise UnitError(f"{float(self.amount):g} is not a whole number")
        return int(self.amount)

    def floor(self) -> Quantity:
        """The whole number at or below, same unit."""
        return Quantity(Fraction(math.floor(self.amount)), self.dims, self.measured)

    def ceil(self) -> Quantity:
        """The whole number at or above, same unit."""
        return Quantity(Fraction(math.ceil(self.amount)), self.dims, self.measured)


def stitches(count: int | Fraction) -> Quantity:
    """A number of stitches."""
    return Quantity(Fraction(count), (1, 0, 0))


def rounds(count: int | Fraction) -> Quantity:
    """A number of rounds or rows."""
    return Quantity(Fraction(count), (0, 1, 0))


def cm(amount: int | Fraction | str) -> Quantity:
    """A length in centimetres."""
    return Quantity(Fraction(amount), (0, 0, 1))


def read_quantity(text: str) -> Quantity:
    """Read "22.5 cm", "8 3/4 in", "8½ in", "-10 %", "64"; `UnitError` says what is wrong."""
    if len(text) > LONGEST:
        raise UnitError(f"{text[:20]!r}... is not a number with a unit")
    match = _TEXT.fullmatch(text)
    if not match:
        raise UnitError(f"{text!r} is not a number with a unit")
    sign, unit = match[1], match[9]
    whole, over, under, vulgar = match[4], match[2] or match[5], match[3] or match[6], match[7] or match[8]
    if unit.lower() not in _UNITS:
        known = ", ".join(word for word in ("mm", "cm", "in", "%", "sts", "rounds"))
        raise UnitError(f"unknown unit {unit!r}; known are {known}")
    if under and int(under) == 0:
        raise UnitError("this divides by zero")
    amount = Fraction((whole or "0").replace(",", "."))
    amount += Fraction(int(over), int(under)) if over else _VULGAR.get(vulgar or "", Fraction(0))
    dims, factor = _UNITS[unit.lower()]
    return Quantity(-amount * factor if sign and sign != "+" else amount * factor, dims)


def unit_of(word: str) -> Quantity:
    """One of the unit named, such as "cm" or "sts"."""
    dims, factor = _UNITS[word.lower()]
    return Quantity(factor, dims)


def round_half_up(amount: Fraction, step: Fraction = Fraction(1)) -> Fraction:
    """The multiple of `step` nearest to `amount`; halves go away from zero."""
    scaled = abs(amount) / step
    nearest = math.floor(scaled + Fraction(1, 2)) * step
    return nearest if amount >= 0 else -nearest


def nearest_count(amount: Fraction) -> int:
    """The whole number nearest to `amount`; halfway goes to the smaller, as graded numbers do."""
    return math.ceil(amount - Fraction(1, 2))
