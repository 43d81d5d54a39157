"""How a document looks: its typefaces, sizes of type, inks and columns, for each kind of reader.

All lengths are points (1/72 in). A style says how large and in what; a sheet (`sheets`) says where on which paper.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from grader.models.looks import Looks
from grader.pages.lines import Look
from grader.pages.typefaces import AIRY, PATTERN, Family, own_family, tracking

Ink = tuple[float, float, float]

_LOOKS = ("body", "small", "cell", "title", "part", "section", "setup", "foot")
BULLET = 12.0  # how far lists hang, at 11 points; as far hangs text under a label that stands in the line
HANG_MOST, HANG_SHARE = 96.0, 0.34  # how far text hangs under its label: at 11 points, and as a share of the column
_BETWEEN_PASSAGES = 0.4  # of the leading, at the least
_NARROW = 20  # heights of type in a column too narrow for text to hang
_STEP = 0.5  # by which type is made smaller, in points
_GREAT = 14.0  # numbers that stand out are no smaller than that
_BETWEEN_ROWS = 3.7  # of boxes, at the least
BLACK: Ink = (0.0, 0.0, 0.0)
GREY: Ink = (0.35, 0.35, 0.35)
BAND: Ink = (0.935, 0.935, 0.935)
MADDER: Ink = (0.43, 0.13, 0.16)  # 10:1 on white, a mid grey in print without colour


@dataclass(frozen=True, slots=True)
class Style:
    """The looks of one kind of document.

    `stands_out` lifts the numbers out of instructions by that factor (0: not); `outer_column` keeps a column for
    notes where the paper has room for one; `most` is the widest text column; `divides` lets words be divided at the
    end of a line; `enlarges` makes drawings as large as the type. `apart` is the white between passages, `above` that
    over the heading of a section, `tick` the height of a row of boxes, `box` their side, how far apart they stand, the
    white after five of them and the room for a number.

    `columns` stand side by side on a paper wide enough. Type is set smaller, down to `least` points, until a document
    `fits` so many pages. With `runs_in`, labels stand in the line; with `chosen`, only numbers in bold stand out.
    """

    name: str = "standard"
    family: Family = PATTERN
    body: Look = Look(11, 16)
    small: Look = Look(9, 12)
    cell: Look = Look(9.5, 12)
    title: Look = Look(26, 32, bold=True)
    part: Look = Look(20, 24, bold=True)
    section: Look = Look(15, 20, bold=True)
    setup: Look = Look(11, 20, bold=True)
    foot: Look = Look(9, 12)
    accent: Ink = MADDER
    band: Ink = BAND
    stands_out: float = 0.0
    outer_column: bool = True
    most: float = 0.0
    smallest_cell: float = 6.5
    divides: bool = True
    enlarges: bool = False
    apart: float = 12.0
    above: float = 24.0
    tick: float = 20.0
    box: tuple[float, float, float, float] = (9.0, 12.0, 6.0, 22.0)
    columns: int = 1
    fits: int = 0
    least: float = 0.0
    runs_in: bool = False
    chosen: bool = False

    @property
    def passage(self) -> float:
        """The white above a passage within a list: seen even where all else stands close."""
        return max(self.apart, _BETWEEN_PASSAGES * self.body.leading)

    @property
    def grown(self) -> float:
        """How much larger drawings are in large print: words of 9 points in them are then as large as the text."""
        return max(1.0, self.small.size / 9) if self.enlarges else 1.0

    def within(self, column: float) -> Style:
        """The same in a column so wide: where large type leaves little room beside labels, they stand in the line."""
        return replace(self, runs_in=True) if self.enlarges and column < _NARROW * self.body.size else self

    def hangs(self, column: float) -> float:
        """How far, at the most, text hangs under its label in a column so wide."""
        grown = self.body.size / 11
        return BULLET * grown if self.runs_in else min(HANG_MOST * grown, column * HANG_SHARE)

    def in_family(self, family: Family) -> Style:
        """The same sizes in other typefaces."""
        looks = {name: getattr(self, name)._replace(regular=family.regular, heavy=family.bold) for name in _LOOKS}
        return replace(self, family=family, **looks)

    def with_looks(self, looks: Looks) -> Style:
        """A designer's own colours, typefaces and size of type in place of ours.

        Raises:
            UnusableFont: a typeface that can't be embedded.
        """
        style = self
        if looks.regular is not None and looks.bold is not None:
            airy = tracking(self.family.regular)
            style = style.in_family(own_family(looks.regular, looks.bold, airy))
        if looks.larger != 1:
            style = style.enlarged(looks.larger)
        return replace(style, accent=looks.accent or style.accent, band=looks.band or style.band)

    def enlarged(self, factor: float) -> Style:
        """All type so much larger."""
        looks = {name: getattr(self, name) for name in _LOOKS}
        sizes = {
            name: look._replace(size=round(look.size * factor, 2), leading=round(look.leading * factor, 1))
            for name, look in looks.items()
        }
        return replace(self, least=self.least * factor, **sizes)._boxed(max(1.0, factor))

    def _boxed(self, factor: float) -> Style:
        """The same with larger boxes to tick."""
        side, pitch, five, number = (each * factor for each in self.box)
        return replace(self, tick=self.tick * factor, box=(side, pitch, five, number))

    def tightened(self) -> Iterator[Style]:
        """This style, then the same in smaller type, half a point less each time; its foot and great numbers stay."""
        yield self
        size, great = self.body.size - _STEP, self.body.size * self.stands_out
        while self.fits and size >= self.least:
            factor = size / self.body.size
            tight = replace(
                self.enlarged(factor), foot=self.foot, least=self.least, above=round(self.above * factor**2, 1)
            )
            yield replace(
                tight,
                body=tight.body.no_less(self.least, 1.35),
                small=tight.small.no_less(self.least, 1.22),
                cell=tight.cell.no_less(self.least, 1.25),
                stands_out=max(self.stands_out, min(great, _GREAT) / size),
                tick=max(self.box[0] + _BETWEEN_ROWS, self.tick * factor),
            )
            size -= _STEP

    def in_language(self, tag: str) -> Style:
        """The same looks, dividing words by the rules of a language, where the style divides any."""
        if not self.divides:
            return self
        looks = {name: getattr(self, name)._replace(language=tag) for name in ("body", "small", "cell")}
        return replace(self, **looks)


def _large(size: float) -> Style:
    """Large print: nothing on the page, tables and foot included, is smaller than `size`."""
    return Style(
        name=f"large-{size:g}",
        body=Look(size, size * 1.45),
        small=Look(size, size * 1.35),
        cell=Look(size, size * 1.35),
        title=Look(size * 1.6, size * 2, bold=True),
        part=Look(size * 1.45, size * 1.8, bold=True),
        section=Look(size * 1.25, size * 1.6, bold=True),
        setup=Look(size, size * 1.6, bold=True),
        foot=Look(size, size * 1.3),
        outer_column=False,
        smallest_cell=size,
        enlarges=True,
    )._boxed(size / 9)


STYLES: dict[str, Style] = {
    "standard": Style(),
    "one-size": Style(name="one-size", stands_out=1.4),
    "handout": Style(
        name="handout",
        body=Look(11.5, 15.4),
        small=Look(9.5, 12.4),
        cell=Look(10.5, 13),
        title=Look(20, 24, bold=True),
        part=Look(15, 19, bold=True),
        section=Look(13, 16.5, bold=True),
        setup=Look(11.5, 16, bold=True),
        stands_out=1.35,
        outer_column=False,
        apart=3.0,
        above=9.5,
        tick=13.5,
        box=(7.8, 9.5, 4.0, 15.5),
        columns=2,
        fits=2,
        least=8.5,
        runs_in=True,
        chosen=True,
    ),
    "worksheet": Style(name="worksheet", cell=Look(10.5, 17), outer_column=False),
    "large-18": _large(18),
    "large-24": _large(24),
    # Wide spaces between letters, words and lines, a short measure, nothing broken: what guides to print for readers
    # with dyslexia agree on (common practice; 12 to 14 points, lines half as far apart again, 60 to 70 characters).
    "easy": Style(
        name="easy",
        body=Look(14, 24),
        small=Look(13, 21),
        cell=Look(13, 20),
        title=Look(24, 32, bold=True),
        part=Look(20, 28, bold=True),
        section=Look(17, 24, bold=True),
        setup=Look(14, 24, bold=True),
        foot=Look(12, 16),
        outer_column=False,
        most=440,
        smallest_cell=12,
        divides=False,
    )
    .in_family(AIRY)
    ._boxed(13 / 9),
}
