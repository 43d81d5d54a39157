"""A file for a translator to fill in: every text that a catalogue lacks, with room for its translation."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import count

from grader.models.language import Language
from grader.translating.masking import MASK, english_pattern, masked

_LENGTH = re.compile(rf"({MASK}) cm / {MASK} in\b")


def blank(
    texts: Iterable[str], prose: Iterable[str] = (), model: Language | None = None, further: Iterable[str] = ()
) -> str:
    """YAML with an empty translation for each text, numbers as {slots}, each text once.

    `prose` are a designer's own words as her pattern file has them, with their {placeholders}; they go before the
    texts that were made from them, which are left out. A `model` is a language of which the phrases and abbreviations
    are to be given anew. `further` are messages of a catalogue with their slots, for what else may be printed: errata,
    plans of stripes, the last page of a class, other editions.
    """
    own = tuple(dict.fromkeys(each for each in prose if each))
    shapes = {_shape(re.sub(r"\{[^{}]*\}", "1", each)) for each in own}
    rest = tuple(dict.fromkeys(shape for text in texts if (shape := _shape(text)) not in shapes))
    rows = [f'  {_quoted(each)}: ""' for each in (*own, *rest)]
    asked = {_bare(each) for each in (*own, *rest)}
    others = [f'  {_quoted(each)}: ""' for each in dict.fromkeys(further) if _bare(each) not in asked]
    rows += ["  # -- errata, stripes, classes and other editions", *others] if others else []
    return "\n".join([*(_phrases(model) if model else ()), "messages:", *rows, ""])


def _bare(text: str) -> str:
    """A message whatever the names of its slots."""
    return re.sub(r"\{[^{}]*\}", "{}", text)


def _phrases(model: Language) -> list[str]:
    rows = ['name: ""', 'tag: ""', 'numbers: {decimal: ".", brackets: ", ", none: "–"}', "phrases:"]
    for group, phrases in model.phrases.items():
        rows += [f"  {group}:", *(f'    {_quoted(each.english)}: ""' for each in phrases)]
    return [*rows, "abbreviations:", *(f"  {_quoted(each)}: {{}}" for each in model.abbreviations)]


def _shape(text: str) -> str:
    """A text with a slot for each number, a length in both units being one."""
    hidden, _ = masked(text, english_pattern())
    places = count(1)
    return re.sub(MASK, lambda _: f"{{n{next(places)}}}", _LENGTH.sub(r"\1", hidden))


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
