"""Laying a chart out in millimetres: squares, round numbers on the working side, the repeat box, the key."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from grader.charting.key import colour_letter
from grader.charting.shapes import Path, symbol_paths
from grader.models.chart import Cell, Chart, KeyRow
from grader.models.drawing import Drawing, Label, Stroke
from grader.vocabulary.chart_symbols import symbol_for
from grader.vocabulary.colours import CONTRAST, MAIN
from grader.vocabulary.wording import counted

STANDARD_MM, LARGE_MM = 5.0, 8.0  # a square in ordinary and in large print
LEAST_MM = 3.5
ROOM_MM = (165.0, 220.0)  # the text of an A4 page
_HAIR, _FIFTH, _BOX, _INK = 0.1, 0.25, 0.6, 0.3  # weights in mm
_EDGE, _NUMBERS, _UNDER = 0.6, 7.0, 5.0  # around the squares: nothing, round numbers, words under the box
_KEY_GAP, _KEY_INDENT, _KEY_BESIDE = 5.0, 2.0, 75.0  # how deep a key may be beside a smaller chart
_FIVES_FROM = 13  # columns or rows from which every fifth line is heavier
_NO_STITCH_SHADE = 0.4
_SHADES = {MAIN: 0.0, CONTRAST: 0.2}
_MM_PER_POINT = 25.4 / 72
_LEADING = 1.3  # from line to line of the key, in heights of its type
_PLAIN, _CORNER, _NAME, _ACROSS = 0.66, 0.42, 0.6, 0.9  # how large letters are in a square, as shares of it
_MOST_UNDER = 3  # lines of words under the squares, where type is large
_FEWEST = 4  # squares that go side by side, however large their letters ask them to be
_CHARACTER = 0.52  # mean width of a character in ems, a little more than the typeface's


@dataclass(frozen=True, slots=True)
class _Panel:
    """A stretch of the chart: columns from the right edge and rows from the bottom, both from 0."""

    columns: tuple[int, int]
    rows: tuple[int, int]


def draw_chart(
    chart: Chart,
    key: Sequence[KeyRow],
    size_mm: float = STANDARD_MM,
    room_mm: tuple[float, float] = ROOM_MM,
    proportion: float = 1.0,
    least_points: float = 0.0,
) -> tuple[Drawing, ...]:
    """The chart with its key, as one drawing or, where it is too big for the page, as several.

    Args:
        key: what the squares mean; drawn beside the chart or under it.
        size_mm: the width of a square. It shrinks to fit, but never below 3.5 mm.
        least_points: where not 0, no figure or letter is smaller; then squares grow with their letters, and never
            shrink, so that the chart may take more sheets.
        room_mm: width and height of the text on a page.
        proportion: the height of a square as a share of its width, as the gauge has it or 1.
    """
    around = _EDGE + _NUMBERS + (_NUMBERS if chart.is_flat else _EDGE)
    free = (room_mm[0] - around, room_mm[1] - _UNDER * (_MOST_UNDER if least_points else 1) - 2 * _EDGE)
    least = LEAST_MM
    if least_points:
        needed = max((_lettered(cell, row.side) for row in chart.rows for cell in row.cells), default=0.0)
        size_mm = least = max(size_mm, min(needed / proportion * least_points * _MM_PER_POINT, free[0] / _FEWEST))
    across, wide = _divided(chart.columns, free[0], size_mm, least)
    down, high = _divided(len(chart.rows), free[1] / proportion, size_mm, least)
    square = min(wide, high)
    sheets = [
        _Sheet(chart, _Panel(columns, rows), square, square * proportion, least_points)
        for rows in _stretches(len(chart.rows), down)
        for columns in _stretches(chart.columns, across, _uncuttable(chart))
    ]
    for sheet in sheets:
        sheet.draw(several=len(sheets) > 1, room=room_mm[0])
    if not sheets[-1].add_key(key, room_mm):
        sheets += _legends(chart, key, square, room_mm, least_points)
    return tuple(sheet.drawing(number, len(sheets)) for number, sheet in enumerate(sheets))


def _legends(
    chart: Chart, key: Sequence[KeyRow], square: float, room_mm: tuple[float, float], least_points: float
) -> Iterator[_Sheet]:
    """The key on sheets of its own, as much on each as there is room for."""
    start = 0
    while start < len(key):
        for end in range(len(key), start, -1):
            legend = _Sheet(chart, _Panel((0, 0), (0, 0)), square, square, least_points)
            legend.add_key(key[start:end], room_mm, alone=True)
            if legend.height <= room_mm[1] or end == start + 1:
                break
        yield legend
        start = end


def _lettered(cell: Cell, side: str) -> float:
    """How wide a square must be for the letters in it, in heights of their type; 0 where there are none."""
    shape = symbol_for(cell.name, side).shape
    own = max(1 / _NAME, len(cell.name) * _CHARACTER / _ACROSS) if shape == "letters" else 0.0
    colour = 1 / (_PLAIN if shape == "empty" else _CORNER) if cell.colour and colour_letter(cell.colour) else 0.0
    return max(own, colour)


def _divided(count: int, room: float, size: float, least: float) -> tuple[int, float]:
    """Into how many panels, and how wide a square is then."""
    panels = 1 if count * least <= room else math.ceil(count * size / room)
    most = math.ceil(count / panels)
    return panels, min(size, room / most)


def _stretches(count: int, panels: int, barred: frozenset[int] = frozenset()) -> Iterator[tuple[int, int]]:
    start = 0
    for number in range(panels):
        end = count if number == panels - 1 else max(start, min(count, (number + 1) * math.ceil(count / panels)))
        while end in barred and end > start + 1 and end < count:
            end -= 1
        if end > start:
            yield start, end
        start = end


def _uncuttable(chart: Chart) -> frozenset[int]:
    """The columns inside of crossings, where the chart can't be divided."""
    found: set[int] = set()
    for row in chart.rows:
        at = 0
        for cell in row.from_right:
            found.update(range(at + 1, at + cell.columns))
            at += cell.columns
    return frozenset(found)


