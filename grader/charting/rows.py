"""From instruction lines to rows of cells with one repeat box, whatever repeats the lines are written in."""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.chart import Cell, Cells, shortest
from grader.notation import read_line
from grader.notation.chart_text import MOST_COLUMNS
from grader.notation.tree import Group, Item, Op, Reach, Repeat, Round, Run
from grader.vocabulary.stitches import stitch_named

MOST_CELLS = 4 * MOST_COLUMNS  # in a row before it is known to be too wide


class UnchartableError(ValueError):
    """Lines that no chart can show: turns, markers, formulas, or rows that don't go on from one another."""


@dataclass(frozen=True, slots=True)
class Row:
    """The cells of one line as they lie from right to left; `box` is None where nothing repeats to the end."""

    before: Cells
    box: Cells | None
    after: Cells
    side: str = ""


def takes(cells: Cells | None) -> int:
    """The stitches that the cells take."""
    return sum(cell.takes for cell in cells or ())


def leaves(cells: Cells | None) -> int:
    """The stitches that the cells leave."""
    return sum(cell.leaves for cell in cells or ())


def columns(cells: Cells | None) -> int:
    """The squares that the cells cover."""
    return sum(cell.columns for cell in cells or ())


def row_of(text: str, side: str) -> Row:
    """The cells of one line; `UnchartableError` where it holds what has no square."""
    statement = read_line(text)
    if not isinstance(statement, Round) or len(statement.parts) != 1:
        raise UnchartableError(text)
    part = statement.parts[0]
    if part.needles or part.each:
        raise UnchartableError(text)
    parts: list[list[Cell]] = [[], [], []]
    reach: Reach | None = None
    for item in part.line.items:
        if isinstance(item, Run) or (isinstance(item, Repeat) and item.reach is not None):
            if reach is not None:
                raise UnchartableError("two runs in one line")
            reach = item.reach
            parts[1] = _run(item)
        else:
            parts[0 if reach is None else 2] += _cells(item)
    before, box, after = tuple(parts[0]), shortest(tuple(parts[1])), tuple(parts[2])
    if reach is not None and (reach.to != "end" or reach.before != takes(after) or not takes(box)):
        raise UnchartableError(text)
    if side == "WS":
        before, box, after = after[::-1], box[::-1], before[::-1]
    return Row(before, box if reach is not None else None, after, side)


def _run(item: Run | Repeat) -> list[Cell]:
    if isinstance(item, Repeat):
        return [cell for each in item.items for cell in _cells(each)]
    if item.name not in ("k", "p"):
        raise UnchartableError("in pattern")
    return [Cell(item.name, item.colour)]


def _cells(item: Item) -> list[Cell]:
    if isinstance(item, Op):
        stitch = stitch_named(item.name)
        if stitch is None or stitch.name == "DS":
            raise UnchartableError(item.name)
        name = f"{stitch.name} {item.manner}" if item.manner else stitch.name
        return [Cell(name, item.colour)] * _whole(item.count)
    if isinstance(item, Group) or (isinstance(item, Repeat) and item.reach is None):
        inner = [cell for each in item.items for cell in _cells(each)]
        times = _whole(item.times)
        if len(inner) * times > MOST_CELLS:
            raise UnchartableError("too wide")
        return inner * times
    raise UnchartableError(type(item).__name__)


def _whole(count: int | str | None) -> int:
    if not isinstance(count, int) or count > MOST_CELLS:
        raise UnchartableError("a formula, or far too many stitches")
    return count
