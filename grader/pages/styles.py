"""How a document looks: its typefaces, sizes of type, inks and columns, for each kind of reader.

All lengths are points (1/72 in). A style says how large and in what; a sheet (`sheets`) says where on which paper.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from grader.models.looks import Looks
from grader.pages.lines import Look
from grader.pages.typefaces import AIRY, PATTERN, Family, own_family, tracking

Ink = tuple[float, float, float]

_LOOKS = ("body", "small", "cell", "title", "part", "section", "setup", "foot")
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
    over the heading of a section, `tick` the height of a row of boxes (at 9 points).
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
        return replace(self, **sizes)

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
    )


STYLES: dict[str, Style] = {
    "standard": Style(),
    "one-size": Style(name="one-size", stands_out=1.4),
    "handout": Style(
        name="handout",
        body=Look(12, 16),
        small=Look(9.5, 12.5),
        cell=Look(11, 14),
        title=Look(22, 26, bold=True),
        part=Look(17, 20, bold=True),
        section=Look(14, 18, bold=True),
        setup=Look(12, 17, bold=True),
        stands_out=1.25,
        outer_column=False,
        apart=4.0,
        above=10.0,
        tick=16.0,
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
    ).in_family(AIRY),
}
