"""Tables: no vertical rules, numbers to the right, every third row banded, the head on every page."""

from __future__ import annotations

from dataclasses import dataclass, replace

from grader.pages.blocks import Grid, Runs, plain
from grader.pages.lines import Line, Look, break_lines, longest_word, natural_width
from grader.pages.pieces import FREE, NEVER, ROW, Fill, Mark, Piece, Ring, Rule, Text, line_marks
from grader.pages.sheets import STEP, Sheet
from grader.pages.structure import Element
from grader.pages.styles import BLACK, Style

RING = "○"
_PAD = 4.0  # between a cell's text and the next column, each side
_TALLEST = 200.0  # points of a cell in one piece, and no more than twelve lines of it
_MOST_LINES = 12
_FOLD = 10  # a list of pairs longer than this goes into two columns side by side
_HEAD_LINES = 2  # a table of more lines in its head is set over both columns
_TORN = NEVER * 0.8  # what it costs to split rows that belong together: less than a head without a row
_TALL = 100.0  # points of a row
_KEPT, _FEW_HIGH, _KEPT_HIGH = 8, 320.0, 240.0  # a table isn't split up to a height, one of few rows to a greater


@dataclass(frozen=True, slots=True)
class _Layout:
    """A table's columns on paper: their widths, and the look of cells and heads."""

    widths: tuple[float, ...]
    look: Look
    align: str
    style: Style

    @property
    def total(self) -> float:
        return sum(self.widths)

    @property
    def tallest(self) -> int:
        """How many lines of a cell go into one piece."""
        return max(3, min(_MOST_LINES, int(_TALLEST / self.look.leading)))

    @property
    def head(self) -> Look:
        return self.look._replace(bold=True)


def set_grid(grid: Grid, sheet: Sheet, style: Style, root: Element, measure: float | None = None) -> list[Piece]:
    """The table's pieces, one a row; over both columns of the sheet where the text column is too narrow."""
    columns = max([len(grid.heads), *(len(row) for row in grid.rows)], default=0)
    if not columns:
        return []
    grid = _filled(grid, columns)
    if measure is None and columns == 2 and len(grid.rows) > _FOLD and sheet.margin:
        folded = _folded(grid, sheet, style, root)
        if folded:
            return folded
    if measure is None:
        narrow = _narrowed(grid, sheet.wide, style)
        if len(narrow) > 1:
            return [piece for part in narrow for piece in set_grid(part, sheet, style, root)]
    layout = _laid_out(grid, measure or (sheet.column if _fits(grid, sheet.column, style) else sheet.wide), style)
    if measure is None and layout.total <= sheet.column and _head_lines(grid, layout) > _HEAD_LINES:
        layout = _laid_out(grid, sheet.wide, style)
    wide = layout.total > sheet.column + 0.1 and measure is None
    return _pieces(grid, layout, wide, root.add("Table"))


def _narrowed(grid: Grid, measure: float, style: Style) -> list[Grid]:
    """The table as several, one under the other, where words would have to be broken to get all columns abreast.

    Each begins with the column that names its rows.
    """
    look = style.cell._replace(size=min(style.cell.size, style.smallest_cell))
    least = _least(grid, look)
    if sum(least) <= measure or len(least) < 3:
        return [grid]
    ringed = any(_is_ring(row[0]) for row in grid.rows)
    named = 1 if ringed else 0
    room = measure - least[named]
    parts: list[list[int]] = [[0, 1] if ringed else [0]]
    used = least[0] if ringed else 0.0
    for column in range(named + 1, len(least)):
        if used + least[column] > room and parts[-1][-1] != named:
            parts.append([named])
            used = 0.0
        parts[-1].append(column)
        used += least[column]
    return [
        Grid(
            tuple(grid.heads[column] for column in part),
            tuple(tuple(row[column] for column in part) for row in grid.rows),
            "".join(grid.align[column] for column in part),
        )
        for part in parts
    ]


