"""A formula in words and as a sum: names by what they are called, products with ×, brackets only where they matter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from grader.vocabulary.formulas import Names, Term
from grader.vocabulary.quantities import Quantity

BLANK = "…………"  # room to write a number of two or three figures
_SIGNS = {"+": "+", "-": "−", "*": "×", "/": "÷"}
_LOOSE, _TIGHT, _WHOLE = 1, 2, 3  # how firmly the parts of a told formula hold together
_CALLS = {"min": "the smaller of", "max": "the larger of", "abs": "the size of"}
_ROUNDED = {"floor": "rounded down", "ceil": "rounded up"}

Say = Callable[[str], str]
_Leaf = Callable[[Term], str]


def _as_it_is(text: str) -> str:
    return text


def told(term: Term, labels: Mapping[str, str], say: Say = _as_it_is) -> str:
    """The rule in words: foot round the ball × 90 % × stitches in 1 cm."""
    return _told(_simple(term), lambda leaf: labels.get(leaf.word, leaf.word), say)[0]


def summed(term: Term, names: Names, say: Say = _as_it_is) -> str:
    """The sum with the numbers of one size: 22.5 × 0.9 × 3.2."""
    return _told(_simple(term), lambda leaf: decimal(names[leaf.word].amount), say)[0]


def blanks(term: Term, names: Names, say: Say = _as_it_is) -> str:
    """The sum with a blank for each number that differs from foot to foot; what the pattern has chosen stands there."""

    def leaf_told(leaf: Term) -> str:
        chosen = "." in leaf.word and not leaf.word.startswith(("gauge.", "usual."))
        return decimal(names[leaf.word].amount) if chosen else BLANK

    return _told(_simple(term), leaf_told, say)[0]


def decimal(amount: Fraction) -> str:
    """A number as it is written in a sum, to two places: 64, 64.8, 0.9."""
    text = f"{float(amount):.2f}".rstrip("0").rstrip(".")
    return text.replace("-", "−")


def is_single(term: Term) -> bool:
    """True where there is nothing to work out: a name or a number alone."""
    return _simple(term).kind in ("name", "number")


def _simple(term: Term) -> Term:
    """The formula without what only changes units: × 1 round, ÷ 1 st."""
    parts = tuple(_simple(part) for part in term.parts)
    if term.kind in ("*", "/") and _is_one(parts[1]):
        return parts[0]
    if term.kind == "*" and _is_one(parts[0]):
        return parts[1]
    if term.kind == "+" and len(parts) == 2 and _is_one(parts[0]) and parts[1].word.startswith("fit."):
        return Term("name", f"1+{parts[1].word}")
    return Term(term.kind, term.word, term.amount, parts)


def _is_one(term: Term) -> bool:
    return term.kind == "number" and term.amount.amount == 1 and term.word not in ("cm", "mm", "in", "%")


def _told(term: Term, leaf: _Leaf, say: Say) -> tuple[str, int]:
    """The words, and how firmly they hold together."""
    if term.kind == "name":
        return leaf(term), _WHOLE
    if term.kind == "number":
        return _number(term.amount, term.word), _WHOLE
    if term.kind == "call":
        return _call(term, leaf, say)
    if len(term.parts) == 1:
        return f"−{_bracketed(term.parts[0], leaf, say, _WHOLE)}", _TIGHT
    firm = _LOOSE if term.kind in "+-" else _TIGHT
    left = _bracketed(term.parts[0], leaf, say, firm)
    right = _bracketed(term.parts[1], leaf, say, firm if term.kind in "+*" else firm + 1)
    return f"{left} {_SIGNS[term.kind]} {right}", firm


def _bracketed(term: Term, leaf: _Leaf, say: Say, firm: int) -> str:
    text, holds = _told(term, leaf, say)
    return text if holds >= firm else f"({text})"


def _call(term: Term, leaf: _Leaf, say: Say) -> tuple[str, int]:
    parts = [_told(part, leaf, say)[0] for part in term.parts]
    if term.word in _ROUNDED:
        return f"({parts[0]} {say(_ROUNDED[term.word])})", _WHOLE
    both = f" {say('and')} "
    return f"({say(_CALLS[term.word])} {both.join(parts)})", _WHOLE


def _number(amount: Quantity, unit: str) -> str:
    if unit == "%":
        return f"{decimal(amount.amount * 100)} %"
    return decimal(amount.amount)
