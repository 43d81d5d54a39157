"""Reading single values of a pattern file: lengths, shares, formulas, lines, prose.

Each reader takes what stands in the file (a text, or a list, map or nothing where a text was due)
and returns its exact value, or raises `Misfit`: what is wrong, what would mend it, and where.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from grader.loading.misfits import Misfit, braces
from grader.vocabulary.formulas import Formula, FormulaError, read_formula
from grader.vocabulary.quantities import UNIT_WORDS, Quantity, UnitError, read_quantity
from grader.vocabulary.statements import parted
from grader.vocabulary.yarn_weights import yarn_weights

SETUPS = ("short circular", "long circular (magic loop)", "double-pointed, set of 5", "double-pointed, set of 4")
_SETUP_WORDS: dict[str, tuple[str, ...]] = {
    **{name: (name,) for name in SETUPS},
    "long circular": (SETUPS[1],),
    "double-pointed set of 5": (SETUPS[2],),
    "double-pointed set of 4": (SETUPS[3],),
    "double-pointed": SETUPS[2:],
}
SETUP_NAMES = (
    "short circular",
    "long circular",
    "double-pointed",
    "double-pointed set of 5",
    "double-pointed set of 4",
)
_WEIGHT_TYPES = {
    "fingering": "super fine",
    "sock": "super fine",
    "4-ply": "super fine",
    "4 ply": "super fine",
    "sport": "fine",
    "dk": "light",
    "double knitting": "light",
    "worsted": "medium",
    "aran": "medium",
    "chunky": "bulky",
}
_LONGEST_VALUE, _LONGEST_FORMULA = 60, 400
_WORD = re.compile(r"[A-Za-z_]\w*")
_MASS = re.compile(r"(\d+(?:\.\d+)?)\s*g")
_HOLE = re.compile(r"[{}]")
_SIGNS = re.compile(r"<=|>=|!=|==|=|<|>")
_RESERVED = {"min", "max", "floor", "ceil", "abs", *UNIT_WORDS}


def closest(word: str, known: Iterable[str]) -> str:
    """The known word most like `word`, or nothing if none comes near."""
    return next(iter(difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)), "")


def suggestion(word: str, known: Iterable[str]) -> str:
    """ "did you mean 'cuff'?", or the words there are."""
    words = list(dict.fromkeys(known))
    near = closest(word, words)
    if near:
        return f"did you mean {near!r}?"
    return f"there are {', '.join(words[:12])}" if words else "there are none"


def kind_of(value: Any) -> str:
    """What a value is, in the words of the findings."""
    if value is None:
        return "nothing"
    return "a list" if isinstance(value, list) else "a set of keys" if isinstance(value, dict) else f"{value!r}"


def text_of(value: Any, wanted: str, example: str) -> str:
    """A text, trimmed; anything else is a misfit that names what was wanted."""
    if isinstance(value, str):
        return value
    if isinstance(value, dict) and len(value) == 1 and next(iter(value.values())) is None:
        inner = next(iter(value))
        raise Misfit(f"{{{inner}}} without quotes is not a formula in YAML", f'write "{{{inner}}}"')
    raise Misfit(f"{wanted} belongs here, but {kind_of(value)} stands here", f"write {example}")


def text(value: Any) -> str:
    """Plain text of the designer's."""
    return text_of(value, "a text", "a text, in quotes if it holds a colon").strip()


def word(value: Any) -> str:
    """The name of a number or a stitch pattern: letters, digits and _."""
    name = text(value)
    if not _WORD.fullmatch(name):
        raise Misfit(f"{name!r} can't be a name", "use letters, digits and _, beginning with a letter")
    if name in _RESERVED:
        raise Misfit(f"{name!r} means something in formulas", "give it another name")
    return name


def region(value: Any) -> str:
    """The name of a stretch of stitches: up to three plain words, as a line can read them: heel, left heel."""
    name = text_of(value, "the name of a region", "a region such as heel").strip()
    if not re.fullmatch(r"[A-Za-z]{1,20}( [A-Za-z]{1,20}){0,2}", name):
        raise Misfit(f"{name!r} can't be the name of a region", "use a word such as heel or instep")
    return name


def _quantity(value: Any, wanted: str, example: str) -> Quantity:
    written = text_of(value, wanted, example)
    if len(written) > _LONGEST_VALUE:
        raise Misfit(f"{wanted} belongs here, but a long text stands here", f"write {example}")
    try:
        return read_quantity(written)
    except UnitError as mistake:
        if re.search(r"unknown unit|divides", str(mistake)):
            raise Misfit(str(mistake), f"write {example}") from None
        raise Misfit(f"{wanted} belongs here, such as {example}; {written!r} stands here", f"write {example}") from None


