"""Blocks -> pieces: what each block of the dialect looks like in type."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from grader.models.drawing import Drawing
from grader.pages.blocks import (
    Aside,
    Block,
    Grid,
    Heading,
    Item,
    Listing,
    Paragraph,
    Picture,
    Run,
    Runs,
    Ticks,
    plain,
)
from grader.pages.boxes import set_chart, set_picture, set_ticks
from grader.pages.grids import set_grid
from grader.pages.lines import Line, Look, break_lines, natural_width
from grader.pages.pieces import FREE, NEVER, PASSAGE, SETUP_HEAD, UNDER_TABLE, WITHIN, Mark, Note, Piece, Rule, Text
from grader.pages.sheets import ACCENT, BASELINE, BLACK, BODY, PART, SECTION, SETUP, SMALL, TITLE, Sheet
from grader.pages.typefaces import BOLD, width

_HANG_LEAST, _HANG_MOST, _HANG_GAP = 54.0, 96.0, 10.0
_BULLET = 12.0
_INLINE_NOTE = 10.0  # indent of a note that stands in the text column
_PASSAGE_SPACE, _INNER_SPACE = 12.0, 4.0
_COUNT = Look(11, 16, bold=True)
_LARGE_COUNT = Look(11, 16, bold=True, large_numbers=True)
_CHUNK = 12  # lines of a heading or note in one piece
_PART_TURN = -12.0  # a part likes to start on a page of its own


class Composer:
    """Sets the blocks of one document in order; `pieces` holds what is set so far."""

    def __init__(
        self,
        sheet: Sheet,
        blocks: Sequence[Block],
        drawing: Drawing | None,
        one_size: bool,
        beside: bool,
        drawings: Mapping[str, Drawing] = MappingProxyType({}),
    ) -> None:
        self.sheet = sheet
        self.blocks = blocks
        self.drawing = drawing
        self.drawings = drawings
        self.pieces: list[Piece] = []
        self._beside = beside and sheet.margin > 0
        self._work = Look(BODY.size, BODY.leading, large_numbers=one_size)
        self._prose = BODY  # large numbers too, in sections of work
        self._count_look = _LARGE_COUNT if one_size else _COUNT
        self._hang = _hang(blocks)
        self._counts_beside = self._beside and all(
            natural_width(count, self._count_look) <= sheet.margin for count in _counts(blocks)
        )
        self._opener = 0  # the piece that starts the current passage
        self._before: Block | None = None
        self._in_part = False

    def compose(self) -> list[Piece]:
        """All pieces of the document."""
        index = 0
        while index < len(self.blocks):
            block = self.blocks[index]
            following = self.blocks[index + 1] if index + 1 < len(self.blocks) else None
            first = isinstance(block, Picture) and block.source not in self.drawings
            if first and isinstance(following, Grid) and self._side_by_side(following):
                index += 2
                self._before = following
                continue
            if not (self._block(block) and isinstance(self._before, Heading)):
                self._before = block
            index += 1
        return self.pieces

    def _block(self, block: Block) -> bool:
        """Set one block; True for a note, which leaves a heading before it the last thing set."""
        if isinstance(block, Heading):
            self._heading(block)
        elif isinstance(block, Paragraph):
            self._open_passage()
            pieces = self._worked("", block.runs, block.count, 0.0, self._prose, "paragraph")
            self._stack(pieces, self._space(block))
            if block.runs and block.runs[0].bold and not block.leads and self.pieces and pieces[0].turn == PASSAGE:
                pieces[0].turn = NEVER / 4  # a paragraph that opens in bold sums up what stands above it
        elif isinstance(block, Listing):
            self._listing(block)
        elif isinstance(block, Aside):
            self._aside(block)
        elif isinstance(block, Grid):
            self._grid(block)
        elif isinstance(block, Ticks):
            self._stack(set_ticks(block.number, self.sheet.column), _INNER_SPACE)
        elif block.source in self.drawings:
            self._open_passage()
            self._stack(set_chart(self.drawings[block.source], self.sheet), self._space(block))
        else:
            self._open_passage()
            self._stack(set_picture(block, self.drawing, self.sheet), self._space(block))
        return isinstance(block, Aside)

    def _open_passage(self) -> None:
        self._opener = len(self.pieces)

    def _space(self, block: Block) -> float:
        """The space above a block: one blank line between works, little inside one."""
        before = self._before
        if before is None or isinstance(before, Heading):
            return 2 * _INNER_SPACE if self.pieces and self.pieces[-1].role == "note" else 0.0
        if isinstance(before, Paragraph) and (before.leads or not isinstance(block, Paragraph)):
            return _INNER_SPACE
        return _PASSAGE_SPACE

    def _stack(self, pieces: list[Piece], space: float) -> None:
        """Put the pieces of one block under the others."""
        if not pieces:
            return
        pieces[0].before = space
        if isinstance(self._before, Heading) or (isinstance(self._before, Paragraph) and self._before.leads):
            pieces[0].turn = NEVER
        elif self.pieces and pieces[0].turn == FREE:
            after = UNDER_TABLE if isinstance(self._before, Grid) else PASSAGE
            pieces[0].turn = after if space >= _PASSAGE_SPACE else WITHIN
        self.pieces.extend(pieces)

    def _heading(self, heading: Heading) -> None:
        level = heading.level
        if level <= 2:
            self._in_part = heading.part
        if level <= 3 and self._work.large_numbers:
            self._prose = self._work if self._is_work(heading) else BODY
        section = level == 2 or (level == 3 and self._in_part)
        look = TITLE if level == 1 else PART if heading.part else SECTION if section else SETUP
        self._open_passage()
        lines = break_lines(heading.runs, look, *(self.sheet.column if level > 1 else self.sheet.wide,) * 2)
        pieces = _lined(lines, look, "heading", 0.0, ACCENT if level > 1 and section else BLACK)
        if not pieces:
            return
        lone = isinstance(self._before, Heading) or self._before is None
        pieces[0].before = 0.0 if self._before is None else 8.0 if lone else 24.0 if section else 12.0
        under = UNDER_TABLE if isinstance(self._before, Grid) else SETUP_HEAD
        usual = _PART_TURN if heading.part else FREE if section else under
        pieces[0].turn = NEVER if lone and self.pieces else usual
        pieces[0].bookmark = (level, plain(heading.runs).replace("\n", " "))
        if not section and level > 2:
            pieces[0].marks = (Rule(0, 0, self.sheet.column, 0, ACCENT), *pieces[0].marks)
        pieces[-1].height += 4.0 if look is not SETUP else 0.0
        self.pieces.extend(pieces)

    def _is_work(self, heading: Heading) -> bool:
        """Whether instructions stand under the heading: labels, counts or boxes to tick."""
        place = next(index for index, block in enumerate(self.blocks) if block is heading)
        for block in self.blocks[place + 1 :]:
            if isinstance(block, Heading) and block.level <= heading.level:
                return False
            if isinstance(block, Ticks) or (isinstance(block, Listing) and block.labelled):
                return True
        return False

    def _listing(self, listing: Listing) -> None:
        for place, item in enumerate(listing.items):
            first = not place
            if item.opens or (first and not isinstance(self._before, Paragraph)):
                self._open_passage()
            if listing.labelled:
                pieces = self._worked(item.label, item.runs, item.count, self._hang, self._work, "instruction")
            else:
                pieces = self._bulleted(item)
            space = self._space(listing) if first else _PASSAGE_SPACE if item.opens and listing.labelled else 0.0
            if first:
                self._stack(pieces, space)
            elif pieces:
                pieces[0].before = space
                pieces[0].turn = PASSAGE if item.opens else 35.0
                self.pieces.extend(pieces)

    def _bulleted(self, item: Item) -> list[Piece]:
        indent = _BULLET * (item.depth + 1) + (6.0 if item.marker not in ("•", "") else 0.0)
        label = f"{item.label}: " if item.label else ""
        runs = (*((Run(label, bold=True),) if label else ()), *item.runs)
        pieces = self._worked("", runs, item.count, indent, BODY, "item", flush=True)
        if pieces and item.marker:
            mark = Text(_BULLET * item.depth, BODY.leading * BASELINE, item.marker, BOLD, BODY.size, ACCENT)
            width(item.marker, BOLD, BODY.size)
            pieces[0].marks = (mark, *pieces[0].marks)
        return pieces

    def _worked(
        self, label: str, runs: Runs, count: Runs, indent: float, look: Look, role: str, flush: bool = False
    ) -> list[Piece]:
        """Text with its label hanging before it and its count beside its last line."""
        beside = bool(count) and self._counts_beside
        if count and not beside:
            runs = (*runs, Run(" — "), *count) if runs else count
        hanging = bool(label) and width(label, BOLD, BODY.size) <= self._hang - 4
        if label and not hanging:
            runs = (Run(f"{label}: ", bold=True), *runs)
        first = 0.0 if (label and not hanging) and not flush else indent
        if not runs:
            runs = (Run(" "),)
        lines = break_lines(runs, look, self.sheet.column - first, self.sheet.column - indent)
        pieces = _lined(lines, look, role, indent, BLACK, first)
        if not pieces:
            pieces = [Piece(look.leading, (), role)]
        if hanging:
            mark = Text(0.0, look.leading * BASELINE, label, BOLD, BODY.size, BLACK)
            pieces[0].marks = (mark, *pieces[0].marks)
        if beside:
            last = pieces[-1]
            base = last.height - look.leading * (1 - BASELINE)
            line = break_lines(count, self._count_look, self.sheet.margin, self.sheet.margin)[0]
            last.marks = (*last.marks, *_spans(line, self.sheet.margin_x, base, BLACK))
            last.fixed = ((last.height - look.leading, last.height),)
        return pieces

    def _aside(self, aside: Aside) -> None:
        if not self._beside or not self.pieces:
            self._stack(_inline_note(aside.runs, self.sheet.column), _INNER_SPACE)
            return
        anchor = self.pieces[min(self._opener, len(self.pieces) - 1)]
        lines = break_lines(aside.runs, SMALL, *(self.sheet.margin,) * 2)
        if len(lines) * SMALL.leading > self.sheet.depth / 3 or anchor.wide:
            self._stack(_inline_note(aside.runs, self.sheet.column), _INNER_SPACE)
            return
        marks = [
            mark
            for number, line in enumerate(lines)
            for mark in _spans(line, self.sheet.margin_x, (number + BASELINE) * SMALL.leading, BLACK)
        ]
        look = {True: SECTION.leading, False: BODY.leading}[anchor.role == "heading" and anchor.height > 20]
        drop = look * BASELINE - SMALL.leading * BASELINE
        anchor.notes = (*anchor.notes, Note(len(lines) * SMALL.leading, tuple(marks), drop))

    def _grid(self, grid: Grid) -> None:
        pieces = set_grid(grid, self.sheet)
        if pieces and pieces[0].wide:
            self._make_room()
        self._stack(pieces, _INNER_SPACE if isinstance(self._before, Paragraph) else self._space(grid))
        self._opener = len(self.pieces) - 1

    def _make_room(self) -> None:
        """Bring the notes just above a wide table into the text column where they would reach down into it."""
        anchor = self.pieces[self._opener] if self._opener < len(self.pieces) else None
        if anchor is None or not anchor.notes:
            return
        text = sum(piece.height + piece.before for piece in self.pieces[self._opener :])
        if sum(note.height + 8 for note in anchor.notes) <= text + 8:
            return
        for note in anchor.notes:
            shift = self.sheet.margin_x - _INLINE_NOTE
            marks = tuple(mark._replace(x=mark.x - shift) for mark in note.marks if isinstance(mark, Text))
            rule = Rule(0, 1, 0, note.height - 1, ACCENT)
            self.pieces.append(Piece(note.height, (rule, *marks), "note", _INNER_SPACE, NEVER))
        anchor.notes = ()

    def _side_by_side(self, grid: Grid) -> bool:
        """The drawing beside the table of facts, where there is room; else False and nothing done."""
        if self.drawing is None or not self.sheet.margin:
            return False
        picture = set_picture(Picture("", ""), self.drawing, self.sheet, self.sheet.wide * 0.42)[0]
        across = self.drawing.width_mm * 72 / 25.4
        across = min(across, self.sheet.wide * 0.42)
        table = set_grid(grid, self.sheet, self.sheet.wide - across - self.sheet.gutter)
        tall = sum(piece.height for piece in table)
        if tall > self.sheet.depth * 0.5:
            return False
        shift = self.sheet.wide - across
        marks: list[Mark] = [mark._replace(x=shift) for mark in picture.marks if not isinstance(mark, Rule)]
        y = 0.0
        for piece in table:
            marks += _lowered(piece.marks, y)
            y += piece.height
        self._stack([Piece(max(tall, picture.height), tuple(marks), "facts", wide=True)], _PASSAGE_SPACE)
        self._open_passage()
        return True


def _hang(blocks: Sequence[Block]) -> float:
    """One indent for all instructions of the document, by its widest label that isn't far too wide."""
    widths = [
        width(item.label, BOLD, BODY.size)
        for block in blocks
        if isinstance(block, Listing)
        for item in block.items
        if item.label
    ]
    fitting = [each for each in widths if each + _HANG_GAP <= _HANG_MOST]
    return max(_HANG_LEAST, max(fitting, default=0.0) + _HANG_GAP)


