"""Blocks -> pages of text in columns side by side, in type as large as so many pages have room for.

What stands before the first section, and drawings wider than a column at the end, reach over all columns: the one at
the head of the first page, the others at the foot of the last. Lines to write on grow in number as far as their column
has room.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from grader.pages.blocks import Block, Grid, Heading, Lines, Paragraph, Picture, plain
from grader.pages.composing import Composer, Pictures
from grader.pages.lines import Line, break_lines, natural_width
from grader.pages.paging import divide
from grader.pages.pieces import NEVER, Mark, Page, Piece, Placed, Rule, line_marks
from grader.pages.sheets import Sheet, sheet_for, wanted_pages
from grader.pages.structure import Element
from grader.pages.styles import BLACK, Style
from grader.pages.words import Words

_ABOVE_TEXT, _BELOW_TEXT = 8.0, 8.0  # white under what reaches over all columns at the head, over it at the foot
_BESIDE_TITLE = 24.0  # white between the title and a field to write in
_TALLEST_HEAD = 0.5  # of the page
_EMPTY, _EMPTY_LAST = 60.0, 20.0  # what it costs that a column is wholly empty, and one of the last page
_BARE = 100.0  # what a page of one column costs besides that ends in its first third: more than a torn passage
_POINTS_PER_MM = 72 / 25.4
_MOST_PAGES = 20  # of a document in columns


@dataclass(frozen=True, slots=True)
class _Set:
    """One document in one style."""

    pages: tuple[Page, ...]
    style: Style
    root: Element


def fitted(
    blocks: Sequence[Block], paper: str, style: Style, pictures: Pictures, words: Words
) -> tuple[tuple[Page, ...], Sheet, Style, Element]:
    """The pages of all documents, which begin at their titles, each in the largest type with which it fits.

    Gives the sheet, the style of the first document, and the structure of all with them.

    In the smallest type one line to write on must do. A document that fits in none takes as few pages as it can.
    """
    sheet = sheet_for(paper, style)
    across = sheet.divided(style.columns)
    most = wanted_pages(paper, style)
    looks = list(style.tightened())
    root = Element("Document")
    pages: list[Page] = []
    chosen: list[Style] = []
    for document in _documents(blocks):
        best: _Set | None = None
        for look in looks:
            told = document if look is not looks[-1] else [_sparing(block) for block in document]
            found = _set(told, sheet, across, look, pictures, words)
            if best is None or len(found.pages) < len(best.pages):
                best = found
            if len(found.pages) <= most:
                break
        if best is not None:
            pages += best.pages
            chosen.append(best.style)
            for child in best.root.held:
                if isinstance(child, Element):
                    child.parent = root
                root.held.append(child)
    return tuple(pages) or ((),), sheet, chosen[0] if chosen else style, root


def _documents(blocks: Sequence[Block]) -> Iterator[Sequence[Block]]:
    begins = [place for place, block in enumerate(blocks) if place and isinstance(block, Heading) and block.level == 1]
    for begin, end in itertools.pairwise((0, *begins, len(blocks))):
        yield blocks[begin:end]


def _sparing(block: Block) -> Block:
    """The block with one line to write on where there are several."""
    return Lines(1) if isinstance(block, Lines) else block


def _set(blocks: Sequence[Block], sheet: Sheet, across: Sheet, style: Style, pictures: Pictures, words: Words) -> _Set:
    """One document in one style: in columns, or in one where a table stands in the text."""
    begin = next((n for n, block in enumerate(blocks) if isinstance(block, Heading) and block.level > 1), len(blocks))
    end = len(blocks)
    while end > begin and _is_wide(blocks[end - 1], across, pictures):
        end -= 1
    parts = blocks[:begin], blocks[begin:end], blocks[end:]
    if parts[1] and not any(isinstance(block, Grid) for block in parts[1]):
        root = Element("Document")
        head = _opening(parts[0], sheet, style, pictures, words, root)
        text, foot = (
            _composed(part, on, style, pictures, words, root)
            for part, on in zip(parts[1:], (across, sheet), strict=True)
        )
        pages = _abreast(head, text, foot, across)
        if pages is not None:
            return _Set(pages, style, root)
    composer = Composer(sheet, style, blocks, pictures, False, words)
    set_so = divide(composer.compose(), sheet.depth)
    assert set_so is not None, "text without notes beside it always divides"
    return _Set(set_so or ((),), style, composer.root)


def _composed(
    blocks: Sequence[Block], sheet: Sheet, style: Style, pictures: Pictures, words: Words, root: Element
) -> list[Piece]:
    """Pieces of a stretch of a document, told of in its structure after what stands there."""
    composer = Composer(sheet, style, blocks, pictures, False, words, level=1 if root.held else 0)
    composer.root = root
    return composer.compose()


def _opening(
    blocks: Sequence[Block], sheet: Sheet, style: Style, pictures: Pictures, words: Words, root: Element
) -> list[Piece]:
    """What stands before the first section, a field to write in beside the title where it may."""
    field = _field(blocks, sheet, style)
    if field is None:
        return _composed(blocks, sheet, style, pictures, words, root)
    pieces = _composed((blocks[0], *blocks[2:]), sheet, style, pictures, words, root)
    beside = Element("P", root)
    root.held.insert(1, beside)
    marks = line_marks(field, sheet.wide - field.width, style.title.baseline, BLACK, beside)
    pieces[0].marks = (*pieces[0].marks, *marks)
    return pieces


def _field(blocks: Sequence[Block], sheet: Sheet, style: Style) -> Line | None:
    """The line after the title where it is one to write on, such as for a name, and there is room beside the title."""
    if len(blocks) < 2 or not isinstance(blocks[0], Heading) or not isinstance(blocks[1], Paragraph):
        return None
    lines = break_lines(blocks[1].runs, style.body, sheet.wide, sheet.wide)
    room = sheet.wide - natural_width(blocks[0].runs, style.title) - _BESIDE_TITLE
    return lines[0] if "…" in plain(blocks[1].runs) and len(lines) == 1 and lines[0].width <= room else None


def _is_wide(block: Block, across: Sheet, pictures: Pictures) -> bool:
    if not isinstance(block, Picture) or block.source not in pictures.drawings:
        return False
    return pictures.drawings[block.source].width_mm * _POINTS_PER_MM > across.column


def _abreast(head: list[Piece], text: list[Piece], foot: list[Piece], sheet: Sheet) -> tuple[Page, ...] | None:
    """The pages, as few as can be; None where head or foot leaves too little of its page, or a piece is too tall."""
    above, below = _height(head), _height(foot)
    above += _ABOVE_TEXT if head else 0.0
    below += _BELOW_TEXT if foot else 0.0
    tallest = max((piece.height for piece in text), default=0.0)
    if max(above, below) > sheet.depth * _TALLEST_HEAD or tallest > sheet.depth:
        return None
    for count in range(1, _MOST_PAGES):
        tops = [above if not page else 0.0 for page in range(count)]
        ends = [sheet.depth - (below if page == count - 1 else 0.0) for page in range(count)]
        depths = [end - top for top, end in zip(tops, ends, strict=True) for _ in range(sheet.columns)]
        cuts = _cut(text, depths, sheet.columns)
        if cuts is not None:
            pages = [_stacked(head, 0.0, 0.0) if not page else [] for page in range(count)]
            for column, (begin, end) in enumerate(itertools.pairwise((0, *cuts))):
                page, place = divmod(column, sheet.columns)
                stack = _stacked(text[begin:end], place * (sheet.column + sheet.gutter), tops[page])
                pages[page] += _with_more_lines(stack, ends[page])
            if not _written(text[cuts[-2] if len(cuts) > 1 else 0 :]):
                pages[-1] += _last_lines(text, pages[-1], sheet, ends[-1])
            pages[-1] += _stacked(foot, 0.0, sheet.depth - below + _BELOW_TEXT)
            return tuple(tuple(page) for page in pages)
    return None


def _height(pieces: Sequence[Piece]) -> float:
    return sum(piece.height + (piece.before if place else 0.0) for place, piece in enumerate(pieces))


def _cut(pieces: Sequence[Piece], depths: Sequence[float], abreast: int) -> list[int] | None:
    """Where each column ends, at the least cost; None where what must not be parted finds no room."""
    if sum(piece.height for piece in pieces) > sum(depths):
        return None
    count, none = len(pieces), float("inf")
    costs = [0.0] + [none] * count
    came: list[list[int]] = []
    for column, depth in enumerate(depths):
        last = column >= len(depths) - abreast
        weight, bare = _EMPTY_LAST if last else _EMPTY, 0.0 if last or abreast > 1 else _BARE
        after, origin = [none] * (count + 1), [0] * (count + 1)
        for begin, cost in enumerate(costs):
            if cost == none:
                continue
            y = 0.0
            for end in range(begin, count + 1):
                if end > begin:
                    piece = pieces[end - 1]
                    y += piece.height + (piece.before if end - 1 > begin else 0.0)
                    if y > depth + 0.01:
                        break
                written = end > begin and pieces[end - 1].role == "lines" and not _goes_on(pieces, end)
                turn = 0.0 if written or end in (begin, count) else max(0.0, pieces[end].turn)
                empty = weight * (1 - y / depth) ** 2 + (bare if y < depth / 3 else 0.0)
                total = cost + turn + (0.0 if written else empty)
                if turn < NEVER and total < after[end]:
                    after[end], origin[end] = total, begin
        costs = after
        came.append(origin)
    if costs[count] == none:
        return None
    cuts = [count]
    for origin in reversed(came[1:]):
        cuts.append(origin[cuts[-1]])
    return cuts[::-1]


def _goes_on(pieces: Sequence[Piece], end: int) -> bool:
    """Whether lines to write on, which fill a column that ends with them, go on after it."""
    return end < len(pieces) and pieces[end].role == "lines"


def _stacked(pieces: Sequence[Piece], x: float, y: float) -> list[Placed]:
    """The pieces one under the other, from a corner of the page."""
    placed = []
    for place, piece in enumerate(pieces):
        y += piece.before if place else 0.0
        placed.append(
            Placed(y, tuple(_moved(mark, x) for mark in piece.marks), piece.role, piece.bookmark, piece.height)
        )
        y += piece.height
    return placed


def _moved(mark: Mark, right: float) -> Mark:
    if isinstance(mark, Rule):
        return mark._replace(x1=mark.x1 + right, x2=mark.x2 + right)
    return mark._replace(x=mark.x + right)


def _written(pieces: Sequence[Piece]) -> Piece | None:
    """The last line to write on."""
    return next((piece for piece in reversed(pieces) if piece.role == "lines"), None)


def _last_lines(text: Sequence[Piece], page: Sequence[Placed], sheet: Sheet, end: float) -> list[Placed]:
    """Lines to write on at the end of the last column too, where the text has any elsewhere."""
    line = _written(text)
    if line is None or not page:
        return []
    x = (sheet.columns - 1) * (sheet.column + sheet.gutter)
    y = page[-1].y + page[-1].height
    return _spread(_stacked([replace(line, before=0.0)], x, y)[0], y, end)


def _with_more_lines(stack: list[Placed], end: float) -> list[Placed]:
    """A column with as many lines to write on as there is room for; what stands below them goes to its end."""
    last = max((place for place, placed in enumerate(stack) if placed.role == "lines"), default=-1)
    if last < 0:
        return stack
    first = last
    while first and stack[first - 1].role == "lines":
        first -= 1
    spare = end - stack[-1].y - stack[-1].height
    lines = _spread(stack[first], stack[first].y, stack[last].y + stack[last].height + spare)
    below = [placed._replace(y=placed.y + spare) for placed in stack[last + 1 :]]
    return [*stack[:first], *lines, *below]


def _spread(line: Placed, begin: float, end: float) -> list[Placed]:
    """As many lines to write on as there is room for, the last of them at its end."""
    number = int((end - begin) // line.height)
    return [line._replace(y=end - step * (end - begin) / number - line.height) for step in range(number)][::-1]
