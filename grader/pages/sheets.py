"""Papers, and where text, notes and foot stand on them. All lengths in points (1/72 in), y downwards."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grader.pages.styles import Style

STEP = 4.0  # everything stands on multiples of this
HAIRLINE = 0.4
_BETWEEN, _NARROWEST = 17.0, 200.0  # columns of text: the white between two, and how narrow one may be
_LEAST_MARGIN = 51.1  # 18 mm: what printers reach, and a hand can hold
_ABOVE_FOOT = 46.0  # the end of the text above the paper's edge, clear of the foot line
FOOT = 30.0  # the foot line's baseline above the paper's edge


@dataclass(frozen=True, slots=True)
class Sheet:
    """One paper; `margin` is the width of the outer column for notes, 0 where there is none.

    Where `columns` of text stand side by side, each is `column` wide, and `gutter` lies between two.
    """

    width: float
    height: float
    left: float
    top: float
    depth: float
    column: float
    gutter: float = 0.0
    margin: float = 0.0
    columns: int = 1

    @property
    def wide(self) -> float:
        """The width of all columns together."""
        return self.column * self.columns + self.gutter * max(1, self.columns - 1) + self.margin

    def divided(self, columns: int) -> Sheet:
        """The same paper with so many columns of text side by side, or as it is where they would be too narrow."""
        column = (self.wide - _BETWEEN * (columns - 1)) / columns
        if columns < 2 or column < _NARROWEST:
            return self
        return replace(self, column=column, gutter=_BETWEEN, margin=0.0, columns=columns)

    @property
    def margin_x(self) -> float:
        """Where the outer column starts, from the left edge of the text."""
        return self.column + self.gutter


SHEETS = {
    "a4": Sheet(595.276, 841.89, 60.1, 56, 720, 336, 19, 120),
    "letter": Sheet(612, 792, 68.5, 52, 680, 336, 19, 120),
    "a5": Sheet(419.528, 595.276, 51.1, 48, 488, 317),
}


def _filled(sheet: Sheet) -> Sheet:
    """The paper with margins no wider than they must be."""
    left, top = min(sheet.left, _LEAST_MARGIN), min(sheet.top, _LEAST_MARGIN)
    depth = (sheet.height - top - _ABOVE_FOOT) // STEP * STEP
    return replace(sheet, left=left, top=top, depth=depth, column=sheet.width - 2 * left, gutter=0.0, margin=0.0)


def sheet_for(paper: str, style: Style) -> Sheet:
    """The paper as a style uses it: in one column where it wants no outer one, and clear of a taller foot.

    Raises:
        ValueError: an unknown paper.
    """
    if paper.lower() not in SHEETS:
        raise ValueError(f"unknown paper {paper!r}; there are {', '.join(SHEETS)}")
    sheet = SHEETS[paper.lower()]
    if style.columns > 1:
        sheet = _filled(sheet)
    if not style.outer_column:
        column = min(sheet.wide, style.most or sheet.wide)
        sheet = replace(sheet, column=column, gutter=0.0, margin=0.0)
    higher = max(0.0, style.foot.size - 9)  # a large foot line takes its room from the text
    return replace(sheet, depth=sheet.depth - -(-higher // STEP) * STEP)


def wanted_pages(paper: str, style: Style) -> int:
    """How many pages a document should fit, more on a paper that has no room for the columns; 0 where it needn't."""
    on = sheet_for(paper, style).divided(style.columns)
    return style.fits * (style.columns if on.columns == 1 else 1)