class _Sheet:
    """One drawing as it grows; (`x0`, `y0`) is the upper left corner of its squares."""

    def __init__(self, chart: Chart, panel: _Panel, wide: float, high: float, least_points: float = 0.0) -> None:
        self.chart, self.panel, self.wide, self.high = chart, panel, wide, high
        self.x0 = _NUMBERS if chart.is_flat else _EDGE
        self.y0 = _EDGE
        self.columns = panel.columns[1] - panel.columns[0]
        self.rows = panel.rows[1] - panel.rows[0]
        self.points = max(8.0, 8.0 * wide / STANDARD_MM, least_points)
        self.width = self.x0 + self.columns * wide + _NUMBERS
        self.height = self.y0 + self.rows * high + _EDGE
        self.strokes: list[Stroke] = []
        self.labels: list[Label] = []

    def drawing(self, number: int, count: int) -> Drawing:
        """What has been drawn, with its words."""
        alt = chart_words(self.chart)
        if count > 1:
            alt += f" Part {number + 1} of {count}."
        return Drawing(round(self.width, 3), round(self.height, 3), tuple(self.strokes), tuple(self.labels), alt)

    # -- the squares

    def draw(self, several: bool, room: float) -> None:
        """Fills first, then symbols, then the lines of the grid, the box over all, and the words around."""
        self.symbols()
        self.grid()
        self.numbers()
        self.box()
        if several and self.panel.columns != (0, self.chart.columns):
            first, last = self.panel.columns[0] + 1, self.panel.columns[1]
            text = f"squares {first} to {last} from the right" if last > first else f"square {first} from the right"
            for line in _wrapped(text, room - self.x0, self.points):
                self.height += _UNDER
                self.width = max(self.width, min(room, self.x0 + _long(line, self.points)))
                self.labels.append(Label(self.x0, self.height - 1.2, line, "start", 0, self.points))

    def symbols(self) -> None:
        for number in range(*self.panel.rows):
            row = self.chart.rows[number]
            y = self.y0 + (self.panel.rows[1] - 1 - number) * self.high
            at = 0
            for cell in row.from_right:
                at += cell.columns
                if self.panel.columns[0] < at <= self.panel.columns[1]:
                    self.cell(cell, row.side, self.x0 + (self.panel.columns[1] - at) * self.wide, y)

    def cell(self, cell: Cell, side: str, x: float, y: float) -> None:
        """One cell by its upper left corner, without its outline."""
        wide, high = self.wide, self.high
        shade = _NO_STITCH_SHADE if not cell.name else _SHADES.get(cell.colour, 0.0)
        if cell.colour.startswith(CONTRAST) and cell.colour != CONTRAST:
            shade = 0.1 + 0.06 * int(cell.colour[-1])
        if shade:
            self.rectangle(x, y, cell.columns * wide, high, 0.0, shade)
        shape = symbol_for(cell.name, side).shape
        across = min(wide, high)  # symbols keep their shape in squares that are not square
        left, top = (0.0 if shape == "cable" else (wide - across) / 2), (high - across) / 2
        stretch = wide if shape == "cable" else across
        for path in symbol_paths(cell, side):
            self.strokes.append(Stroke(_placed(path, x + left, y + top, stretch, across), _INK))
        if shape == "letters":
            points = min(_NAME * high, _ACROSS * wide / (len(cell.name) * _CHARACTER)) / _MM_PER_POINT
            base = y + high / 2 + points * 0.12
            self.labels.append(Label(x + wide / 2, base, cell.name, "middle", 0, round(points, 2)))
        letter = colour_letter(cell.colour) if cell.colour else ""
        if letter:
            plain = shape == "empty"
            points = (_PLAIN if plain else _CORNER) * high / _MM_PER_POINT
            at = (x + wide / 2, y + high * 0.72) if plain else (x + 0.16 * wide, y + 0.36 * high)
            self.labels.append(Label(*at, letter, "middle", 0, round(points, 2)))

    def rectangle(self, x: float, y: float, across: float, down: float, weight: float, shade: float = 0.0) -> None:
        corners = ((x, y), (x + across, y), (x + across, y + down), (x, y + down))
        path: Path = (("M", corners[0]), *(("L", corner) for corner in corners[1:]))
        self.strokes.append(Stroke(path, weight, True, False, shade))

    def grid(self) -> None:
        """Level lines right across; upright ones except inside of crossings, every fifth heavier in a big chart."""
        right, bottom = self.x0 + self.columns * self.wide, self.y0 + self.rows * self.high
        for line in range(self.rows + 1):
            number = self.panel.rows[1] - line
            y = self.y0 + line * self.high
            self.line(self.x0, y, right, y, _weight(number, len(self.chart.rows)))
        for line in range(self.columns + 1):
            number = self.panel.columns[1] - line
            x = self.x0 + line * self.wide
            start: float | None = None
            for row in range(self.rows + 1):
                open_here = row < self.rows and not self.inside_crossing(self.panel.rows[1] - 1 - row, number)
                y = self.y0 + row * self.high
                if open_here and start is None:
                    start = y
                elif not open_here and start is not None:
                    self.line(x, start, x, y if row < self.rows else bottom, _weight(number, self.chart.columns))
                    start = None

    def inside_crossing(self, row: int, column: int) -> bool:
        at = 0
        for cell in self.chart.rows[row].from_right:
            if at >= column:
                break
            if at < column < at + cell.columns:
                return True
            at += cell.columns
        return False

    def line(self, x1: float, y1: float, x2: float, y2: float, weight: float) -> None:
        self.strokes.append(Stroke((("M", (x1, y1)), ("L", (x2, y2))), weight))

    def numbers(self) -> None:
        """The number of each round or row on the side where it begins."""
        for number in range(*self.panel.rows):
            middle = self.y0 + (self.panel.rows[1] - number - 0.5) * self.high
            base = middle + self.points * _MM_PER_POINT * 0.34
            if self.chart.rows[number].side == "WS":
                self.labels.append(Label(self.x0 - 1.4, base, str(number + 1), "end", 0, self.points))
            else:
                x = self.x0 + self.columns * self.wide + 1.4
                self.labels.append(Label(x, base, str(number + 1), "start", 0, self.points))

    def box(self) -> None:
        """The repeat box in a heavy line, as far as this panel shows it, and how wide it is."""
        chart, (first, last) = self.chart, self.panel.columns
        start, end = max(chart.first, first), min(chart.first + chart.width, last)
        if end <= start:
            return
        left, right = (self.x0 + (last - column) * self.wide for column in (end, start))
        top, bottom = self.y0, self.y0 + self.rows * self.high
        if self.panel.rows[1] == len(chart.rows):
            self.line(left, top, right, top, _BOX)
        if self.panel.rows[0] == 0:
            self.line(left, bottom, right, bottom, _BOX)
        if end == chart.first + chart.width:
            self.line(left, top, left, bottom, _BOX)
        if start == chart.first:
            self.line(right, top, right, bottom, _BOX)
        if self.panel.rows[0] == 0:
            text = f"repeat: {counted(chart.repeat, 'st')}"
            self.height += _UNDER
            room = self.columns * self.wide + self.x0 - _EDGE + _NUMBERS
            half = _long(text, self.points) / 2
            self.width += max(0.0, 2 * half - room)
            middle = min(max((left + right) / 2, half), self.width - half)
            self.labels.append(Label(middle, bottom + 4.4, text, "middle", 0, self.points))

    # -- the key

    def add_key(self, key: Sequence[KeyRow], room_mm: tuple[float, float], alone: bool = False) -> bool:
        """Draw the key beside the squares where there is room, else under them; False where neither has any."""
        if not key:
            return True
        wide, high = (min(max(each, LEAST_MM), LARGE_MM) for each in (self.wide, self.high))
        self.wide, self.high = wide, high
        points = max(9.0, 9.0 * wide / STANDARD_MM)
        square = max(row.cell.columns for row in key) * wide
        words = [key_words(row) for row in key]
        entry = square + _KEY_INDENT + max(_long(each, points) for each in words)
        pitch = max(high + 1.6, points * _MM_PER_POINT * _LEADING)
        beside = self.width + _KEY_GAP + entry <= room_mm[0] and len(key) * pitch <= max(self.height, _KEY_BESIDE)
        if beside and not alone:
            left, top, a_row = self.width + _KEY_GAP, self.y0, 1
        else:
            left, top = _EDGE, (self.y0 if alone else self.height + _KEY_GAP)
            a_row = max(1, min(3, int((room_mm[0] - left + _KEY_GAP) // (entry + _KEY_GAP))))
            entry = min(entry, room_mm[0] - left)
        told = [_wrapped(each, entry - square - _KEY_INDENT, points) for each in words]
        pitch = max(pitch, max(len(each) for each in told) * points * _MM_PER_POINT * _LEADING)
        deep = math.ceil(len(key) / a_row)
        if top + deep * pitch > room_mm[1] and not alone:
            return False
        for number, (row, lines) in enumerate(zip(key, told, strict=True)):
            column, line = divmod(number, deep)
            x, y = left + column * (entry + _KEY_GAP), top + line * pitch
            self.entry(row, lines, (x, y), square, points)
        columns = math.ceil(len(key) / deep)
        self.width = max(0.0 if alone else self.width, left + columns * (entry + _KEY_GAP) - _KEY_GAP)
        self.height = max(self.height, top + deep * pitch)
        return True

    def entry(self, row: KeyRow, lines: Sequence[str], at: tuple[float, float], square: float, points: float) -> None:
        """One row of the key: its square at the right of the room for squares, then its words."""
        own = row.cell.columns * self.wide
        x, y = at[0] + square - own, at[1]
        self.cell(row.cell, row.side, x, y)
        self.rectangle(x, y, own, self.high, _HAIR * 1.5)
        base = y + self.high / 2 + points * _MM_PER_POINT * 0.34
        for number, text in enumerate(lines):
            down = base + number * points * _MM_PER_POINT * _LEADING
            self.labels.append(Label(at[0] + square + _KEY_INDENT, down, text, "start", 0, points))


def _weight(number: int, count: int) -> float:
    return _FIFTH if count >= _FIVES_FROM and number % 5 == 0 and 0 < number < count else _HAIR


def _placed(path: Path, x: float, y: float, wide: float, high: float) -> Path:
    return tuple(
        (command, tuple(round(x + n * wide if not place % 2 else y + n * high, 4) for place, n in enumerate(points)))
        for command, points in path
    )


def _wrapped(text: str, room: float, points: float) -> list[str]:
    """The text in lines of at most so many millimetres."""
    return textwrap.wrap(text, max(8, int(room / (_CHARACTER * points * _MM_PER_POINT) + 0.01)))


def _long(text: str, points: float) -> float:
    """About how many millimetres a text is long."""
    return len(text) * _CHARACTER * points * _MM_PER_POINT


def key_words(row: KeyRow) -> str:
    """What stands beside a square of the key: "K: knit"."""
    return f"{row.worked}: {row.name}" if row.worked else row.name


def chart_words(chart: Chart) -> str:
    """What a chart shows, for those who can't see it."""
    kind = "row" if chart.is_flat else "round"
    of = f"{counted(chart.repeat, 'stitch', 'stitches')} by {counted(len(chart.rows), kind)}"
    size, reading = chart_size(chart)
    return f"Chart of {chart.label}: {of}. {size} {reading}"


def chart_size(chart: Chart) -> tuple[str, str]:
    """What repeats, and how the chart is read: two sentences."""
    rows = counted(len(chart.rows), "row" if chart.is_flat else "round")
    beside = chart.columns - chart.width
    size = f"Repeat of {counted(chart.repeat, 'st')} and {rows}, in the heavy box"
    if chart.width and beside:
        size += f", with {counted(beside, 'square')} beside it that {'is' if beside == 1 else 'are'} worked once"
    elif not chart.width:
        size = f"Panel of {counted(chart.repeat, 'st')} and {rows}, worked once across"
    way = "RS rows from right to left, WS rows from left to right" if chart.is_flat else "each round from right to left"
    return f"{size}.", f"Read from the bottom up, {way}."
