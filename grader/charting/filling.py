"""Squares without a stitch: where rows have fewer stitches than others, each stays over those it grows from."""

from __future__ import annotations

from collections.abc import Sequence

from grader.charting.rows import columns, takes
from grader.models.chart import NO_STITCH, Cells


def filled(rows: Sequence[Cells], width: int) -> list[Cells]:
    """The rows (first one worked first, cells from right to left) all `width` columns wide."""
    if all(columns(row) == width for row in rows):
        return list(rows)
    start = next((number for number, row in enumerate(rows) if columns(row) == width), 0)
    found: dict[int, Cells] = {}
    below: list[float] = []
    for number in (*range(start, len(rows)), *range(start)):
        row = rows[number]
        places = _places(row, _sources(row, below), width)
        found[number] = _spread(row, places, width)
        below = _tops(row, places)
    return [found[number] for number in range(len(rows))]


def _sources(row: Cells, below: Sequence[float]) -> list[float | None]:
    """The middle of the stitches that each cell is worked into; None where it needs none, or none are known."""
    if takes(row) != len(below):
        return [None] * len(row)
    found: list[float | None] = []
    at = 0
    for cell in row:
        into = below[at : at + cell.takes]
        found.append(sum(into) / len(into) if into else None)
        at += cell.takes
    return found


def _places(row: Cells, sources: Sequence[float | None], width: int) -> list[int]:
    """The first column of each cell, in order, as near to what it is worked into as can be."""
    starts = width + 1
    best = [[0.0] * starts]  # by cells placed and columns used: the least distance
    for cell, source in zip(row, sources, strict=True):
        costs = [float("inf")] * starts
        for end in range(cell.columns, starts):
            off = 0.0 if source is None else abs(end - (cell.columns + 1) / 2 - source) ** 2
            costs[end] = min(costs[end - 1], best[-1][end - cell.columns] + off)
        best.append(costs)
    places: list[int] = []
    end = width
    for number in range(len(row), 0, -1):
        while best[number][end - 1] == best[number][end] and end - 1 >= row[number - 1].columns:
            end -= 1
        end -= row[number - 1].columns
        places.append(end)
    return places[::-1]


def _spread(row: Cells, places: Sequence[int], width: int) -> Cells:
    cells = []
    at = 0
    for cell, place in zip(row, places, strict=True):
        cells += [NO_STITCH] * (place - at) + [cell]
        at = place + cell.columns
    return (*cells, *[NO_STITCH] * (width - at))


def _tops(row: Cells, places: Sequence[int]) -> list[float]:
    """Where the stitches stand that each cell leaves."""
    tops: list[float] = []
    for cell, place in zip(row, places, strict=True):
        if cell.columns > 1:
            tops += range(place, place + cell.columns)
        else:
            tops += [place + number - (cell.leaves - 1) / 2 for number in range(cell.leaves)]
    return tops
