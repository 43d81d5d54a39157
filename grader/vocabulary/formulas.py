"""Formulas of a pattern file: names, numbers, + - * / and brackets, evaluated exactly.

Grammar::

    sum     := product (("+" | "-") product)*
    product := factor (("*" | "/") factor)*
    factor  := "-" factor | number [unit] | name | function "(" sum ("," sum)* ")" | "(" sum ")"
    name    := word ("." word)*              cast_on, gauge.stitches, cuff.repeat

Functions: min, max, floor, ceil, abs. Nothing else runs in a pattern file.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.quantities import UNIT_WORDS, Quantity, UnitError, unit_of

_TOKEN = re.compile(r"(\d+(?:\.\d+)?)|([A-Za-z_]\w*(?:\.[A-Za-z_]\w*)*)|(\S)")
_FUNCTIONS = ("min", "max", "floor", "ceil", "abs")
_DEEPEST = 40
_DIGITS_PER_BIT = math.log10(2)


class FormulaError(ValueError):
    """What is wrong with a formula, at which character (from 0), and what would mend it, where that is known."""

    def __init__(self, message: str, offset: int = 0, mend: str = "") -> None:
        super().__init__(message)
        self.offset = offset
        self.mend = mend


Names = Mapping[str, Quantity]
_NOTHING = Quantity(Fraction(0))
_Work = Callable[[Names], Quantity]


@dataclass(frozen=True, slots=True)
class Term:
    """A formula as a tree, for those who tell it in words.

    `kind` is "number" (`amount`, with `word` as its unit), "name" (`word`), "call" (`word` is the function), or one of
    the signs + - * / with one (-) or two `parts`.
    """

    kind: str
    word: str = ""
    amount: Quantity = _NOTHING
    parts: tuple[Term, ...] = ()


@dataclass(frozen=True, slots=True)
class _Node:
    """How a part of a formula is worked out, and what it is."""

    work: _Work
    term: Term


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula read once and evaluated for each size."""

    text: str
    names: frozenset[str]
    _node: _Node

    def value(self, names: Names) -> Quantity:
        """The value with these names; `FormulaError` for a missing name or mixed units."""
        return self._node.work(names)

    @property
    def term(self) -> Term:
        """The formula as a tree."""
        return self._node.term

    def __repr__(self) -> str:
        return f"Formula({self.text!r})"

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Formula) and self.text == other.text

    def __hash__(self) -> int:
        return hash(self.text)