def _least(grid: Grid, look: Look) -> list[float]:
    """How narrow each column can be without breaking a word."""
    head = look._replace(bold=True)
    pad = 2 * min(_PAD, look.size * 0.42)
    return [
        max(longest_word(cells[0], head), *(longest_word(cell, look) for cell in cells[1:]), 0.0) + pad
        for cells in _pairs(grid)
    ]


def _filled(grid: Grid, columns: int) -> Grid:
    empty: Runs = ()
    heads = (*grid.heads, *(empty,) * (columns - len(grid.heads)))
    rows = tuple((*row, *(empty,) * (columns - len(row))) for row in grid.rows)
    return Grid(heads, rows, grid.align.ljust(columns, "l"))


def _lone_head(grid: Grid) -> bool:
    """Whether the first head stands for the whole table, the others being empty."""
    return len(grid.heads) > 1 and not any(plain(cell).strip() for cell in grid.heads[1:])


def _head_lines(grid: Grid, layout: _Layout) -> int:
    if _lone_head(grid):
        return 1
    return max(
        len(break_lines(cell, layout.head, *(_inner(layout, index),) * 2)) for index, cell in enumerate(grid.heads)
    )


def _pairs(grid: Grid) -> list[list[Runs]]:
    heads: tuple[Runs, ...] = ((),) * len(grid.heads) if _lone_head(grid) else grid.heads
    return [[heads[column], *(row[column] for row in grid.rows)] for column in range(len(grid.heads))]


def _fits(grid: Grid, measure: float, style: Style) -> bool:
    """Whether every column but a last one of words fits without wrapping, heads apart."""
    columns = _pairs(grid)
    needed = [
        max(
            max(natural_width(cell, style.cell) for cell in cells[1:] or [()]),
            longest_word(cells[0], style.cell._replace(bold=True)),
        )
        + 2 * _PAD
        for cells in columns
    ]
    if len(columns) == 2:
        return needed[0] < measure * 0.6
    return sum(needed) <= measure


def _laid_out(grid: Grid, measure: float, style: Style) -> _Layout:
    """Column widths: what each needs, then a share of the rest; smaller type where even that is too wide."""
    look = style.cell
    columns = _pairs(grid)
    while True:
        head = look._replace(bold=True)
        pad = 2 * min(_PAD, look.size * 0.42)
        most = [
            max(natural_width(cells[0], head), *(natural_width(cell, look) for cell in cells[1:]), 0.0) + pad
            for cells in columns
        ]
        least = _least(grid, look)
        if sum(least) <= measure or look.size - 0.5 < style.smallest_cell:
            break
        look = look._replace(size=look.size - 0.5)
    if sum(least) > measure:
        least = [measure * part / sum(least) for part in least]
        return _Layout(tuple(least), look, grid.align, style)
    if sum(most) <= measure:
        widths = _stretched(most, measure, grid)
    elif set(grid.align) > {"l"}:
        # Heads may wrap before cells do: a row of figures is read across, its head only once.
        unwrapped = [
            max(low, *(natural_width(cell, look) + pad for cell in cells[1:]))
            for low, cells in zip(least, columns, strict=True)
        ]
        if sum(unwrapped) <= measure:
            widths = _stretched(unwrapped, measure, grid)
        else:
            spare, wanted = measure - sum(least), sum(unwrapped) - sum(least)
            widths = [low + spare * (high - low) / wanted for low, high in zip(least, unwrapped, strict=True)]
    elif len(most) == 2:
        first = most[0] if most[0] < measure * 0.4 else max(least[0], measure * 0.33)
        widths = [first + _PAD, measure - first - _PAD]
    else:
        spare, wanted = measure - sum(least), sum(most) - sum(least)
        widths = [low + spare * (high - low) / wanted for low, high in zip(least, most, strict=True)]
    return _Layout(tuple(widths), look, grid.align, style)


