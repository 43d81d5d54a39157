"""Documents for a class: one person's as Markdown with its drawings, and those of all bound into one."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from grader.illustrating import beside_markdown, pictures_in
from grader.models.document import Table
from grader.models.drawing import Drawing
from grader.models.pattern import Pattern
from grader.pipeline import Checked
from grader.publishing import Edition, Made, draft, page_words
from grader.vocabulary.foot_measures import WORDS
from grader.write_up import pipes, plain

if TYPE_CHECKING:
    from grader.pages.styles import Style
    from grader.translating import Translator

_NOTES = "# Notes\n\n" + "……………………\n\n" * 10  # which stay on one page of every paper
IN_THE_PATTERN = "Something in the pattern itself is to be looked at for this foot; it is printed on the screen."
_MINUS = re.compile(r"(?<!\S)-(?=\d)")
Tell = Callable[[str], str]


def _as_it_is(text: str) -> str:
    return text


@dataclass(frozen=True, slots=True)
class Line:
    """What became of one line of the list: why there is no document, or what is to be told of the one there is."""

    line: int
    name: str
    reason: str = ""
    told: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheets:
    """One person's document: its title, its Markdown, and its drawings by the names that stand in it."""

    title: str
    markdown: str
    drawings: Mapping[str, Drawing]


def write_sheets(checked: Checked, edition: Edition, stem: str) -> Sheets:
    """One knitter's document of a pattern that was graded for her alone.

    Raises:
        TemplateMistake: a designer's template can't be filled in.
    """
    from grader.translating import spaced
    from grader.write_up import write_up

    drafted = draft(checked, edition, stem, stem)
    drawings = dict(drafted.drawings)
    markdown = write_up(drafted.document, edition.of.one_size, edition.templates, told=drafted.told)
    if drafted.main is not None and f"]({drafted.document.drawing})" in markdown:
        drawings[drafted.document.drawing] = drafted.main
    return Sheets(drafted.document.title, spaced(markdown, edition.language), drawings)


def sharing(sheets: Sheets, known: dict[Drawing, Drawing]) -> Sheets:
    """The sheets with drawings that others have too, as the same ones: those of a thousand people are then few."""
    return replace(sheets, drawings={name: known.setdefault(each, each) for name, each in sheets.drawings.items()})


def bind_sheets(
    pattern: Pattern,
    sheets: Sequence[Sheets],
    last_page: str,
    edition: Edition,
    stem: str,
    right_hand: bool = False,
) -> Made:
    """All sheets in one Markdown and one PDF, in order, each person's on pages of its own that are counted by
    themselves, and a last page.

    With `right_hand` each begins on a page with an odd number: where need be, a page for notes stands before it.

    Raises:
        MissingGlyph, UnusablePicture: a character or a picture that can't be printed.
    """
    from grader.pages import drawing_svg, set_pages
    from grader.pages.setting import lay_out

    style, words = _style(edition), page_words(_say(edition))
    texts, drawings = _shared(sheets)
    texts += [last_page] if last_page else []
    shown = pictures_in("\n".join(texts), pattern, edition, drawings)
    if right_hand:
        look = partial(lay_out, paper=edition.paper, style=style, drawings=drawings, files=shown)
        texts = _on_the_right(texts, lambda text: len(look(text, words=words, language=edition.tag).pages))
    markdown, shelf = beside_markdown("\n".join(texts), shown, stem)
    pdf = set_pages(
        texts,
        title=_say(edition)(pattern.title),
        version=pattern.version,
        author=pattern.author,
        date=pattern.date,
        language=edition.tag,
        paper=edition.paper,
        style=style,
        drawings=drawings,
        files=shown,
        words=words,
    )
    files = {f"{stem}.md": markdown.encode(), f"{stem}.pdf": pdf}
    files |= {name: drawing_svg(each).encode() for name, each in drawings.items()} | shelf.copies
    return Made(files)


def _say(edition: Edition) -> Tell:
    """How words of ours are said: as the designer wants them, in the language, or as they are."""
    from grader.translating import told

    words, say = dict(edition.looks.words), told(edition.language) if edition.language else _as_it_is
    return lambda text: words.get(text) or say(text)


def _shared(sheets: Sequence[Sheets]) -> tuple[list[str], dict[str, Drawing]]:
    """The texts, each naming a drawing that others have too by its first name, and every drawing once."""
    first: dict[Drawing, str] = {}
    texts = []
    for each in sheets:
        text = each.markdown
        for name, drawing in each.drawings.items():
            text = text.replace(f"]({name})", f"]({first.setdefault(drawing, name)})")
        texts.append(text)
    return texts, {name: drawing for drawing, name in first.items()}


def _style(edition: Edition) -> Style:
    from grader.pages import style_named

    name = edition.of.style
    return style_named(name, one_size=name == "standard").with_looks(edition.looks)


def _on_the_right(texts: Sequence[str], pages: Callable[[str], int]) -> list[str]:
    """The texts with a page for notes before each that would begin on a left-hand page."""
    told: list[str] = []
    before = 0
    for text in texts:
        if before % 2:
            told.append(_NOTES)
            before += 1
        told.append(text)
        before += pages(text)
    return told


def unprintable(text: str) -> str:
    """The first character that the typeface has no picture for, or ""."""
    from grader.pages import MissingGlyph
    from grader.pages.typefaces import BOLD, ems

    try:
        ems(text, BOLD)
    except MissingGlyph as mistake:
        return mistake.character
    return ""


def last_page(said: str, rows: Sequence[Line], tell: Tell = _as_it_is) -> str:
    """The page for the teacher, as Markdown: who has no document and why, what was estimated or altered, and doubts.

    `said` sums it up; `tell` puts its words, and what is told of a line, into another language.
    """
    parts = [f"# {tell('Class list')}", tell(f"{said}.")]
    for head, what, found in (
        ("Not served", "Why", [(each, tuple(tell(why) for why in (each.reason,) if why)) for each in rows]),
        ("Estimated and altered", "What", [(each, tuple(map(tell, each.told))) for each in rows]),
        ("To look at again", "Remark", [(each, tuple(map(tell, each.doubts))) for each in rows]),
    ):
        cells = tuple((str(each.line), plain(_safe(each.name)), _safe(text)) for each, texts in found for text in texts)
        if cells:
            heads = tuple(map(tell, ("Line", "Name", what)))
            parts += [f"## {tell(head)}", pipes(Table(heads, cells, "rll"))]
    return "\n\n".join(parts) + "\n"


def teller(to: Translator, pattern: Pattern) -> Tell:
    """How that page is told in a language: numbers of the pattern by their labels, its sections by their names.

    What is wrong with the pattern itself, in words that the catalogue lacks, is left to the screen.
    """
    labels = {rule.name: rule.label for rule in pattern.rules if rule.label} | WORDS
    numbers = re.compile(rf"(?<![\w.])({'|'.join(map(re.escape, labels))})(?= (?:comes|has) )")
    names = frozenset((*(section.name for section in pattern.sections), *labels.values()))

    def tell(text: str) -> str:
        named = numbers.sub(lambda found: labels[found[1]], text)
        otherwise = "" if to.speaker.said(IN_THE_PATTERN) is None else IN_THE_PATTERN
        return _MINUS.sub("−", to.composed(named, names, otherwise))

    return tell


def _safe(text: str) -> str:
    """The text with a question mark for each character that can't be printed: cells may hold anything."""
    odd = unprintable(text)
    while odd:
        text = text.replace(odd, "?")
        odd = unprintable(text)
    return text
