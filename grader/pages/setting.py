"""The stage's one verb, and its way: read, compose, divide, paint."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from grader.models.drawing import Drawing
from grader.pages.pieces import Page

Paper = Literal["a4", "letter", "a5"]


def set_pages(
    markdown: str,
    *,
    title: str,
    version: str,
    author: str,
    language: str = "en-GB",
    paper: str = "a4",
    drawing: Drawing | None = None,
    one_size: bool = False,
    drawings: Mapping[str, Drawing] | None = None,
) -> bytes:
    """Set a pattern's Markdown in type.

    Args:
        markdown: the pattern in the dialect of `blocks`.
        title, version, author, language: for the foot of the pages and the file's own record;
            `language` is a tag such as en-GB.
        paper: a4, letter or a5; each is composed anew.
        drawing: stands where the Markdown shows a picture that is not one of `drawings`.
        one_size: one knitter's document: numbers stand out of the instructions.
        drawings: those of the pictures, by file name, that keep their own size and stand in the text.

    Returns:
        A PDF; the same arguments give the same bytes.

    Raises:
        MissingGlyph: a character that can't be printed.
        ValueError: an unknown paper.
    """
    from grader.pages.painting import Imprint, paint
    from grader.pages.sheets import SHEETS

    pages = lay_out(markdown, paper=paper, drawing=drawing, one_size=one_size, drawings=drawings)
    return paint(pages, SHEETS[paper.lower()], Imprint(title, version, author, language))


def lay_out(
    markdown: str,
    *,
    paper: str = "a4",
    drawing: Drawing | None = None,
    one_size: bool = False,
    drawings: Mapping[str, Drawing] | None = None,
) -> tuple[Page, ...]:
    """The pages as placed marks, before ink: what `set_pages` paints.

    Notes stand beside the text where every page has room for its own, else in the text column.
    """
    from grader.pages.composing import Composer
    from grader.pages.paging import divide
    from grader.pages.reading import read_markdown
    from grader.pages.sheets import SHEETS

    if paper.lower() not in SHEETS:
        raise ValueError(f"unknown paper {paper!r}; there are {', '.join(SHEETS)}")
    sheet = SHEETS[paper.lower()]
    blocks = read_markdown(markdown)
    for beside in (True, False):
        pieces = Composer(sheet, blocks, drawing, one_size, beside, drawings or {}).compose()
        if not pieces:
            return ((),)
        pages = divide(pieces, sheet.depth)
        if pages is not None:
            return pages
    raise AssertionError("text without notes beside it always divides")