class _Reader:
    """Recursive descent over the tokens of one formula."""

    def __init__(self, text: str) -> None:
        self.tokens: list[tuple[str, str, int]] = []
        for match in _TOKEN.finditer(text.rstrip()):
            kind = "number" if match[1] else "name" if match[2] else "sign"
            group = 1 if match[1] else 2 if match[2] else 3
            self.tokens.append((kind, match[group], match.start(group)))
        self.at = 0
        self.length = len(text)
        self.names: set[str] = set()

    def peek(self) -> tuple[str, str, int]:
        return self.tokens[self.at] if self.at < len(self.tokens) else ("end", "", self.length)

    def take(self) -> tuple[str, str, int]:
        token = self.peek()
        self.at += 1
        return token

    def sum(self, depth: int = 0) -> _Node:
        node = self.product(depth)
        while self.peek()[1] in ("+", "-") and self.peek()[0] == "sign":
            _, sign, offset = self.take()
            node = _combined(sign, node, self.product(depth), offset)
        return node

    def product(self, depth: int) -> _Node:
        node = self.factor(depth)
        while self.peek()[1] in ("*", "/") and self.peek()[0] == "sign":
            _, sign, offset = self.take()
            node = _combined(sign, node, self.factor(depth), offset)
        return node

    def factor(self, depth: int) -> _Node:
        if depth > _DEEPEST:
            raise FormulaError("the formula is nested too deeply", self.peek()[2])
        kind, word, offset = self.take()
        if kind == "number":
            return self.literal(word)
        if kind == "name":
            return self.name(word, offset, depth)
        if word == "-":
            inner = self.factor(depth + 1)
            return _Node(lambda names: -inner.work(names), Term("-", parts=(inner.term,)))
        if word == "(":
            node = self.sum(depth + 1)
            self.expect(")")
            return node
        what = f"{word!r}" if word else "the end"
        raise FormulaError(f"expected a number, a name or a bracket, found {what}", offset)

    def literal(self, word: str) -> _Node:
        amount, unit = Quantity(Fraction(word)), ""
        following = self.peek()[1]
        if following == "%" or (self.peek()[0] == "name" and following.lower() in UNIT_WORDS):
            self.take()
            unit = following
            amount = amount * unit_of(following)
        return _Node(lambda names: amount, Term("number", unit, amount))

    def name(self, word: str, offset: int, depth: int) -> _Node:
        if word in _FUNCTIONS and self.peek()[1] == "(":
            self.take()
            parts = [self.sum(depth + 1)]
            while self.peek()[1] == ",":
                self.take()
                parts.append(self.sum(depth + 1))
            self.expect(")")
            return _called(word, parts, offset)
        self.names.add(word)

        def look_up(names: Names) -> Quantity:
            if word not in names:
                raise FormulaError(f"unknown name {word!r}", offset)
            return names[word]

        return _Node(look_up, Term("name", word))

    def expect(self, sign: str) -> None:
        _, word, offset = self.take()
        if word != sign:
            raise FormulaError(f"expected {sign!r}, found {word!r}" if word else f"{sign!r} is missing", offset)


def _combined(sign: str, left: _Node, right: _Node, offset: int) -> _Node:
    def work(names: Names) -> Quantity:
        a, b = left.work(names), right.work(names)
        try:
            if sign == "+":
                return _affordable(a + b, offset)
            if sign == "-":
                return _affordable(a - b, offset)
            return _affordable(a * b if sign == "*" else a / b, offset)
        except UnitError as mistake:
            raise FormulaError(str(mistake), offset) from None

    return _Node(work, Term(sign, parts=(left.term, right.term)))


def _affordable(value: Quantity, offset: int) -> Quantity:
    """The value, unless its fraction is so long that going on with it takes ever more time."""
    bits = max(value.amount.numerator.bit_length(), value.amount.denominator.bit_length())
    if bits * _DIGITS_PER_BIT > allowed("digits"):
        message, mend = too_much("digits", int(bits * _DIGITS_PER_BIT))
        raise FormulaError(message, offset, mend)
    return value


def _called(word: str, parts: list[_Node], offset: int) -> _Node:
    if word in ("floor", "ceil", "abs") and len(parts) != 1:
        raise FormulaError(f"{word} takes one value", offset)

    def work(names: Names) -> Quantity:
        values = [part.work(names) for part in parts]
        with_unit = [value for value in values if not value.is_plain]
        dims = with_unit[0].dims if with_unit else (0, 0, 0)
        for value in with_unit:
            if value.dims != dims:
                raise FormulaError(f"{word} can't compare {with_unit[0].unit_name} with {value.unit_name}", offset)
        if word == "floor":
            return values[0].floor()
        if word == "ceil":
            return values[0].ceil()
        if word == "abs":
            return Quantity(abs(values[0].amount), values[0].dims, values[0].measured)
        choose = min if word == "min" else max
        measured = any(value.measured for value in values)
        return Quantity(choose(value.amount for value in values), dims, measured)

    return _Node(work, Term("call", word, parts=tuple(part.term for part in parts)))


@lru_cache(maxsize=4096)
def read_formula(text: str) -> Formula:
    """Read a formula; `FormulaError` names the first character that can't be read."""
    reader = _Reader(text)
    if not reader.tokens:
        raise FormulaError("an empty formula")
    node = reader.sum()
    kind, word, offset = reader.peek()
    if kind != "end":
        raise FormulaError(f"did not expect {word!r} here", offset)
    return Formula(text, frozenset(reader.names), node)
