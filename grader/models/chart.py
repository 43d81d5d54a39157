"""A stitch pattern as a chart: one square a stitch, one row of squares a round or row."""

from __future__ import annotations

from dataclasses import dataclass

from grader.vocabulary.stitches import Stitch, stitch_named


@dataclass(frozen=True, slots=True)
class Cell:
    """One operation in one square, a cable in as many as it crosses.

    `name` is the stitch with its manner, as it is worked: "k", "k tbl", "sl wyif", "2/2 LC"; "" where there is no
    stitch. `colour` is the word of its yarn; "" for the one in hand.
    """

    name: str = ""
    colour: str = ""

    @property
    def stitch(self) -> Stitch | None:
        """The stitch worked; None for a square without one."""
        return stitch_named(self.name) or stitch_named(self.name.partition(" ")[0])

    @property
    def columns(self) -> int:
        """How many squares it covers."""
        stitch = self.stitch
        return sum(stitch.crossing[:2]) if stitch and stitch.crossing else 1

    @property
    def takes(self) -> int:
        """Stitches it takes."""
        return self.stitch.takes if self.stitch else 0

    @property
    def leaves(self) -> int:
        """Stitches it leaves."""
        return self.stitch.leaves if self.stitch else 0


Cells = tuple[Cell, ...]
NO_STITCH = Cell()


@dataclass(frozen=True, slots=True)
class ChartRow:
    """One round (`side` is "") or one row (RS or WS); the cells stand in the order in which they are worked."""

    cells: Cells
    side: str = ""

    @property
    def from_right(self) -> Cells:
        """The cells as they lie on paper, from right to left; a wrong-side row is worked from left to right."""
        return self.cells[::-1] if self.side == "WS" else self.cells


@dataclass(frozen=True, slots=True)
class Chart:
    """A stitch pattern in squares, its rows in working order from the first.

    `first` and `width` are the columns of the repeat box, counted from the right edge and from 0; a chart without
    one (`width` 0) is worked once. All rows are equally wide.
    """

    name: str
    label: str
    rows: tuple[ChartRow, ...]
    first: int = 0
    width: int = 0

    @property
    def columns(self) -> int:
        """The squares across, those without a stitch too."""
        return sum(cell.columns for cell in self.rows[0].cells)

    @property
    def is_flat(self) -> bool:
        """True for rows to and fro, False for rounds."""
        return any(row.side for row in self.rows)

    def parts(self, row: ChartRow) -> tuple[Cells, Cells, Cells]:
        """The cells before, in and after the repeat box, each in working order; all before where there is no box."""
        if not self.width:
            return row.cells, (), ()
        start = self.columns - self.first - self.width if row.side == "WS" else self.first
        return cut(row.cells, start, start + self.width)

    @property
    def repeat(self) -> int:
        """The stitches that the repeat box takes in its first row (of a chart without one, the whole row)."""
        before, box, _ = self.parts(self.rows[0])
        return sum(cell.takes for cell in box or before)


def shortest(cells: Cells) -> Cells:
    """The smallest stretch that makes up the cells when it is repeated."""
    for length in range(1, len(cells)):
        if len(cells) % length == 0 and cells == cells[:length] * (len(cells) // length):
            return cells[:length]
    return cells


def cut(cells: Cells, start: int, end: int) -> tuple[Cells, Cells, Cells]:
    """The cells before column `start`, between, and from column `end` on; `ValueError` where one lies across."""
    found: tuple[list[Cell], list[Cell], list[Cell]] = ([], [], [])
    at = 0
    for cell in cells:
        place = 0 if at < start else 1 if at < end else 2
        after = at + cell.columns
        if any(at < edge < after for edge in (start, end)):
            raise ValueError(f"{cell.name} lies across the edge of the repeat")
        found[place].append(cell)
        at = after
    return tuple(found[0]), tuple(found[1]), tuple(found[2])


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One line of a chart's key: a square as it is drawn on a side, how it looks, what is worked, and its name."""

    cell: Cell
    side: str
    looks: str
    worked: str
    name: str