def _checked(quantity: Quantity, right: bool, value: Any, wanted: str, example: str) -> Fraction:
    if not right:
        raise Misfit(f"{wanted} belongs here, such as {example}; {value!r} stands here", f"write {example}")
    return quantity.amount


def length(value: Any) -> Fraction:
    """A length above nothing and below 2 m, in centimetres."""
    quantity = _quantity(value, "a length", "4 cm")
    if quantity.is_plain and not str(value).strip().endswith("%"):
        number = str(value).strip()
        message = f"a length belongs here, such as 4 cm; {number!r} has no unit"
        raise Misfit(message, f"write {number} cm or {number} in")
    amount = _checked(quantity, quantity.is_length, value, "a length", "4 cm")
    if not 0 < amount < 200:
        raise Misfit(f"{value!r} is no length on a sock", "write a length above 0 and below 200 cm")
    return amount


def share(value: Any) -> Fraction:
    """A percentage between -60 % and 60 %, as a share of 1."""
    quantity = _quantity(value, "a percentage", "-10 %")
    right = quantity.is_plain and str(value).strip().endswith("%")
    amount = _checked(quantity, right, value, "a percentage", "-10 %")
    if abs(amount) > Fraction(3, 5):
        raise Misfit(f"{value!r} is too much ease for a sock", "write a percentage between -60 % and 60 %")
    return amount


def number(value: Any) -> Fraction:
    """A plain number above nothing and below 100 000."""
    quantity = _quantity(value, "a number", "32")
    right = quantity.is_plain and not str(value).strip().endswith("%")
    amount = _checked(quantity, right, value, "a number", "32")
    if not 0 < amount < 100_000:
        raise Misfit(f"{value!r} is not a number above 0 and below 100 000", "correct the number")
    return amount


def tally(value: Any) -> tuple[int, int]:
    """A count of the sample's log and how often it comes: "64 x 15" is 64 stitches after each of 15 rounds."""
    written = text_of(value, "a whole number", "64").strip()
    match = re.fullmatch(r"([0-9]{1,5})(?:\s*[x×]\s*([0-9]{1,4}))?", written)
    if not match:
        raise Misfit(
            f"a whole number belongs here, such as 64; {written!r} stands here", "write the count in digits, or 64 x 15"
        )
    return int(match[1]), int(match[2] or 1)


def figure(value: Any) -> Quantity:
    """A figure of the sample: a count, or a length with its unit."""
    quantity = _quantity(value, "a count or a length", "64 or 4 cm")
    if not (quantity.is_count or quantity.is_length) or quantity.amount < 0:
        raise Misfit(f"{value!r} is neither a count nor a length", "write 64, or 4 cm")
    return quantity


def mass(value: Any) -> Fraction:
    """A weight in grams."""
    written = text_of(value, "a weight", "100 g").strip()
    match = _MASS.fullmatch(written[:_LONGEST_VALUE])
    if not match or not Fraction(match[1]):
        raise Misfit(f"a weight belongs here, such as 100 g; {written!r} stands here", "write 100 g")
    return Fraction(match[1])


def yarn_weight(value: Any) -> str:
    """A yarn weight by its standard name."""
    name = text_of(value, "a yarn weight", "super fine").strip()
    known = [weight.name for weight in yarn_weights()]
    if name.lower() in known:
        return name.lower()
    usual = _WEIGHT_TYPES.get(name.lower())
    mend = f"write {usual}" if usual else suggestion(name.lower(), known)
    raise Misfit(f"{name!r} is not a standard yarn weight", mend)


def setups(value: Any) -> tuple[str, ...]:
    """The needle setups a name stands for; "double-pointed" is both sets."""
    name = text_of(value, "a needle setup", "short circular").strip()
    if name.lower() not in _SETUP_WORDS:
        raise Misfit(f"unknown needle setup {name!r}", suggestion(name.lower(), SETUP_NAMES))
    return _SETUP_WORDS[name.lower()]


def formula(value: Any, example: str = "cast_on / 2") -> Formula:
    """A bare formula, as the rules of `numbers` have it."""
    return formula_at(text_of(value, "a formula", example), 0)


