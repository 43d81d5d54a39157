"""A whole document in another language, its drawings, and what is left in English of them."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from itertools import takewhile
from typing import TypeVar, cast

from grader.models.document import Document, Part
from grader.models.drawing import Drawing, Label
from grader.models.language import Language
from grader.translating.speaking import number_told, speaker
from grader.translating.translator import Translator, translator

_WORD = re.compile(r"[^\W\d_]")
MOST_LINES = 6  # of one text in a drawing
_CHARACTER_EM = 0.52  # the mean width of a letter of our type, rounded up
_MM_PER_POINT = 25.4 / 72
_SOMEONE = "Ada"  # stands for any knitter in the message that says for whom a sock is
_Any = TypeVar("_Any")


def translate(document: Document, language: Language) -> Document:
    """The document in that language; what there are no words for stays in English (see `left_in_english`).

    Titles, authors, versions, dates and names of sizes stay as they are unless the catalogue has words for them.
    """
    return _translated(document, translator(language))


def left_in_english(document: Document, language: Language, drawings: tuple[Drawing, ...] = ()) -> tuple[str, ...]:
    """Every text of the document and its drawings that the language has no words for, in the order of print."""
    asked = translator(language)
    _translated(document, asked)
    for drawing in drawings:
        _drawn(drawing, asked)
    return tuple(asked.left)


def translate_drawing(drawing: Drawing, language: Language) -> Drawing:
    """The drawing with its labels, and what it shows in words, in that language."""
    return _drawn(drawing, translator(language))


def told(language: Language) -> Callable[[str], str]:
    """How a template's own words are said in that language; words that it lacks stay in English."""
    return speaker(language).name


def _drawn(drawing: Drawing, translator: Translator) -> Drawing:
    labels: list[Label] = []
    at = 0
    while at < len(drawing.labels):
        told = _wrapped(drawing.labels[at : at + MOST_LINES], translator)
        labels += told
        at += len(told)
    width = max(
        [
            drawing.width_mm,
            *(
                _end(label)
                for label, was in zip(labels, drawing.labels, strict=True)
                if len(label.text) > len(was.text)
            ),
        ]
    )
    return replace(drawing, width_mm=round(width, 3), labels=tuple(labels), alt=translator.text(drawing.alt))


def _end(label: Label) -> float:
    """About how far to the right the words of a label reach, in mm; words that are turned reach no further."""
    if label.angle or label.anchor == "end":
        return label.x
    length = len(label.text) * _CHARACTER_EM * label.size * _MM_PER_POINT
    return label.x + (length if label.anchor == "start" else length / 2)


def _wrapped(labels: tuple[Label, ...], translator: Translator) -> list[Label]:
    """The first label; with those below it where only together they are a text, over as many lines as before."""
    first = labels[0]
    if len(first.text) > 1 and _WORD.search(first.text):
        together = list(
            takewhile(lambda each: (each.x, each.size, each.anchor) == (first.x, first.size, first.anchor), labels)
        )
        for count in range(1, len(together) + 1):
            said = translator.speaker.said(" ".join(each.text for each in together[:count]))
            if said is not None:
                return [replace(each, text=text) for each, text in zip(together, _lines(said, count), strict=False)]
        return [replace(first, text=translator.text(first.text))]
    return [replace(first, text=translator.cell(first.text))]  # a figure, or the letter of a colour


def _lines(text: str, count: int) -> list[str]:
    """The text over so many lines, none of which need be longer than it must."""
    width = -(-len(text) // count)
    while len(lines := textwrap.wrap(text, width)) > count:
        width += 1
    return lines + [""] * (count - len(lines))


def _title(title: str, whose: str, name: Callable[[str], str]) -> str:
    """A title, with whom the sock is for: an example stands in the catalogue, so that no name is taken for words."""
    if not whose:
        return name(title)
    return f"{name(title.removesuffix(f' for {whose}'))} {name(f'for {_SOMEONE}').replace(_SOMEONE, whose)}"


def _translated(document: Document, to: Translator) -> Document:
    parts = tuple(to.part(part) for part in document.parts)
    name = to.speaker.name
    return replace(
        document,
        title=_title(document.title, document.whose, name),
        summary=to.text(document.summary),
        author=name(document.author),
        copyright=name(document.copyright),
        facts=tuple((to.text(head), to.text(text) if head != "Version" else text) for head, text in document.facts),
        sizes=to.table(document.sizes),
        materials=to.texts(document.materials),
        gauge=to.text(document.gauge),
        setups=to.pairs(document.setups),
        abbreviations=to.abbreviations(document.abbreviations, "\n".join(_worked_words(parts))),
        how_to_read=to.texts(document.how_to_read),
        parts=parts,
        finishing=to.texts(document.finishing),
        notes=to.texts(document.notes),
        cautions=to.texts(document.cautions),
        drawing_alt=to.text(document.drawing_alt),
        techniques=to.pairs(document.techniques),
        charts=tuple(to.chart(each) for each in document.charts),
        person=to.texts(document.person),
        yarn=None if document.yarn is None else to.table(document.yarn),
        tools=tuple((file, to.text(alt)) for file, alt in document.tools),
        diagrams=tuple(
            replace(each, title=to.text(each.title), alt=to.text(each.alt), setup=to.text(each.setup))
            for each in document.diagrams
        ),
        drawn_size=name(document.drawn_size),
        reasons=to.pairs(document.reasons),
        changes=tuple((version, date, to.texts(told)) for version, date, told in document.changes),
        worksheet=_with_figures(document.worksheet, to.language),  # its words were said as it was made
    )


def _with_figures(value: _Any, language: Language) -> _Any:
    """The same value with the figures in its texts as the language prints them."""
    if isinstance(value, str):
        return cast("_Any", number_told(value, language))
    if isinstance(value, tuple):
        return cast("_Any", tuple(_with_figures(each, language) for each in value))
    if is_dataclass(value) and not isinstance(value, type):
        told = {each.name: _with_figures(getattr(value, each.name), language) for each in fields(value)}
        return replace(value, **told)
    return value


def _worked_words(parts: tuple[Part, ...]) -> Iterator[str]:
    """The words in which abbreviations may stand."""
    for part in parts:
        for section in part.sections:
            yield section.ends_with
            for strand in section.strands:
                for passage in strand.passages:
                    yield from (passage.closing, passage.say, passage.check)
                    for each in passage.instructions:
                        yield from (each.label, each.text, each.count)
