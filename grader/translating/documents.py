"""A whole document in another language, its drawings, and what is left in English of them."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, fields, is_dataclass, replace
from itertools import takewhile
from typing import TypeVar, cast

from grader.models.document import ChartText, Document, Instruction, Part, Passage, SectionText, Strand, Table
from grader.models.drawing import Drawing, Label
from grader.models.language import Language
from grader.translating.lines import translate_line
from grader.translating.speaking import Speaker, number_told, speaker

_LONE_LETTER = re.compile(r"(?<![\w*])([A-Z])\1*(?= (?:[a-z]+ ){0,2}sts?\b)")
_LETTER_ROW = re.compile(r"([A-Z]+) (cm|in)")
_WORD = re.compile(r"[^\W\d_]")
MOST_LINES = 6  # of one text in a drawing
_CHARACTER_EM = 0.52  # the mean width of a letter of our type, rounded up
_MM_PER_POINT = 25.4 / 72
_Any = TypeVar("_Any")


@dataclass(slots=True)
class _Translator:
    """Says the texts of one document, and remembers those that it could not."""

    language: Language
    speaker: Speaker
    left: dict[str, None] = field(default_factory=dict)

    def text(self, text: str) -> str:
        """A message; one that there is none for stays as it is and is remembered."""
        if not text:
            return ""
        said = self.speaker.said(text)
        if said is None:
            self.left[text] = None
            return text
        return said

    def texts(self, texts: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(self.text(each) for each in texts)

    def pairs(self, pairs: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
        return tuple((self.text(first), self.text(second)) for first, second in pairs)

    def line(self, text: str) -> str:
        """An instruction with its full stop."""
        said = translate_line(text.removesuffix("."), self.language)
        if said is None:
            return self.text(text)
        return said + "." * text.endswith(".")

    def count(self, text: str) -> str:
        """A count, whose letter is not bold by itself."""
        return self.text(_LONE_LETTER.sub(r"**\g<0>**", text)).replace("**", "")

    def cell(self, text: str) -> str:
        """A figure, or a name or note that some sizes have."""
        if not _WORD.search(text):
            return number_told(text, self.language)
        return self.speaker.name(text)

    def letter(self, text: str) -> str:
        """What begins a row of lettered numbers: its letter, perhaps with a unit."""
        row = _LETTER_ROW.fullmatch(text)
        return f"{row[1]} {self.speaker.units.get(row[2], row[2])}" if row else text

    def table(self, table: Table, first: Callable[[str], str] | None = None) -> Table:
        begin = first or self.cell
        return replace(
            table,
            heads=tuple(self.cell(head) if head.isdigit() else self.speaker.said(head) or head for head in table.heads),
            rows=tuple((begin(row[0]), *(self.cell(each) for each in row[1:])) if row else row for row in table.rows),
            caption=self.text(table.caption),
        )

    def instruction(self, each: Instruction) -> Instruction:
        return replace(
            each,
            label=self.text(each.label),
            text=self.line(each.text),
            count=self.count(each.count),
            sizes=self.text(each.sizes),
        )

    def passage(self, each: Passage) -> Passage:
        return replace(
            each,
            instructions=tuple(self.instruction(one) for one in each.instructions),
            closing=self.text(each.closing),
            sizes=self.text(each.sizes),
            say=self.text(each.say),
            why=self.text(each.why),
            check=self.text(each.check),
            chart=self.text(each.chart),
        )

    def section(self, each: SectionText) -> SectionText:
        return replace(
            each,
            name=self.text(each.name),
            strands=tuple(
                Strand(self.text(strand.setup), tuple(self.passage(one) for one in strand.passages))
                for strand in each.strands
            ),
            extent=self.text(each.extent),
            why=self.text(each.why),
            say=self.text(each.say),
            check=self.text(each.check),
            ends_with=self.count(each.ends_with),
            numbers=None if each.numbers is None else self.table(each.numbers, self.letter),
            diagrams=tuple(
                replace(one, title=self.text(one.title), alt=self.text(one.alt), setup=self.text(one.setup))
                for one in each.diagrams
            ),
        )

    def part(self, each: Part) -> Part:
        return Part(self.text(each.name), self.text(each.intro), tuple(self.section(one) for one in each.sections))

    def chart(self, each: ChartText) -> ChartText:
        return replace(
            each,
            name=self.text(each.name),
            pictures=tuple((file, self.text(alt)) for file, alt in each.pictures),
            size=self.text(each.size),
            reading=self.text(each.reading),
            key=tuple((self.text(looks), self.worked(worked), self.text(name)) for looks, worked, name in each.key),
        )

    def worked(self, text: str) -> str:
        """How a symbol is worked: stitches, with the side where it matters."""
        return self.speaker.worked(text) or self.text(text)

    def abbreviations(self, used: tuple[tuple[str, str], ...], words: str) -> tuple[tuple[str, str], ...]:
        """The language's own abbreviations for those used in English, and others that occur in `words`."""
        told: dict[str, str] = {}
        for short, meaning in used:
            first = short.split(", ")[0]
            known = self.language.abbreviations
            own = known.get(short, known.get(first, known.get("CC") if first.startswith("CC") else None))
            if own is None:
                self.left[f"{short}: {meaning}"] = None
                told[short] = meaning
            elif first.startswith("CC") and own:
                book = self.speaker.book
                names = ", ".join(book.said("colour", each, ()) or each for each in short.split(", "))
                told.setdefault(names, own[0][1])
            else:
                for abbreviation, means in own:
                    told.setdefault(abbreviation, means)
        for abbreviation, means in self.language.further:
            if re.search(rf"(?<![^\W\d_]){re.escape(abbreviation)}(?![^\W\d_])", words):
                told.setdefault(abbreviation, means)
        return tuple(sorted(told.items(), key=lambda each: (not each[0][0].isalpha(), each[0].lower())))


def translate(document: Document, language: Language) -> Document:
    """The document in that language; what there are no words for stays in English (see `left_in_english`).

    Titles, authors, versions, dates and names of sizes stay as they are unless the catalogue has words for them.
    """
    return _translated(document, _Translator(language, speaker(language)))


def left_in_english(document: Document, language: Language, drawings: tuple[Drawing, ...] = ()) -> tuple[str, ...]:
    """Every text of the document and its drawings that the language has no words for, in the order of print."""
    translator = _Translator(language, speaker(language))
    _translated(document, translator)
    for drawing in drawings:
        _drawn(drawing, translator)
    return tuple(translator.left)


def translate_drawing(drawing: Drawing, language: Language) -> Drawing:
    """The drawing with its labels, and what it shows in words, in that language."""
    return _drawn(drawing, _Translator(language, speaker(language)))


def told(language: Language) -> Callable[[str], str]:
    """How a template's own words are said in that language; words that it lacks stay in English."""
    return speaker(language).name


def _drawn(drawing: Drawing, translator: _Translator) -> Drawing:
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


def _wrapped(labels: tuple[Label, ...], translator: _Translator) -> list[Label]:
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


def _translated(document: Document, to: _Translator) -> Document:
    parts = tuple(to.part(part) for part in document.parts)
    name = to.speaker.name
    return replace(
        document,
        title=name(document.title),
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
