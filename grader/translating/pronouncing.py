"""A text in the language for those who listen: whole words for abbreviations and signs, nothing marked up."""

from __future__ import annotations

import re
from collections.abc import Callable

from grader.models.language import Language

_MARKS = re.compile(r"\\(?=[*_#`\[\]])|\*\*|\u00ad")
_FRACTION = re.compile(r"(?<=\d)(?=[½¼¾⅛⅜⅝⅞])")
_BETWEEN_NUMBERS = re.compile(r"(?<=[\d½¼¾])([–/])(?=[\d½¼¾–])")
_OPENING_STAR = re.compile(r"\*(?=\w)")


_ONE = re.compile(r"(?<![\d.,/–½¼¾])1 $")
_MANY = re.compile(r"[\d½¼¾)] $")


def pronounced(language: Language) -> Callable[[str], str]:
    """How a text of a document in that language is put into whole words, by the `spoken` words of its catalogue.

    A word may have three forms, "Runde|Runden|Runde": after 1, after other numbers, and else. A letter that is the
    name of a size stays one.
    """
    words = dict(language.spoken)
    words |= {
        _capital(short): _capital(said) for short, said in language.spoken if len(short) > 1 and short[0].islower()
    }
    names = sorted((re.escape(each) for each in words if each[0].isalpha()), key=len, reverse=True)
    signs = sorted((re.escape(each) for each in words if not each[0].isalpha()), key=len, reverse=True)
    whole = rf"(?<![^\W_])(?:{'|'.join(names) or '(?!)'})(?![^\W_])"
    pattern = re.compile(rf"{whole}|{'|'.join(signs) or '(?!)'}")
    told = {each.english: each.told for each in language.messages if each.english in ("Size", "Sizes")}
    joins = "|".join(re.escape(each) for each in (language.comma, language.word_and, language.word_to))
    sizes = re.compile(rf"\b(?:{'|'.join(map(re.escape, told.values())) or '(?!)'}):? (?:[\w-]+(?:{joins}))*$")

    def word(found: re.Match[str]) -> str:
        before = found.string[: found.start()]
        if len(found[0]) == 1 and found[0].isupper() and (found[0] == found.string or sizes.search(before)):
            return found[0]
        one, *others = words[found[0]].split("|")
        if not others or _ONE.search(before):
            return one
        return others[0] if _MANY.search(before) else others[-1]

    def put(text: str) -> str:
        plain = _FRACTION.sub(" ", _OPENING_STAR.sub("* ", _MARKS.sub("", " ".join(text.split()))))
        parted = _BETWEEN_NUMBERS.sub(lambda found: language.word_to if found[1] == "–" else ", ", plain)
        return pattern.sub(word, parted)

    return put


def _capital(text: str) -> str:
    """The text with a large first letter."""
    return text[:1].upper() + text[1:]
