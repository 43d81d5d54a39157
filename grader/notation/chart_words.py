"""The words of a chart: the instruction line of every row, as short as the trade writes it."""

from __future__ import annotations

from collections.abc import Sequence

from grader.models.chart import Cell, Cells, Chart, shortest
from grader.notation.printing import print_line
from grader.notation.tree import Group, Item, Line, Op, Reach, Repeat, Run
from grader.vocabulary.stitches import SINGLES, stitch_named

_LONGEST_GROUP = 8  # stitches of a group in brackets
_FEWEST_TIMES = 3  # (yo, k2tog) twice is longer than what it says


def chart_lines(chart: Chart) -> tuple[str, ...]:
    """One line for every row of the chart, in working order, each as `print_line` prints it."""
    return tuple(print_line(Line(_items(*chart.parts(row), bool(chart.width)))) for row in chart.rows)


def _items(before: Cells, box: Cells, after: Cells, repeats: bool) -> tuple[Item, ...]:
    before, box, after = (tuple(cell for cell in part if cell.name) for part in (before, box, after))
    if not repeats:
        return _worked(before)
    box = shortest(box)
    plain = len(box) == 1 and box[0].name in ("k", "p")
    if plain:  # K to the end takes in what is worked alike beside the box
        while before and before[-1] == box[0]:
            before = before[:-1]
        while after and after[0] == box[0]:
            after = after[1:]
    reach = Reach("end", sum(cell.takes for cell in after))
    flexible = Run(box[0].name, reach, box[0].colour) if plain else Repeat(_worked(box), reach)
    return (*_worked(before), flexible, *_worked(after))


def _worked(cells: Sequence[Cell]) -> tuple[Item, ...]:
    """The cells as operations: neighbours alike as one, what comes again and again as a group."""
    ops: list[Op] = []
    for cell in cells:
        op = _op(cell)
        last = ops[-1] if ops else None
        if last is not None and op.name in SINGLES and _alike(last, op) and isinstance(last.count, int):
            ops[-1] = Op(op.name, last.count + 1, op.manner, "", op.colour)
        else:
            ops.append(op)
    return _grouped(ops)


def _alike(one: Op, other: Op) -> bool:
    return (one.name, one.manner, one.colour) == (other.name, other.manner, other.colour)


def _op(cell: Cell) -> Op:
    stitch = stitch_named(cell.name)
    if stitch is not None:
        return Op(stitch.name, 1, "", "", cell.colour)
    base, _, manner = cell.name.partition(" ")
    return Op(base, 1, manner, "", cell.colour)


def _grouped(ops: list[Op]) -> tuple[Item, ...]:
    items: list[Item] = []
    at = 0
    while at < len(ops):
        length, times = _group_at(ops, at)
        if times < _FEWEST_TIMES:
            items.append(ops[at])
            at += 1
        else:
            items.append(Group(tuple(ops[at : at + length]), times))
            at += length * times
    return tuple(items)


def _group_at(ops: list[Op], at: int) -> tuple[int, int]:
    """The length and the times of the group that takes in most from here on; a lone stitch is a group too."""
    best = (1, 1)
    for length in range(1, _LONGEST_GROUP + 1):
        group = ops[at : at + length]
        times = 1
        while len(group) == length and ops[at + times * length : at + (times + 1) * length] == group:
            times += 1
        if times >= _FEWEST_TIMES and times * length > best[0] * best[1]:
            best = (length, times)
    return best
