"""Papers, and where text, notes and foot stand on them. All lengths in points (1/72 in), y downwards."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grader.pages.styles import Style

STEP = 4.0  # everything stands on multiples of this
HAIRLINE = 0.4
FOOT = 30.0  # the foot line's baseline above the paper's edge


@dataclass(frozen=True, slots=True)
class Sheet:
    """One paper; `margin` is the width of the outer column for notes, 0 where there is none."""

    width: float
    height: float
    left: float
    top: float
    depth: float
    column: float
    gutter: float = 0.0
    margin: float = 0.0

    @property
    def wide(self) -> float:
        """The width of both columns together."""
        return self.column + self.gutter + self.margin

    @property
    def margin_x(self) -> float:
        """Where the outer column starts, from the left edge of the text."""
        return self.column + self.gutter


SHEETS = {
    "a4": Sheet(595.276, 841.89, 60.1, 56, 720, 336, 19, 120),
    "letter": Sheet(612, 792, 68.5, 52, 680, 336, 19, 120),
    "a5": Sheet(419.528, 595.276, 51.1, 48, 488, 317),
}


def sheet_for(paper: str, style: Style) -> Sheet:
    """The paper as a style uses it: in one column where it wants no outer one, and clear of a taller foot.

    Raises:
        ValueError: an unknown paper.
    """
    if paper.lower() not in SHEETS:
        raise ValueError(f"unknown paper {paper!r}; there are {', '.join(SHEETS)}")
    sheet = SHEETS[paper.lower()]
    if not style.outer_column:
        column = min(sheet.wide, style.most or sheet.wide)
        sheet = replace(sheet, column=column, gutter=0.0, margin=0.0)
    higher = max(0.0, style.foot.size - 9)  # a large foot line takes its room from the text
    return replace(sheet, depth=sheet.depth - -(-higher // STEP) * STEP)
