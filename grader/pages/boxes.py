"""Boxes to tick, lines to write on, and drawings and pictures in their places."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from grader.models.drawing import Drawing
from grader.pages.blocks import Picture, Run
from grader.pages.lines import Look, break_lines
from grader.pages.pieces import NEVER, WITHIN, Mark, Photo, Piece, Rule, Sketch, Square, Text
from grader.pages.sheets import Sheet
from grader.pages.structure import Element
from grader.pages.styles import BLACK, GREY, Style
from grader.pages.typefaces import width
from grader.pictures import decoded

_UNDER = 0.17  # of its size, what may reach below the baseline of a number
_SQUEEZED = 0.92
_APART = 3.0  # a number that stands out, from the box before it
_FEW_ROWS, _TORN = 4, 2.5 * WITHIN  # so few rows of boxes stay together where they can: they are counted as one
_TALLEST_DRAWING = 240.0
_FEW_LINES = 4  # so few to write on stay together
_POINTS_PER_MM = 72 / 25.4
_TALLEST_PHOTO = 0.4  # of the page
_TALLEST_SIGN = 48.0


def set_ticks(number: int, measure: float, style: Style, told: str, root: Element) -> list[Piece]:
    """Boxes in groups of five, with the round's number after each tenth; a group never breaks.

    `told` says what they are, with {first} and {last}.
    """
    row = style.tick
    side, pitch, five, number_room = style.box
    ten = 10 * pitch + five + number_room
    squeezed = (measure + 4) / ten / -(-(measure + 4) // ten)
    if style.chosen and squeezed > _SQUEEZED:  # a ten more in each row
        side, pitch, five, ten = (each * squeezed for each in (side, pitch, five, ten))
    a_row = max(1, int((measure + 4) // ten)) * 10
    if measure < ten - 4:
        a_row = 5
    pieces = []
    for start in range(0, number, a_row):
        end = min(number, start + a_row)
        figure = root.add("Figure", told.format(first=start + 1, last=end))
        marks: list[Mark] = []
        for box in range(start, end):
            place = box - start
            x = place // 10 * ten + place % 10 * pitch + (five if place % 10 >= 5 else 0.0)
            marks.append(Square(x, (row - side) / 2, side, of=figure))
            if box == number - 1 and style.chosen:  # how many there are is a number to find
                great = Look(style.body.size * style.stands_out, row, heavy=style.family.bold)
                marks.append(_numbered(box + 1, x + pitch + _APART, measure, row, great, figure))
            elif (box + 1) % 10 == 0 or box == number - 1:
                marks.append(_numbered(box + 1, x + pitch + 1, 0.0, row, style.small, figure))
        torn = WITHIN if number > _FEW_ROWS * a_row else _TORN
        pieces.append(Piece(row, tuple(marks), "ticks", turn=torn))
    return pieces


def _numbered(number: int, x: float, measure: float, row: float, look: Look, figure: Element) -> Text:
    """The number of the box before it: grey, or bold where a `measure` is given, and no larger than there is room."""
    said, font = str(number), look.heavy if measure else look.regular
    size = look.size
    if measure:
        size = min(size, size * (measure - x) / width(said, font, size))
    width(said, font, size)
    base = min(row / 2 + size * 0.34, row - size * _UNDER)
    return Text(x, base, said, font, size, BLACK if measure else GREY, of=figure)


def set_lines(number: int, measure: float, style: Style) -> list[Piece]:
    """Hairlines to write on, a hand's width apart whatever the type."""
    apart = max(24.0, style.body.leading)
    rule = Rule(0, apart - 2, measure, apart - 2, GREY)
    turn = NEVER if number <= _FEW_LINES else WITHIN / 3
    return [Piece(apart, (rule,), "lines", turn=turn if row else 0.0) for row in range(number)]


def set_picture(
    picture: Picture, drawing: Drawing | None, sheet: Sheet, style: Style, root: Element, across: float = 0.0
) -> list[Piece]:
    """The drawing at its own size, or smaller where it is too big; its description where there is none.

    Without an outer column it stands above the text, and takes at most a third of the page.
    """
    measure = across or sheet.wide
    if drawing is None:
        return _described(picture, measure, style, root)
    wide, high = drawing.width_mm * _POINTS_PER_MM, drawing.height_mm * _POINTS_PER_MM
    tallest = _TALLEST_DRAWING if sheet.margin else sheet.depth * min(0.31 * style.grown, 0.58)
    scale = min(style.grown, measure / wide, tallest / high)
    height = -(-high * scale // 4) * 4
    figure = root.add("Figure", drawing.alt)
    if (
        style.enlarges and scale < style.grown - 0.01
    ):  # its words would be smaller than the text: they stand below it instead
        bare = Sketch((measure - wide * scale) / 2, 0.0, replace(drawing, labels=()), scale, figure)
        told = _described(Picture("", drawing.alt), measure, style, root)
        return [Piece(height, (bare,), "drawing", wide=True), *told]
    sketch = Sketch((measure - wide * scale) / 2, 0.0, drawing, scale, figure)
    return [Piece(height, (sketch,), "drawing", wide=True)]


def _described(picture: Picture, measure: float, style: Style, root: Element) -> list[Piece]:
    small = style.small
    paragraph = root.add("P")
    lines = break_lines((Run(picture.alt),), small, measure, measure)
    return [
        Piece(
            small.leading,
            tuple(
                Text(span.x, small.baseline, span.text, span.font, span.size, GREY, of=paragraph) for span in line.spans
            ),
            "description",
            turn=WITHIN if row else 0.0,
        )
        for row, line in enumerate(lines)
    ]


def set_chart(drawing: Drawing, sheet: Sheet, style: Style, root: Element) -> list[Piece]:
    """A drawing at its own size at the left of the text, kept with the words above it; smaller only if it must be."""
    wide, high = drawing.width_mm * _POINTS_PER_MM, drawing.height_mm * _POINTS_PER_MM
    scale = 1.0 if drawing.true_size else min(style.grown, sheet.wide / wide, sheet.depth * 0.9 / high)
    height = -(-high * scale // 4) * 4
    across = wide * scale > sheet.column
    sketch = Sketch(0.0, 0.0, drawing, scale, root.add("Figure", drawing.alt))
    return [Piece(height, (sketch,), "chart", turn=NEVER / 4, wide=across)]


def set_photo(picture: Picture, file: Path, sheet: Sheet, root: Element, sign: bool = False) -> list[Piece]:
    """A designer's own picture, as wide as the text column, or smaller where it would be too tall or coarse.

    A `sign`, which stands above the title, is small.

    Raises:
        UnusablePicture: a file that is not a picture, or is broken.
    """
    pixels = decoded(file).size
    wide = min(sheet.column, pixels[0] * 0.75)  # no coarser than 96 to the inch
    high = wide * pixels[1] / pixels[0]
    scale = min(1.0, (_TALLEST_SIGN if sign else sheet.depth * _TALLEST_PHOTO) / high)
    photo = Photo(0.0, 0.0, wide * scale, high * scale, file, root.add("Figure", picture.alt))
    return [Piece(-(-high * scale // 4) * 4, (photo,), "picture", turn=NEVER / 4)]
