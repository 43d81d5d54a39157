"""What pages are stacked from: pieces that never split, and the marks that they make.

Coordinates inside a piece run from its upper left corner, in points, y downwards.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from grader.models.drawing import Drawing
from grader.pages.lines import Line
from grader.pages.structure import Element
from grader.pages.typefaces import width

Ink = tuple[float, float, float]
_BLANK = re.compile("(…{3,})")  # room to write: drawn as a box


class Text(NamedTuple):
    """Words on a baseline; `of` is the element of the document's structure that they are part of, if any."""

    x: float
    y: float
    text: str
    font: str
    size: float
    ink: Ink
    link: str = ""
    of: Element | None = None


class Rule(NamedTuple):
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    ink: Ink


class Fill(NamedTuple):
    """A band of tint."""

    x: float
    y: float
    width: float
    height: float
    ink: Ink


class Ring(NamedTuple):
    """A round box to ring, by its middle."""

    x: float
    y: float
    radius: float


class Square(NamedTuple):
    """A box to tick or to write in, by its upper left corner."""

    x: float
    y: float
    side: float
    across: float = 0.0  # its width where that is not its side
    of: Element | None = None


class Sketch(NamedTuple):
    """A drawing at a scale, by its upper left corner."""

    x: float
    y: float
    drawing: Drawing
    scale: float
    of: Element | None = None


class Photo(NamedTuple):
    """A designer's own picture, by its upper left corner; lengths in points."""

    x: float
    y: float
    width: float
    height: float
    file: Path
    of: Element | None = None


Mark = Text | Rule | Fill | Ring | Square | Sketch | Photo

# What it costs to turn the page before a piece, against up to 5 for a page that is a third empty.
FREE, PASSAGE, SETUP_HEAD, ROW, WITHIN, UNDER_TABLE, NEVER = 0.0, 18.0, 10.0, 32.0, 45.0, 60.0, 500.0
ALWAYS = -1e6  # the page is turned before the piece, whatever stands above it


@dataclass(frozen=True, slots=True)
class Note:
    """A note for the outer column; `drop` is how far below its piece's top it would like to stand."""

    height: float
    marks: tuple[Mark, ...]
    drop: float = 0.0


@dataclass(slots=True)
class Piece:
    """A stretch of a page that is never split.

    `before` is the space above it (none at a page's top), `turn` what it costs to turn the page
    before it, `notes` and `fixed` what stands beside it, `fixed` being bound to its height.
    `wide` pieces need the outer column for themselves. `header` is drawn again above the piece
    where it opens a page. `role` says what it is: for the reader of a tagged file, and for tests.
    """

    height: float
    marks: tuple[Mark, ...]
    role: str
    before: float = 0.0
    turn: float = FREE
    wide: bool = False
    notes: tuple[Note, ...] = ()
    fixed: tuple[tuple[float, float], ...] = ()
    header: Piece | None = None
    bookmark: tuple[int, str] | None = None


class Placed(NamedTuple):
    """Marks at a height of a page; `role` as in `Piece`, "note" for what stands beside."""

    y: float
    marks: tuple[Mark, ...]
    role: str
    bookmark: tuple[int, str] | None = None
    height: float = 0.0


Page = tuple[Placed, ...]


def line_marks(line: Line, x: float, y: float, ink: Ink, of: Element | None) -> list[Mark]:
    """A set line with its left end at `x` and its baseline at `y`; runs of … become boxes to write in."""
    marks: list[Mark] = []
    for span in line.spans:
        if "………" not in span.text:
            marks.append(Text(x + span.x, y, span.text, span.font, span.size, ink, span.link, of))
            continue
        at = x + span.x
        for number, part in enumerate(_BLANK.split(span.text)):
            wide = width(part, span.font, span.size)
            if number % 2:
                marks.append(Square(at + 1, y - span.size * 0.92, span.size * 1.2, wide - 2, of))
            elif part:
                marks.append(Text(at, y, part, span.font, span.size, ink, span.link, of))
            at += wide
    return marks
