"""A chart as text: what a designer draws with letters, top line first, squares as they lie on paper.

A line is squares with blanks between: `k yo cdd yo k`. A square is the abbreviation of its stitch, manners after
hyphens (`k-tbl`, `sl-wyif`), the colour after a colon (`k:CC`), `.` for no stitch; a cable (`2/2LC`) lies over as
many squares as it crosses; `k1p1k1` is (k1, p1, k1) into one. Two bars `|` in every line are the edges of the
repeat box; without them the chart is worked once. Squares show the right side: in a wrong-side row `k` is worked
as a purl. A stitch without a likeness on the right side is written as it is worked, with `/ws` after it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from grader.models.chart import NO_STITCH, Cell, Cells, Chart, ChartRow
from grader.vocabulary.chart_symbols import seen_from_right, worked_from_wrong
from grader.vocabulary.colours import colour_named
from grader.vocabulary.stitches import MANNERS, SINGLES, stitch_named

_TOKEN = re.compile(r"\||[^\s|]+")
_CABLE = re.compile(r"(\d/\d)([lr]p?c)", re.IGNORECASE)
_BAR, _NONE, _ON_WRONG_SIDE = "|", ".", "/ws"
_INTO_ONE, _INTO_ONE_TEXT = "(k1, p1, k1) into one", "k1p1k1"
MOST_COLUMNS, MOST_ROWS = 200, 200


@dataclass(frozen=True, slots=True)
class ChartMistake:
    """What is wrong in a chart as text, in which line from the top and at which character (both from 0)."""

    message: str
    mend: str
    line: int
    offset: int = 0


@dataclass(frozen=True, slots=True)
class _Read:
    """One line of the text: cells from left to right, the bars by their column, and where every square stands."""

    cells: Cells
    bars: tuple[int, ...]
    places: tuple[int, ...]


def read_chart(
    name: str, label: str, lines: Sequence[str], flat: bool = False
) -> tuple[Chart | None, tuple[ChartMistake, ...]]:
    """The chart that a text draws, or everything that is wrong with it.

    `lines` stand as on paper, the last round or row first; `flat` charts are of rows, the first (lowest) from the
    right side.
    """
    if len(lines) > MOST_ROWS:
        return None, (ChartMistake(f"a chart has at most {MOST_ROWS} lines", "split it", MOST_ROWS),)
    mistakes: list[ChartMistake] = []
    read: list[_Read] = []
    for number, text in enumerate(lines):
        side = ("RS", "WS")[(len(lines) - 1 - number) % 2] if flat else ""
        read.append(_line(text, number, side, mistakes))
    if flat and len(lines) % 2:
        mistakes.append(ChartMistake("the chart has an odd number of rows, so the last has no row back", _ADD_ROW, 0))
    if not mistakes:
        _check_shape(read, mistakes)
    if mistakes:
        return None, tuple(mistakes)
    rows = tuple(
        ChartRow(each.cells if flat and number % 2 else each.cells[::-1], ("RS", "WS")[number % 2] if flat else "")
        for number, each in enumerate(reversed(read))
    )
    bars = read[0].bars
    across = sum(cell.columns for cell in read[0].cells)
    chart = Chart(name, label, rows, across - bars[1] if bars else 0, bars[1] - bars[0] if bars else 0)
    _check_counts(chart, mistakes)
    return (None if mistakes else chart), tuple(mistakes)


_ADD_ROW = "add the wrong-side row at the top"


def _line(text: str, number: int, side: str, mistakes: list[ChartMistake]) -> _Read:
    cells: list[Cell] = []
    bars: list[int] = []
    places: list[int] = []
    column = 0
    for token in _TOKEN.finditer(text):
        if token[0] == _BAR:
            bars.append(column)
            continue
        found = _cell(token[0], side)
        if isinstance(found, Cell):
            cells.append(found)
            places.append(token.start())
            column += found.columns
        else:
            mistakes.append(ChartMistake(found[0], found[1], number, token.start()))
            column += 1
    if not any(cell.name for cell in cells) and not any(each.line == number for each in mistakes):
        mistakes.append(ChartMistake("this line of the chart has no stitch", "write its squares, or delete it", number))
    if column > MOST_COLUMNS:
        mistakes.append(ChartMistake(f"a chart has at most {MOST_COLUMNS} squares across", "split it", number))
    return _Read(tuple(cells), tuple(bars), tuple(places))


def _cell(text: str, side: str) -> Cell | tuple[str, str]:
    """The square of one token, or what is wrong with it and what would mend it."""
    if text == _NONE:
        return NO_STITCH
    word, colon, colour_word = text.partition(":")
    colour = colour_named(colour_word)
    if colon and not colour:
        return f"{colour_word!r} is no colour in {text!r}", "write MC or CC after the colon"
    as_worked = word.endswith(_ON_WRONG_SIDE)
    name = _named(word.removesuffix(_ON_WRONG_SIDE))
    if not name:
        counted = re.fullmatch(r"([a-z]+)(\d+)", word, re.IGNORECASE)
        if counted and counted[1].lower() in SINGLES:
            return f"{word!r} is more than one square", f"write {counted[1]} once for each stitch"
        return f"unknown symbol {text!r}", "compare it with the abbreviations of the notation; manners follow a hyphen"
    if as_worked and side != "WS":
        return f"{text!r} stands in no wrong-side row", "delete /ws"
    if side == "WS" and not as_worked:
        worked = worked_from_wrong(name)
        if not worked:
            return f"{word!r} can't be worked from the wrong side", f"write {word}{_ON_WRONG_SIDE} to work it as it is"
        name = worked
    return Cell(name, colour)


def _named(word: str) -> str:
    """The stitch of a square with its manners; "" for none."""
    if word.lower() == _INTO_ONE_TEXT:
        return _INTO_ONE
    cable = _CABLE.fullmatch(word)
    words = f"{cable[1]} {cable[2]}" if cable else word.replace("-", " ")
    stitch = stitch_named(words)
    if stitch is not None:
        return stitch.name if stitch.name != "DS" and stitch.name != _INTO_ONE else ""
    base, *manners = words.split(" ")
    stitch = stitch_named(base)
    if stitch is None or stitch.name not in SINGLES or any(each.lower() not in MANNERS for each in manners):
        return ""
    return " ".join((stitch.name, *(each.lower() for each in manners)))


def _check_shape(read: list[_Read], mistakes: list[ChartMistake]) -> None:
    """All lines are equally wide, and the bars stand in the same columns; the lowest line is the measure."""
    lowest = read[-1]
    width = sum(cell.columns for cell in lowest.cells)
    for number, each in enumerate(read):
        across = sum(cell.columns for cell in each.cells)
        if across != width:
            message = f"this line is {across} squares wide, the lowest {width}"
            mistakes.append(ChartMistake(message, "write . where there is no stitch", number, each.places[-1]))
        elif len(each.bars) not in (0, 2):
            message = f"this line has {len(each.bars)} of the bars that edge the repeat"
            mistakes.append(ChartMistake(message, "write | at both edges of the repeat", number, each.places[0]))
        elif each.bars != lowest.bars:
            message = "the bars of the repeat don't stand in the same columns as in the lowest line"
            mistakes.append(ChartMistake(message, "bring them into line", number, each.places[0]))
        elif each.bars and each.bars[0] == each.bars[1]:
            mistakes.append(ChartMistake("there is no square between the bars", "put the repeat between", number))


def _check_counts(chart: Chart, mistakes: list[ChartMistake]) -> None:
    """Each row takes what the row below leaves, in the repeat and beside it; the first takes what the last leaves."""
    for number, row in enumerate(chart.rows):
        line = len(chart.rows) - 1 - number
        below = chart.rows[number - 1]
        pairs = zip(_sums(chart, row, True), _sums(chart, below, False), strict=True)
        for where, (taken, left) in zip(("", " repeat"), pairs, strict=True):
            if taken != left:
                what = "row" if chart.is_flat else "round"
                last = (number - 1) % len(chart.rows) + 1
                message = f"{what} {number + 1} takes {taken}{where} sts, {what} {last} leaves {left}"
                mistakes.append(ChartMistake(message, "balance increases and decreases", line))
                break


def _sums(chart: Chart, row: ChartRow, taken: bool) -> tuple[int, int]:
    """The stitches taken (or left) beside the repeat box and in it."""
    before, box, after = chart.parts(row)
    counts = [sum(cell.takes if taken else cell.leaves for cell in part) for part in ((*before, *after), box)]
    return counts[0], counts[1]


# -- back to text


def print_chart(chart: Chart) -> tuple[str, ...]:
    """The chart as text, top line first, its squares in line where they are not too long."""
    rows = [_printed(chart, row) for row in reversed(chart.rows)]
    width = max(len(token) for tokens in rows for token in tokens if token != _BAR)
    return tuple(
        " ".join(token if token == _BAR else token.ljust(width) for token in tokens).rstrip() for tokens in rows
    )


def _printed(chart: Chart, row: ChartRow) -> list[str]:
    """The squares from left to right."""
    edges = (chart.first, chart.first + chart.width) if chart.width else ()
    tokens: list[str] = []
    column = 0
    for cell in (*row.from_right, None):
        if column in edges:
            tokens.append(_BAR)
        if cell is not None:
            tokens.append(_token(cell, row.side))
            column += cell.columns
    return tokens[::-1]


def _token(cell: Cell, side: str) -> str:
    if not cell.name:
        return _NONE
    name, mark = cell.name, ""
    if side == "WS":
        seen = seen_from_right(name)
        name, mark = (seen, "") if seen else (name, _ON_WRONG_SIDE)
    stitch = stitch_named(name)
    if name == _INTO_ONE:
        word = _INTO_ONE_TEXT
    elif stitch is not None and stitch.crossing:
        word = name.replace(" ", "")
    else:
        word = name.replace(" ", "-")
    return f"{word}{mark}{':' + cell.colour if cell.colour else ''}"
