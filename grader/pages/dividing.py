"""Where a word may be divided at the end of a line, by the rules of its language."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pyphen import Pyphen  # type: ignore[import-untyped]

_WORD = re.compile(r"(\W*)([^\W\d_]{7,})([^\w]*)")
_LEAST = 3  # letters before and after the hyphen


@lru_cache(maxsize=8)
def _rules(language: str) -> Pyphen | None:
    """The patterns of a language tag, or of the language without its country; None where there are none."""
    import pyphen

    found = pyphen.language_fallback(language.replace("-", "_"))
    return pyphen.Pyphen(lang=found, left=_LEAST, right=_LEAST) if found else None


@lru_cache(maxsize=4000)
def places(text: str, language: str) -> tuple[int, ...]:
    """The places in a word, counted in characters, after which a hyphen may stand; none in what is not a plain word.

    Short words, words in capitals and what holds a figure are never divided: they may be abbreviations.
    """
    match = _WORD.fullmatch(text)
    if not match or not language or match[2][1:] != match[2][1:].lower():
        return ()
    rules = _rules(language)
    return tuple(len(match[1]) + place for place in rules.positions(match[2])) if rules else ()
