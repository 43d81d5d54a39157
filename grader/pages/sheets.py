"""Papers, columns, sizes of type and inks. All lengths in points (1/72 in), y downwards."""

from __future__ import annotations

from dataclasses import dataclass

from grader.pages.lines import Look

STEP = 4.0  # everything stands on multiples of this

BODY = Look(11, 16)
SMALL = Look(9, 12)
CELL = Look(9.5, 12)
TITLE = Look(26, 32, bold=True)
PART = Look(20, 24, bold=True)
SECTION = Look(15, 20, bold=True)
SETUP = Look(11, 20, bold=True)
BASELINE = 0.73  # of the leading: where a line's baseline lies below its top

BLACK = (0.0, 0.0, 0.0)
GREY = (0.35, 0.35, 0.35)
BAND = (0.935, 0.935, 0.935)
ACCENT = (0.43, 0.13, 0.16)  # a dark madder, 10:1 on white, a mid grey in print without colour
HAIRLINE = 0.4


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
FOOT = 30.0  # the foot line's baseline above the paper's edge