def formula_at(written: str, offset: int) -> Formula:
    """The formula `written`, which begins at the character `offset` of its value."""
    if len(written) > _LONGEST_FORMULA:
        raise Misfit(f"this formula is longer than {_LONGEST_FORMULA} characters", "break it into several", offset)
    braces = _HOLE.search(written)
    if braces:
        raise Misfit("a formula here stands without braces", "delete the braces", offset + braces.start())
    try:
        return read_formula(written)
    except FormulaError as mistake:
        raise Misfit(
            f"this formula can't be read: {mistake}", "correct the formula", offset + mistake.offset, code="formula"
        ) from None


def holes(written: str) -> list[tuple[int, Formula]]:
    """The formulas in the braces of a line, each with the offset of its first character."""
    return [(start, formula_at(written[start:end], start)) for start, end in braces(written)]


def statements(written: str) -> list[tuple[int, Formula, int, str]]:
    """The numbers in prose: each formula and the kind beside it, both with the offset of their first characters."""
    found = []
    for start, end in braces(written):
        formula, kind, at = parted(written[start:end])
        found.append((start, formula_at(formula, start), start + at, kind))
    return found


def prose(value: Any) -> str:
    """Prose with {number, kind} placeholders and nothing else to be run."""
    written = text_of(value, "a text", "a text, in quotes if it holds a colon")
    statements(written)
    return written


def count(value: Any) -> Formula:
    """A count: a whole number, or a formula in braces."""
    written = text_of(value, "a count", '"{cast_on / 2}"')
    inner = written.strip()
    if re.fullmatch(r"[0-9]{1,5}", inner):
        return read_formula(inner)
    if not (inner.startswith("{") and inner.endswith("}")):
        mend = f'write "{{{inner}}}"' if _WORD.match(inner) else 'write a whole number or "{cast_on / 2}"'
        raise Misfit(f"a count belongs here; {inner!r} is neither a whole number nor a formula in braces", mend)
    return formula_at(inner[1:-1], written.index("{") + 1)


def all_or_count(value: Any) -> Formula | None:
    """A count, or the word all (None)."""
    return None if isinstance(value, str) and value.strip() == "all" else count(value)


def extent(value: Any) -> Formula:
    """A length to work for: a formula in braces, or a length such as 4 cm."""
    written = text_of(value, "a length", '"{cuff_length}" or 4 cm')
    inner = written.strip()
    if inner.startswith("{") and inner.endswith("}"):
        return formula_at(inner[1:-1], written.index("{") + 1)
    amount = length(written)
    return read_formula(f"{amount.numerator} cm / {amount.denominator}")


def until(value: Any) -> Formula | None:
    """A number of stitches to come down or up to, or None for "no stitches beyond the gap"."""
    written = text_of(value, "a state", '"{toe_end} sts" or no stitches beyond the gap').strip()
    if " ".join(written.split()) == "no stitches beyond the gap":
        return None
    match = re.fullmatch(r"(\{[^{}]*\}|[0-9]{1,5})\s+(?:sts?|stitches)", written)
    if not match:
        raise Misfit(f"{written!r} is not a state to stop at", 'write "{toe_end} sts", or no stitches beyond the gap')
    return count(match[1])


def comparison(value: Any) -> tuple[tuple[Formula, int], str, tuple[Formula, int]]:
    """ "a < b": two formulas with their offsets, and the sign between them."""
    written = text_of(value, "a comparison", "heel_rows > 30")
    signs = list(_SIGNS.finditer(written))
    if len(signs) != 1:
        raise Misfit(
            "a comparison has two formulas and one of < <= = != >= > between them",
            "write it like heel_rows > 30",
            signs[1].start() if signs else 0,
        )
    sign = signs[0]
    left = formula_at(written[: sign.start()], 0)
    right = formula_at(written[sign.end() :], sign.end())
    return (left, 0), "=" if sign[0] == "==" else sign[0], (right, sign.end())


def start(value: Any) -> str:
    """Where the round begins: "start of REGION" or "centre of REGION"."""
    written = text_of(value, "a place", "start of instep").strip()
    match = re.fullmatch(r"(start|centre|center) of (?:the )?([A-Za-z][A-Za-z _-]{0,30})", written)
    if not match:
        raise Misfit(f"{written!r} is no place for the start of the round", "write start of REGION or centre of REGION")
    return f"{'start' if match[1] == 'start' else 'centre'} of {match[2]}"


def arrangement(value: Any) -> str:
    """The word halves, or nothing where the regions say how the stitches lie."""
    if value is None:
        return ""
    written = text_of(value, "the word halves", "halves, or nothing and give the regions").strip()
    if written != "halves":
        raise Misfit(f"{written!r} is no way to arrange stitches", "write halves, or nothing and give the regions")
    return written
