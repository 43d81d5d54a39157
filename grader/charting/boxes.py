"""One repeat box for all rows of a chart: repeats of other lengths multiplied, starts of other places shifted."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from fractions import Fraction

from grader.charting.rows import MOST_CELLS, Row, UnchartableError, columns, leaves, takes
from grader.models.chart import Cells, cut


def lined_up(rows: Sequence[Row]) -> list[Row]:
    """The rows with repeat boxes that lie over one another; without any where the rows have a fixed width.

    Raises:
        UnchartableError: rows that don't go on from one another, or boxes that can't be brought into line.
    """
    if any(row.box is None for row in rows):
        return _fixed(rows)
    factors = _factors(rows)
    extra = _extra(rows, factors)
    shifts = _shifts_by_stitches(rows) or _shifts_by_columns(rows)
    boxes = max(
        0,
        *(
            math.ceil(Fraction(shift - more * columns(row.box), factor * columns(row.box)))
            for row, factor, more, shift in zip(rows, factors, extra, shifts, strict=True)
        ),
    )
    return [
        _shifted(row, factor, more + boxes * factor, shift)
        for row, factor, more, shift in zip(rows, factors, extra, shifts, strict=True)
    ]


def _fixed(rows: Sequence[Row]) -> list[Row]:
    """Every row written out over the stitches that are there: those of the rows that don't stretch."""
    start = next(number for number, row in enumerate(rows) if row.box is None)
    count = takes(rows[start].before)
    found: list[Row] = []
    for row in (*rows[start:], *rows[:start]):
        room = count - takes(row.before) - takes(row.after)
        times, rest = divmod(room, takes(row.box)) if row.box else (0, room)
        if rest or times < 0 or times * len(row.box or ()) > MOST_CELLS:
            raise UnchartableError("a row takes other stitches than there are")
        cells = row.before + (row.box or ()) * times + row.after
        found.append(Row(cells, None, (), row.side))
        count = leaves(cells)
    if count != takes(found[0].before):
        raise UnchartableError("the rows grow or shrink from one time to the next")
    turn = len(rows) - start
    return found[turn:] + found[:turn]


def _factors(rows: Sequence[Row]) -> list[int]:
    """How many of its own repeats each row has in the smallest box that all share."""
    times = [Fraction(1)]
    for below, row in itertools.pairwise(rows):
        times.append(times[-1] * leaves(below.box) / takes(row.box))
    if 0 in times or times[-1] * leaves(rows[-1].box) != takes(rows[0].box):
        raise UnchartableError("the repeat grows or shrinks from one time to the next")
    whole = math.lcm(*(each.denominator for each in times))
    counts = [int(each * whole) for each in times]
    shared = math.gcd(*counts)
    if max(count // shared * len(row.box or ()) for count, row in zip(counts, rows, strict=True)) > MOST_CELLS:
        raise UnchartableError("the box that all rows share is too wide")
    return [count // shared for count in counts]


def _extra(rows: Sequence[Row], factors: Sequence[int]) -> list[int]:
    """How many of its own repeats each row works beside the boxes, so that all rows have equally many boxes."""
    for first in range(factors[0]):
        found = [Fraction(first)]
        for below, row in itertools.pairwise((*rows, rows[0])):
            left = leaves(below.before) + leaves(below.after) + found[-1] * leaves(below.box)
            found.append((left - takes(row.before) - takes(row.after)) / takes(row.box))
        if found[-1] == found[0] and all(each.denominator == 1 for each in found):
            short = max(0, *(math.ceil(-each / factor) for each, factor in zip(found, factors, strict=False)))
            return [int(each) + short * factor for each, factor in zip(found, factors, strict=False)]
    raise UnchartableError("the edges grow or shrink from one time to the next")


def _shifts_by_stitches(rows: Sequence[Row]) -> list[int] | None:
    """How far each box moves so that it begins over the stitch that the box below begins with; None if none can.

    Only a repeat that is worked stitch by stitch can begin anywhere.
    """
    loose = [all(cell.takes == cell.leaves == cell.columns == 1 for cell in row.box or ()) for row in rows]
    first = loose.index(False) if not all(loose) else 0
    start = takes(rows[first].before)
    order = (*range(first, len(rows)), *range(first))
    shifts = _walked(rows, order, start)
    if all(loose):
        start -= min(0, *shifts)
        shifts = _walked(rows, order, start)
    if any(shift < 0 or (shift and not loose[number]) for number, shift in zip(order, shifts, strict=False)):
        return None
    if shifts[-1] != shifts[0]:
        return None
    return [shift for _, shift in sorted(zip(order, shifts, strict=False))]


def _walked(rows: Sequence[Row], order: Sequence[int], start: int) -> list[int]:
    """The shift of each row in that order, and of the first one again, where the box begins at stitch `start`."""
    shifts = []
    for number in (*order, order[0]):
        shifts.append(start - takes(rows[number].before))
        start = leaves(rows[number].before) + shifts[-1]
    return shifts


def _shifts_by_columns(rows: Sequence[Row]) -> list[int]:
    start = max(columns(row.before) for row in rows)
    return [start - columns(row.before) for row in rows]


def _shifted(row: Row, factor: int, extra: int, shift: int) -> Row:
    """The row with `factor` repeats in its box, which begins `shift` columns later than its repeat did."""
    repeat = row.box or ()
    wide = columns(repeat) * factor
    again = repeat * (extra + factor + math.ceil(shift / columns(repeat)))
    try:
        head, box, _ = cut(again, shift, shift + wide)
        rest = cut(repeat * extra, shift, shift)[2] if extra else ()
    except ValueError as across:
        raise UnchartableError(str(across)) from None
    return Row(row.before + head, box, rest + row.after, row.side)


def padded_width(rows: Sequence[Row]) -> tuple[int, int, int]:
    """The columns that the widest row needs before, in and after the box."""
    parts: list[tuple[Cells, ...]] = [(row.before, row.box or (), row.after) for row in rows]
    before, box, after = (max(columns(part[place]) for part in parts) for place in range(3))
    return before, box, after
