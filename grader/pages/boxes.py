"""Boxes to tick, and the drawing in its place."""

from __future__ import annotations

from grader.models.drawing import Drawing
from grader.pages.blocks import Picture, Run
from grader.pages.lines import break_lines
from grader.pages.pieces import NEVER, WITHIN, Mark, Piece, Sketch, Square, Text
from grader.pages.sheets import BASELINE, GREY, SMALL, Sheet
from grader.pages.typefaces import REGULAR, width

_SIDE, _PITCH, _FIVE_GAP, _ROW = 9.0, 12.0, 6.0, 20.0
_NUMBER_ROOM = 22.0
_TALLEST_DRAWING = 240.0
_POINTS_PER_MM = 72 / 25.4


def set_ticks(number: int, measure: float) -> list[Piece]:
    """Boxes in groups of five, with the round's number after each tenth; a group never breaks."""
    ten = 10 * _PITCH + _FIVE_GAP + _NUMBER_ROOM
    a_row = max(1, int((measure + 4) // ten)) * 10
    pieces = []
    for start in range(0, number, a_row):
        marks: list[Mark] = []
        for box in range(start, min(number, start + a_row)):
            place = box - start
            x = place // 10 * ten + place % 10 * _PITCH + (_FIVE_GAP if place % 10 >= 5 else 0.0)
            marks.append(Square(x, (_ROW - _SIDE) / 2, _SIDE))
            if place % 10 == 9 or box == number - 1:
                said = str(box + 1)
                width(said, REGULAR, SMALL.size)
                marks.append(Text(x + _PITCH + 1, _ROW / 2 + SMALL.size * 0.34, said, REGULAR, SMALL.size, GREY))
        pieces.append(Piece(_ROW, tuple(marks), "ticks", turn=WITHIN))
    return pieces


def set_picture(picture: Picture, drawing: Drawing | None, sheet: Sheet, across: float = 0.0) -> list[Piece]:
    """The drawing at its own size, or smaller where it is too big; its description where there is none.

    Without an outer column it stands above the text, and takes at most a third of the page.
    """
    measure = across or sheet.wide
    if drawing is None:
        lines = break_lines((Run(picture.alt),), SMALL, measure, measure)
        return [
            Piece(
                SMALL.leading,
                tuple(
                    Text(span.x, SMALL.leading * BASELINE, span.text, span.font, span.size, GREY) for span in line.spans
                ),
                "description",
                turn=WITHIN if row else 0.0,
            )
            for row, line in enumerate(lines)
        ]
    wide, high = drawing.width_mm * _POINTS_PER_MM, drawing.height_mm * _POINTS_PER_MM
    scale = min(1.0, measure / wide, (_TALLEST_DRAWING if sheet.margin else sheet.depth * 0.31) / high)
    height = -(-high * scale // 4) * 4
    return [Piece(height, (Sketch((measure - wide * scale) / 2, 0.0, drawing, scale),), "drawing", wide=True)]


def set_chart(drawing: Drawing, sheet: Sheet) -> list[Piece]:
    """A drawing at its own size at the left of the text, kept with the words above it; smaller only if it must be."""
    wide, high = drawing.width_mm * _POINTS_PER_MM, drawing.height_mm * _POINTS_PER_MM
    scale = min(1.0, sheet.wide / wide, sheet.depth / high)
    height = -(-high * scale // 4) * 4
    across = wide * scale > sheet.column
    return [Piece(height, (Sketch(0.0, 0.0, drawing, scale),), "chart", turn=NEVER / 4, wide=across)]