def _counts(blocks: Sequence[Block]) -> Iterable[Runs]:
    for block in blocks:
        if isinstance(block, Paragraph) and block.count:
            yield block.count
        elif isinstance(block, Listing):
            yield from (item.count for item in block.items if item.count)


def _lined(
    lines: Sequence[Line],
    look: Look,
    role: str,
    indent: float,
    ink: tuple[float, float, float],
    first_indent: float | None = None,
) -> list[Piece]:
    """Lines as pieces: the first two and the last two stay together, so that none stands alone on a page."""
    if not lines:
        return []
    cuts = [len(lines)] if len(lines) <= 3 else [*range(2, len(lines) - 1), len(lines)]
    if role == "heading":
        cuts = [*range(_CHUNK, len(lines), _CHUNK), len(lines)]
    pieces = []
    start = 0
    for end in cuts:
        marks: list[Mark] = []
        for row, line in enumerate(lines[start:end]):
            x = first_indent if start + row == 0 and first_indent is not None else indent
            marks += _spans(line, x, (row + BASELINE) * look.leading, ink)
        pieces.append(Piece((end - start) * look.leading, tuple(marks), role, 0.0, WITHIN if start else FREE))
        start = end
    return pieces


def _spans(line: Line, x: float, y: float, ink: tuple[float, float, float]) -> list[Text]:
    return [Text(x + span.x, y, span.text, span.font, span.size, ink, span.link) for span in line.spans]


def _inline_note(runs: Runs, column: float) -> list[Piece]:
    lines = break_lines(runs, SMALL, *(column - _INLINE_NOTE,) * 2)
    pieces = []
    for start in range(0, len(lines), _CHUNK):
        part = lines[start : start + _CHUNK]
        height = len(part) * SMALL.leading
        marks: list[Mark] = [Rule(0, 1, 0, height - 1, ACCENT)]
        for row, line in enumerate(part):
            marks += _spans(line, _INLINE_NOTE, (row + BASELINE) * SMALL.leading, BLACK)
        pieces.append(Piece(height, tuple(marks), "note", turn=WITHIN))
    return pieces


def _lowered(marks: Iterable[Mark], down: float) -> list[Mark]:
    lowered: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Rule):
            lowered.append(mark._replace(y1=mark.y1 + down, y2=mark.y2 + down))
        else:
            lowered.append(mark._replace(y=mark.y + down))
    return lowered
