"""The stage's one verb, and its way: read, compose, divide, paint."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal

from grader.models.drawing import Drawing
from grader.pages.words import Words

if TYPE_CHECKING:
    from grader.pages.pieces import Page
    from grader.pages.sheets import Sheet
    from grader.pages.structure import Element
    from grader.pages.styles import Style

Paper = Literal["a4", "letter", "a5"]
_COLLECT_AFTER = 10  # documents of one file, each of which leaves things behind that hold one another


@dataclass(frozen=True, slots=True)
class Press:
    """What a printer asks for: bleed and crop marks round the page, black as the only ink, pages bound as a booklet."""

    marks: bool = False
    one_ink: bool = False
    bound: bool = False  # the inner margins are wider: left on odd pages, right on even ones
    imposed: bool = False  # two pages on a sheet, in the order in which folded sheets are sewn


@dataclass(frozen=True, slots=True)
class LaidOut:
    """Pages before ink, the sheet they stand on, and the structure of what they say."""

    pages: tuple[Page, ...]
    sheet: Sheet
    style: Style
    root: Element


def set_pages(
    markdown: str | Iterable[str],
    *,
    title: str,
    version: str,
    author: str,
    date: str = "",
    language: str = "en-GB",
    paper: str = "a4",
    style: str | Style = "standard",
    drawing: Drawing | None = None,
    one_size: bool = False,
    drawings: Mapping[str, Drawing] | None = None,
    files: Mapping[str, Path] = MappingProxyType({}),
    words: Words = Words(),
    press: Press = Press(),
) -> bytes:
    """Set a pattern's Markdown in type.

    Args:
        markdown: the pattern in the dialect of `blocks`; or several documents, each of which begins on a page of its
            own and counts its own, and is asked for when those before it are done.
        title, version, author, date, language: for the foot of the pages and the file's own record;
            `language` is a tag such as en-GB.
        paper: a4, letter or a5; each is composed anew.
        style: the looks, or one of `styles.STYLES` by name.
        drawing: stands where the Markdown shows a picture that is neither of `drawings` nor of `files`.
        one_size: one knitter's document: numbers stand out of the instructions.
        drawings: those of the pictures, by file name, that keep their own size and stand in the text.
        files: a designer's own pictures, by the name that the Markdown gives them.
        words: what pages say of their own, in the document's language.
        press: what a printer asks for.

    Returns:
        A tagged PDF; the same arguments give the same bytes.

    Raises:
        MissingGlyph: a character that can't be printed.
        UnusablePicture, UnusableFont: a designer's file that can't be printed with.
        ValueError: an unknown paper or style.
    """
    from grader.pages.painting import Imprint, paint

    looks = {"paper": paper, "drawing": drawing, "one_size": one_size, "drawings": drawings, "files": files}
    with _uncollected():
        parts = _parts(markdown, looks | {"style": style, "words": words, "language": language})
        return paint(parts, Imprint(title, version, author, language, date, words), press)


def _parts(markdown: str | Iterable[str], looks: Mapping[str, Any]) -> Iterator[LaidOut]:
    """Each document laid out when it is asked for; what those before it have left is tidied away now and then."""
    for place, text in enumerate((markdown,) if isinstance(markdown, str) else markdown):
        if place and place % _COLLECT_AFTER == 0:
            gc.collect()
        yield lay_out(text, **looks)


@contextmanager
def _uncollected() -> Iterator[None]:
    """While it lasts, nobody looks for garbage that holds itself.

    A document is made of very many small things that live until it is done: looking through them again and again
    finds nothing and took a sixth of the time.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def lay_out(
    markdown: str,
    *,
    paper: str = "a4",
    style: str | Style = "standard",
    drawing: Drawing | None = None,
    one_size: bool = False,
    drawings: Mapping[str, Drawing] | None = None,
    files: Mapping[str, Path] = MappingProxyType({}),
    words: Words = Words(),
    language: str = "en-GB",
) -> LaidOut:
    """The pages as placed marks, before ink: what `set_pages` paints.

    Notes stand beside the text where every page has room for its own, else in the text column.
    """
    from grader.pages.composing import Composer, Pictures
    from grader.pages.fitting import fitted
    from grader.pages.paging import divide
    from grader.pages.reading import read_markdown
    from grader.pages.sheets import sheet_for

    look = style_named(style, one_size).in_language(language)
    sheet = sheet_for(paper, look)
    look = look.within(sheet.column)
    blocks = read_markdown(markdown)
    pictures = Pictures(drawing, drawings or {}, files)
    if look.fits:
        return LaidOut(*fitted(blocks, paper, look, pictures, words))
    for beside in (True, False):
        composer = Composer(sheet, look, blocks, pictures, beside, words)
        pieces = composer.compose()
        if not pieces:
            return LaidOut(((),), sheet, look, composer.root)
        pages = divide(pieces, sheet.depth)
        if pages is not None:
            return LaidOut(pages, sheet, look, composer.root)
    raise AssertionError("text without notes beside it always divides")


def sizes_abreast(paper: str, style: Style) -> int:
    """How many sizes a row in brackets may have to be sure of standing on one line: 51¼ (52¼, 53¼) in."""
    from grader.pages.sheets import sheet_for
    from grader.pages.typefaces import width

    look, column = style.body, sheet_for(paper, style).column
    room = column - style.within(column).hangs(column)
    each, around = (width(text, look.regular, look.size) for text in ("51¼, ", "() in"))
    return max(2, int((room - around) / each))


def style_named(style: str | Style, one_size: bool = False) -> Style:
    """A style by its name; for one knitter the standard one lets numbers stand out.

    Raises:
        ValueError: no such style.
    """
    from grader.pages.styles import STYLES

    if isinstance(style, str):
        if style not in STYLES:
            raise ValueError(f"unknown style {style!r}; there are {', '.join(STYLES)}")
        style = STYLES[style]
    return replace(style, stands_out=1.4) if one_size and not style.stands_out else style