def _stretched(most: list[float], measure: float, grid: Grid) -> list[float]:
    """The rest goes to the last column of a list of words, or evenly to all columns but a narrow first."""
    rest = measure - sum(most)
    if set(grid.align) <= {"l"}:
        first = min(most[0] + 12, most[0] + rest)
        return [first, *most[1:-1], most[-1] + rest - (first - most[0])] if len(most) > 1 else [measure]
    ring = any(_is_ring(row[0]) for row in grid.rows)
    grows = range(1 if ring else 0, len(most))
    share = rest / max(1, len(grows))
    return [width + (share if index in grows else 0.0) for index, width in enumerate(most)]


def _pieces(grid: Grid, layout: _Layout, wide: bool, table: Element, goes_on: bool = False) -> list[Piece]:
    """The rows of the table, or of a second stretch of it (`goes_on`) whose head is only drawn again."""
    accent = layout.style.accent
    pieces: list[Piece] = []
    header = None
    if any(plain(cell).strip() for cell in grid.heads):
        header = _header(grid.heads, layout, wide, None if goes_on else table)
        pieces.append(header)
    else:
        rule = Rule(0, 2, layout.total, 2, accent)
        pieces.append(Piece(STEP, (rule,), "table top", wide=wide))
    body = table.held[-1] if goes_on else table.add("TBody")
    assert isinstance(body, Element)
    again = _drawn_again(header)
    for number, row in enumerate(grid.rows):
        pieces.extend(_row(row, layout, wide, number % 3 == 2, again, body.add("TR")))
    close = Rule(0, 0, layout.total, 0, accent)
    last = pieces[-1]
    last.marks = (*last.marks, close._replace(y1=last.height, y2=last.height))
    high = sum(piece.height for piece in pieces)
    kept = high <= (_FEW_HIGH if len(grid.rows) <= _KEPT else _KEPT_HIGH)
    for piece in pieces[1:]:
        piece.turn = _TORN if kept else ROW
    second = _TORN if len(pieces) > 1 and pieces[1].height <= _TALL else ROW  # a tall row is company enough
    for index, turn in ((2, second), (len(pieces) - 1, _TORN), (1, NEVER)):
        if 0 < index < len(pieces):
            pieces[index].turn = turn
    return pieces


def _drawn_again(header: Piece | None) -> Piece | None:
    """The head as it is drawn again on the next page: no part of the structure any more."""
    if header is None:
        return None
    marks = tuple(mark._replace(of=None) if isinstance(mark, Text) else mark for mark in header.marks)
    return replace(header, marks=marks)


def _header(heads: tuple[Runs, ...], layout: _Layout, wide: bool, table: Element | None) -> Piece:
    """The head, its words standing on the rule below it."""
    row = table.add("THead").add("TR") if table else None
    lone = not any(plain(cell).strip() for cell in heads[1:])
    cells = [
        break_lines(cell, layout.head, *(layout.total - 2 * _PAD if lone else _inner(layout, index),) * 2)
        for index, cell in enumerate(heads)
    ]
    deepest = min(_MOST_LINES, max(len(cell) for cell in cells))
    leading = layout.look.leading
    height = deepest * leading + 2 * STEP
    marks: list[Mark] = []
    for index, lines in enumerate(cells):
        kept = lines[:_MOST_LINES]
        cell = row.add("TH", scope="Column") if row else None
        marks += _cell(kept, layout, index, height - STEP - len(kept) * leading, cell)
    marks.append(Rule(0, height - 0.5, layout.total, height - 0.5, layout.style.accent))
    return Piece(height, tuple(marks), "table head", wide=wide)


