"""Instruction lines in another language and back, by the notation's own structure.

A line is a sentence, or parts with labels, parted by a full stop; a part is items, parted by commas; an item may be a
repeat `*...; ...*...` or a group `(...) ...`. This structure, its signs and its order are the same in every language;
only what stands between them is said in other words, which the phrases give.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from grader.models.language import Language
from grader.translating.masking import english_value, masked, unmasked
from grader.translating.phrasebook import Phrasebook, phrasebook
from grader.translating.templates import plural_english

_LABEL = re.compile(r"(?:^|(?<=\. ))([^.:,;()*]+(?: \([^()]*\))?): ")


@lru_cache(maxsize=16384)
def translate_line(text: str, language: Language) -> str | None:
    """A printed line, of one size or merged over many, in the language; None where a phrase is missing for it."""
    hidden, values = masked(plural_english(text), phrasebook(language).numbers)
    told = _line(hidden, values, phrasebook(language))
    return None if told is None else unmasked(told, values, language)


@lru_cache(maxsize=16384)
def read_back(text: str, language: Language) -> str | None:
    """The English line that a line in the language says; None where it can't be read.

    It is read by the same catalogue, but knows nothing of how the line was made. One size only: numbers in brackets
    stand in no line that is knitted.
    """
    book = phrasebook(language, back=True)
    hidden, shown = masked(text.replace("\u00a0", " "), book.numbers)
    values = [english_value(value, language) for value in shown]
    told = _line(hidden, values, book)
    return None if told is None else unmasked(told, values, None)


def _line(text: str, values: Sequence[str], book: Phrasebook) -> str | None:
    sentence = book.said("line", text, values)
    if sentence is not None:
        return sentence
    work, bracket, count = text.rpartition(" (")
    stated = book.said("stated", f"({count}", values) if bracket else None
    if stated is not None:
        said = _line(work, values, book)
        return None if said is None else f"{said} {stated}"
    told = []
    for label, items in _parts(text):
        said = _items(items, values, book)
        name = (book.said("label", label, values) or book.said("region", label, values)) if label else ""
        if said is None or name is None:
            return None
        told.append(f"{name[:1].upper()}{name[1:]}: {said}" if name else said[:1].upper() + said[1:])
    return ". ".join(told)


def _parts(text: str) -> list[tuple[str, str]]:
    """The parts of a line as label and items; what stands before the first label has none."""
    labels = list(_LABEL.finditer(text))
    if not labels:
        return [("", text)]
    first = text[: labels[0].start()].removesuffix(". ")
    ends = [*(label.start() for label in labels[1:]), len(text)]
    parts = [(label[1], text[label.end() : end].removesuffix(". ")) for label, end in zip(labels, ends, strict=True)]
    return ([("", first)] if first else []) + parts


def _items(text: str, values: Sequence[str], book: Phrasebook) -> str | None:
    told = [_item(item, values, book) for item in _split(text)]
    return None if any(each is None for each in told) else ", ".join(each or "" for each in told)


def _item(text: str, values: Sequence[str], book: Phrasebook) -> str | None:
    if text.startswith("*"):
        end = text.rfind("; ", 0, text.rfind("*"))
        inner, how = _items(text[1:end], values, book), book.said("repeat", text[end + 2 :], values)
        return None if end < 0 or inner is None or how is None else f"*{inner}; {how}"
    if text.startswith("(") and ")" in text:
        end = _closing(text)
        inner, how = _items(text[1:end], values, book), book.said("group", text[end + 1 :].strip(), values)
        return None if inner is None or how is None else f"({inner}) {how}"
    return book.said("item", text, values)


def _closing(text: str) -> int:
    depth = 0
    for place, sign in enumerate(text):
        depth += (sign == "(") - (sign == ")")
        if not depth:
            return place
    return len(text)


def _split(text: str) -> list[str]:
    """Items, parted by commas that stand in no brackets and no repeat."""
    items, depth, stars, begin, place = [], 0, 0, 0, 0
    while place < len(text):
        sign = text[place]
        if sign == "*":  # one that opens stands before an item, one that closes within the words after it
            opens = place == begin or text[place - 1] in "(*" or text[place - 2 : place] == ", "
            stars += 1 if opens else -1
        depth += (sign == "(") - (sign == ")")
        if text.startswith(", ", place) and depth <= 0 and stars <= 0:
            items.append(text[begin:place])
            begin = place = place + 2
            continue
        place += 1
    return [*items, text[begin:]]
