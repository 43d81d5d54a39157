"""Which spaces must not become line breaks: inside the numbers of a size, and between a number and its unit."""

from __future__ import annotations

import re
from functools import lru_cache

from grader.pages.typefaces import NO_BREAK

_UNITS = r"(?:sts?|cm|mm|km|m|g|kg|in|inch(?:es)?|yd|yards?|metres?|meters?|balls?|rounds?|rnds?|rows?|times|%|°)"
_FRACTIONS = "½¼¾⅛⅜⅝⅞⅓⅔"
_NUMBER = rf"(?:[+−–-]?\d[\d.]*(?: \d+/\d+)?[{_FRACTIONS}]?|[{_FRACTIONS}])"
_TOKEN = rf"(?:{_NUMBER}|[–—-]|\d?X{{0,4}}[SML]|\d{{2,9}}XS)(?: ?{_UNITS}(?!\w))?"
_BRACKET = re.compile(rf"(?:(?<=[\w{_FRACTIONS}–—%]) )?[(\[]{_TOKEN}(?:[,;:/] ?{_TOKEN})*[)\]](?: (?={_UNITS}(?!\w)))?")
_SPACES = re.compile(
    rf"(?<=[\d{_FRACTIONS}]) (?={_UNITS}(?!\w))"  # 64 sts, 10 cm
    r"|(?<=\d) (?=\d+/\d)"  # 1 1/2
    r"|(?<=\d) (?=[×x] ?\d)|(?<=\d [×x]) (?=\d)"  # 2 x 2
    r"| (?=[—–*](?: |$))"  # a dash or a star stays with the words before it
    r"|(?i:(?<=\bneedle)|(?<=\bneedles)|(?<=\bround)|(?<=\brounds)|(?<=\brow)|(?<=\brows)|(?<=\bsize)|(?<=\bsizes)"
    r"|(?<=\bstep)|(?<=\bpage)|(?<=\btable)) (?=\d+(?!\d|[ \u00a0]\())"  # Needle 1, size 3; not: these rows 8 (9, 10)
)
_LETTERED = re.compile(r"(?i)(?<=\btable) (?=[A-Z](?!\w))")


@lru_cache(maxsize=4000)
def bind(text: str) -> str:
    """The same text, as many characters long, with its fixed spaces made no-break spaces."""
    if "(" in text or "[" in text:
        text = _BRACKET.sub(lambda found: found[0].replace(" ", NO_BREAK), text)
    text = _SPACES.sub(NO_BREAK, text)
    return _LETTERED.sub(NO_BREAK, text)
