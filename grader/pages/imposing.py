"""Where the pages of a document stand on the sheets that go to press."""

from __future__ import annotations

from dataclasses import dataclass

from grader.pages.sheets import Sheet

BLEED, MARK_GAP, MARK = 3 * 72 / 25.4, 2 * 72 / 25.4, 5 * 72 / 25.4  # 3 mm of bleed; marks 5 mm long, outside it
_BINDING = 8.0  # so much wider is the inner margin of a bound page


@dataclass(frozen=True, slots=True)
class Stand:
    """One page on a sheet: which (counted from 0; None: blank), and where its lower left corner stands."""

    page: int | None
    x: float
    y: float


def saddle_stitched(count: int) -> tuple[tuple[int | None, int | None], ...]:
    """The pages on the left and the right of each side of the sheets, folded one into the other and sewn at the fold.

    Blank pages fill up to a multiple of four: those after the last page.
    """
    whole = -(-count // 4) * 4

    def there(page: int) -> int | None:
        return page if page < count else None

    sides: list[tuple[int | None, int | None]] = []
    for sheet in range(whole // 4):
        first, last = 2 * sheet, whole - 1 - 2 * sheet
        sides += [(there(last), there(first)), (there(first + 1), there(last - 1))]
    return tuple(sides)


def stands(count: int, sheet: Sheet, bound: bool, imposed: bool, around: float) -> list[list[Stand]]:
    """The pages on each sheet's side; `around` is the room outside the trimmed page, for bleed and marks."""

    def shift(page: int) -> float:
        return (-_BINDING if page % 2 else _BINDING) if bound or imposed else 0.0

    if not imposed:
        return [[Stand(page, around + shift(page), around)] for page in range(count)]
    sides = saddle_stitched(count)
    return [
        [
            Stand(page, around + half * sheet.width + (shift(page) if page is not None else 0.0), around)
            for half, page in enumerate(side)
        ]
        for side in sides
    ]