def _row(
    row: tuple[Runs, ...], layout: _Layout, wide: bool, banded: bool, header: Piece | None, of: Element
) -> list[Piece]:
    """One row; a cell of very many lines goes on in further pieces."""
    ringed = bool(row) and _is_ring(row[0])
    named = 1 if ringed else 0  # the column that says what the row is of
    elements = [
        of.add("TH", scope="Row") if index == named and len(row) > 1 else of.add("TD") for index in range(len(row))
    ]
    cells = [
        () if _is_ring(cell) else break_lines(cell, layout.look, *(_inner(layout, index),) * 2)
        for index, cell in enumerate(row)
    ]
    deepest = max(1, *(len(cell) for cell in cells)) if cells else 1
    pieces: list[Piece] = []
    leading = layout.look.leading
    for first in range(0, deepest, layout.tallest):
        count = min(layout.tallest, deepest - first)
        height = count * leading + STEP
        marks: list[Mark] = [Fill(0, 0, layout.total, height, layout.style.band)] if banded else []
        for index, lines in enumerate(cells):
            if not first and _is_ring(row[index]):
                marks.append(
                    Ring(sum(layout.widths[:index]) + layout.widths[index] / 2, height / 2, 0.44 * layout.look.size)
                )
            marks += _cell(lines[first : first + count], layout, index, STEP / 2, elements[index])
        pieces.append(Piece(height, tuple(marks), "table row", turn=FREE, wide=wide, header=header))
    return pieces


def _is_ring(cell: Runs) -> bool:
    return len(cell) == 1 and cell[0].text.strip() == RING


def _inner(layout: _Layout, index: int) -> float:
    return layout.widths[index] - 2 * min(_PAD, layout.look.size * 0.42)


def _cell(lines: tuple[Line, ...], layout: _Layout, index: int, top: float, of: Element | None) -> list[Mark]:
    look = layout.look
    left = sum(layout.widths[:index]) + min(_PAD, look.size * 0.42)
    inner, share = _inner(layout, index), {"r": 1.0, "c": 0.5}.get(layout.align[index], 0.0)
    base = top + look.leading * 0.5 + look.size * 0.33
    marks = []
    for number, line in enumerate(lines):
        x = left + share * (inner - line.width)
        marks += line_marks(line, x, base + number * look.leading, BLACK, of)
    return marks


def _folded(grid: Grid, sheet: Sheet, style: Style, root: Element) -> list[Piece]:
    """A long list of pairs as two lists side by side, where nearly every pair fits on one line."""
    half = (sheet.wide - sheet.gutter) / 2
    layout = _laid_out(grid, half, style)
    long = sum(natural_width(row[1], layout.look) > _inner(layout, 1) for row in grid.rows)
    if long > len(grid.rows) / 3:
        return []
    middle = (len(grid.rows) + 1) // 2
    table = root.add("Table")
    sides = [
        _pieces(Grid(grid.heads, rows, grid.align), layout, True, table, goes_on)
        for rows, goes_on in ((grid.rows[:middle], False), (grid.rows[middle:], True))
    ]
    pieces: list[Piece] = []
    shift = half + sheet.gutter
    for index, left in enumerate(sides[0]):
        right = sides[1][index] if index < len(sides[1]) else None
        height = max(left.height, right.height if right else 0.0)
        marks = (*_deepened(left, height), *(_moved(_deepened(right, height), shift) if right else ()))
        header = _drawn_again(pieces[0]) if pieces and left.header is not None else None
        pieces.append(Piece(height, marks, left.role, turn=left.turn, wide=True, header=header))
    return pieces


def _deepened(piece: Piece, height: float) -> tuple[Mark, ...]:
    """The piece's marks with its band and closing rule at a greater height."""
    return tuple(
        mark._replace(height=height)
        if isinstance(mark, Fill)
        else mark._replace(y1=height, y2=height)
        if isinstance(mark, Rule) and mark.y1 == piece.height
        else mark
        for mark in piece.marks
    )


def _moved(marks: tuple[Mark, ...], shift: float) -> tuple[Mark, ...]:
    moved: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Rule):
            moved.append(mark._replace(x1=mark.x1 + shift, x2=mark.x2 + shift))
        else:
            moved.append(mark._replace(x=mark.x + shift))
    return tuple(moved)
