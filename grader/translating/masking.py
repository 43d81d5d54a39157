"""Numbers are taken out of a text before its words are looked at, and put back in the language's own way.

What counts as one number: `16`, `16 (18, 20)` for several sizes, `2.5`, `1½`, and the bold letter that stands for a
row of them. A dash is a number only within or before a bracket. Digits within a name (k2tog, CC1) are letters of it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from functools import lru_cache

from grader.models.language import Language

FIRST_MASK = 0xE000  # characters of private use, one for each number of a text
MASK = "[\ue000-\uf8ff]"
_LETTER = r"\*\*(?:[A-Z]+)\*\*"
_GLUED = ("K", "P", "k", "p", "Sl", "sl")
_FRACTIONS = "¼½¾⅛⅜⅝⅞"


@lru_cache(maxsize=16)
def _pattern(decimal: str, between: str, none: str, glued: tuple[str, ...]) -> re.Pattern[str]:
    """`single` is an abbreviation that a number follows without a space, `name` one that holds digits."""
    number = rf"\d++(?:{re.escape(decimal)}\d++)?+[{_FRACTIONS}]?+|[{_FRACTIONS}]|{_LETTER}"
    each = f"(?>{number})" if re.fullmatch(number, none) else f"(?>{number}|{re.escape(none)})"
    bracket = rf" \({each}(?:{re.escape(between)}{each})*+\)"
    value = f"(?:(?:{number})(?:{bracket})?|{re.escape(none)}{bracket})"
    single = "|".join(sorted((re.escape(word) for word in glued), key=len, reverse=True)) or "(?!)"
    return re.compile(
        rf"(?<![^\W_])(?P<single>{single})\u00a0?(?P<after>{value})(?![^\W\d_])"
        rf"|(?P<name>(?<![^\W\d_])[^\W\d_]+\d\w*)"
        rf"|(?P<value>{value})"
    )


def english_pattern() -> re.Pattern[str]:
    """What is a number in our English print."""
    return _pattern(".", ", ", "–", _GLUED)


def pattern_of(language: Language, glued: Collection[str]) -> re.Pattern[str]:
    """What is a number in print of that language; `glued` are abbreviations that numbers follow without a space."""
    return _pattern(language.decimal, language.between, language.none, tuple(sorted(glued)))


def masked(text: str, pattern: re.Pattern[str]) -> tuple[str, list[str]]:
    """The text with a character of private use for each number, and the numbers."""
    values: list[str] = []

    def mask(found: re.Match[str]) -> str:
        if found["name"]:
            return found[0]
        values.append(found["after"] or found["value"])
        return (found["single"] or "") + chr(FIRST_MASK + len(values) - 1)

    return pattern.sub(mask, text), values


def value_at(sign: str, values: Sequence[str]) -> str:
    """The number that a character of private use stands for."""
    return values[ord(sign) - FIRST_MASK]


def english_value(value: str, language: Language) -> str:
    """A number of that language as English prints it."""
    parts = [_swapped(part, language.decimal, ".") for part in _parts(value, language.between)]
    if len(parts) == 1:  # a language may print none as 0, which alone is a number like others
        return parts[0]
    shown = ["–" if part == language.none else part for part in parts]
    return f"{shown[0]} ({', '.join(shown[1:])})"


def told_value(value: str, language: Language) -> str:
    """An English number as the language prints it: 16 (18, 20.5) becomes 16 (18/20,5)."""
    parts = [_swapped(part, ".", language.decimal) for part in _parts(value, ", ")]
    shown = [language.none if part == "–" else part for part in parts]
    return shown[0] if len(shown) == 1 else f"{shown[0]} ({language.between.join(shown[1:])})"


def _parts(value: str, between: str) -> list[str]:
    first, bracket, rest = value.partition(" (")
    return [first, *rest.removesuffix(")").split(between)] if bracket else [first]


def _swapped(number: str, old: str, new: str) -> str:
    return number.replace(old, new) if number[:1].isdigit() else number


def unmasked(text: str, values: Sequence[str], language: Language | None) -> str:
    """The text with its numbers again, in that language, or in English for None; a letter keeps clear of a word."""
    out: list[str] = []
    for sign in text:
        place = ord(sign) - FIRST_MASK
        if 0 <= place < len(values):
            shown = told_value(values[place], language) if language else values[place]
            if shown.startswith("**") and out and out[-1][-1:].isalpha():
                out.append("\u00a0")
            out.append(shown)
        else:
            out.append(sign)
    return "".join(out)


def single_values(value: str) -> list[str]:
    """The number of each size that a number stands for; nothing where a letter hides them."""
    return [part for part in _parts(value, ", ") if not part.startswith("**")]
