"""Blocks -> pieces: what each block of the dialect looks like in type."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from grader.models.drawing import Drawing
from grader.pages.blocks import (
    Aside,
    Block,
    Grid,
    Heading,
    Item,
    Lines,
    Listing,
    Paragraph,
    Picture,
    Run,
    Runs,
    Ticks,
    plain,
)
from grader.pages.boxes import set_chart, set_lines, set_photo, set_picture, set_ticks
from grader.pages.grids import set_grid
from grader.pages.lines import Look, break_lines, longest_word, natural_width
from grader.pages.pieces import (
    ALWAYS,
    FREE,
    NEVER,
    PASSAGE,
    SETUP_HEAD,
    UNDER_TABLE,
    WITHIN,
    Mark,
    Note,
    Piece,
    Rule,
    Square,
    Text,
    line_marks,
)
from grader.pages.sheets import Sheet
from grader.pages.structure import Element
from grader.pages.styles import BLACK, BULLET, HANG_SHARE, Style
from grader.pages.texts import INLINE_NOTE, inline_note, lined, lowered
from grader.pages.typefaces import NO_BREAK, width
from grader.pages.words import Words

_HANG_LEAST, _HANG_GAP = 54.0, 10.0  # at 11 points
_IN_LINE = 0.7  # of the column, the widest label that runs in
_INNER_SPACE = 4.0
_PART_TURN = -12.0  # a part likes to start on a page of its own


@dataclass(frozen=True, slots=True)
class Pictures:
    """What pictures show: `main` stands for every name not known, `drawings` and `files` are found by their name."""

    main: Drawing | None = None
    drawings: Mapping[str, Drawing] = field(default_factory=dict)
    files: Mapping[str, Path] = field(default_factory=dict)


class Composer:
    """Sets the blocks of one document in order; `pieces` holds what is set so far, `root` its structure."""

    def __init__(
        self,
        sheet: Sheet,
        style: Style,
        blocks: Sequence[Block],
        pictures: Pictures,
        beside: bool,
        words: Words,
        level: int = 0,
    ) -> None:
        self.sheet = sheet
        self.style = style
        self.blocks = blocks
        self.pictures = pictures
        self.words = words
        self.pieces: list[Piece] = []
        self.root = Element("Document")
        self._beside = beside and sheet.margin > 0
        lifted = style.body._replace(lift=style.stands_out, chosen=style.chosen)
        self._work = lifted._replace(language="")  # nothing in a line of work is divided
        self._prose = lifted if style.chosen else style.body  # numbers stand out too, in sections of work
        self._count_look = lifted._replace(bold=True)
        self._grown = style.body.size / 11
        self._hang = self._hang_of(blocks)
        self._most_in_line = sheet.column * _IN_LINE
        self._counts_beside = self._beside and all(
            natural_width(count, self._count_look) <= sheet.margin for count in _counts(blocks)
        )
        self._opener = 0  # the piece that starts the current passage
        self._before: Block | None = None
        self._in_part = False
        self._level = level  # of the last heading

    def compose(self) -> list[Piece]:
        """All pieces of the document."""
        index = 0
        while index < len(self.blocks):
            block = self.blocks[index]
            following = self.blocks[index + 1] if index + 1 < len(self.blocks) else None
            first = isinstance(block, Picture) and not self._is_known(block)
            if first and isinstance(following, Grid) and self._side_by_side(following):
                index += 2
                self._before = following
                continue
            if not (self._block(block) and isinstance(self._before, Heading)):
                self._before = block
            index += 1
        return self.pieces

    def _is_known(self, picture: Picture) -> bool:
        return picture.source in self.pictures.drawings or picture.source in self.pictures.files

    def _block(self, block: Block) -> bool:
        """Set one block; True for a note, which leaves a heading before it the last thing set."""
        if isinstance(block, Heading):
            self._heading(block)
        elif isinstance(block, Paragraph):
            self._open_passage()
            pieces = self._worked("", block.runs, block.count, 0.0, self._prose, "paragraph", self.root.add("P"))
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
            ticks = set_ticks(block.number, self.sheet.column, self.style, self.words.boxes, self.root)
            self._stack(ticks, min(_INNER_SPACE, self.style.apart))
        elif isinstance(block, Lines):
            self._open_passage()
            self._stack(set_lines(block.number, self.sheet.column, self.style), _INNER_SPACE)
        else:
            self._open_passage()
            self._stack(self._picture(block), self._space(block))
        return isinstance(block, Aside)

    def _picture(self, picture: Picture) -> list[Piece]:
        if picture.source in self.pictures.drawings:
            return set_chart(self.pictures.drawings[picture.source], self.sheet, self.style, self.root)
        if picture.source in self.pictures.files:
            above = not self.pieces
            return set_photo(picture, self.pictures.files[picture.source], self.sheet, self.root, sign=above)
        return set_picture(picture, self.pictures.main, self.sheet, self.style, self.root)

    def _open_passage(self) -> None:
        self._opener = len(self.pieces)

    def _space(self, block: Block) -> float:
        """The space above a block: one blank line between works, little inside one."""
        before = self._before
        if before is None or isinstance(before, Heading):
            under_note = _INNER_SPACE if self.style.runs_in else 2 * _INNER_SPACE
            return under_note if self.pieces and self.pieces[-1].role == "note" else 0.0
        if isinstance(before, Paragraph) and (before.leads or not isinstance(block, Paragraph)):
            return _INNER_SPACE
        return self.style.apart

    def _stack(self, pieces: list[Piece], space: float) -> None:
        """Put the pieces of one block under the others."""
        if not pieces:
            return
        pieces[0].before = space
        if isinstance(self._before, Heading) or (isinstance(self._before, Paragraph) and self._before.leads):
            pieces[0].turn = NEVER
        elif self.pieces and pieces[0].turn == FREE:
            after = UNDER_TABLE if isinstance(self._before, Grid) else PASSAGE
            pieces[0].turn = after if space >= self.style.apart else WITHIN
        self.pieces.extend(pieces)

    def _heading(self, heading: Heading) -> None:
        level, style = heading.level, self.style
        if level <= 2:
            self._in_part = heading.part
        if level <= 3 and self._work.lift and not style.chosen:
            self._prose = self._work if self._is_work(heading) else style.body
        section = level == 2 or (level == 3 and self._in_part)
        look = style.title if level == 1 else style.part if heading.part else style.section if section else style.setup
        self._open_passage()
        before, self._level = self._level, min(level, self._level + 1, 6)  # no level is left out in the structure
        element = self.root.add(f"H{self._level}")
        lines = break_lines(heading.runs, look, *(self.sheet.column if level > 1 else self.sheet.wide,) * 2)
        pieces = lined(lines, look, "heading", 0.0, style.accent if level > 1 and section else BLACK, element)
        if not pieces:
            return
        lone = isinstance(self._before, Heading) or self._before is None
        pieces[0].before = 0.0 if self._before is None else 8.0 if lone else style.above if section else style.apart
        under = UNDER_TABLE if isinstance(self._before, Grid) else SETUP_HEAD
        usual = _PART_TURN if heading.part else FREE if section else under
        pieces[0].turn = NEVER if lone and self.pieces else usual
        if level == 1 and before:
            pieces[0].turn = ALWAYS  # another title: another's document
        pieces[0].bookmark = (level, plain(heading.runs).replace("\n", " "))
        if not section and level > 2:
            pieces[0].marks = (Rule(0, 0, self.sheet.column, 0, style.accent), *pieces[0].marks)
        pieces[-1].height += 0.0 if look is style.setup else 2.0 if style.runs_in else 4.0
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
        element = self.root.add("L")
        for place, item in enumerate(listing.items):
            first = not place
            if item.opens or (first and not isinstance(self._before, Paragraph)):
                self._open_passage()
            if item.label or (listing.labelled and (not self.style.runs_in or self.style.enlarges)):
                looks = (self._hang, self._work, "instruction")
                pieces = self._worked(item.label, item.runs, item.count, *looks, element.add("LI"))
            else:
                pieces = self._bulleted(item, element.add("LI"), named=not listing.labelled)
            space = self._space(listing) if first else self.style.passage if item.opens and listing.labelled else 0.0
            if first:
                self._stack(pieces, space)
            elif pieces:
                pieces[0].before = space
                pieces[0].turn = PASSAGE if item.opens else 35.0
                self.pieces.extend(pieces)

    def _bulleted(self, item: Item, element: Element, named: bool) -> list[Piece]:
        body, heavy = self._prose if self.style.chosen else self.style.body, self.style.family.bold
        step = BULLET * self._grown
        indent = step * (item.depth + 1) + (6.0 * self._grown if item.marker not in ("•", "") else 0.0)
        label = f"{item.label}: " if item.label else ""
        runs = (*((Run(label, bold=True),) if label else ()), *item.runs)
        bullet = element.add("Lbl") if item.marker and named else None
        pieces = self._worked("", runs, item.count, indent, body, "item", element.add("LBody"), flush=True)
        if pieces and item.marker:
            mark = Text(step * item.depth, body.baseline, item.marker, heavy, body.size, self.style.accent, of=bullet)
            width(item.marker, heavy, body.size)
            pieces[0].marks = (mark, *pieces[0].marks)
        return pieces

    def _worked(
        self,
        label: str,
        runs: Runs,
        count: Runs,
        indent: float,
        look: Look,
        role: str,
        of: Element,
        flush: bool = False,
    ) -> list[Piece]:
        """Text with its label hanging or running before it and its count beside its last line."""
        body, heavy = self.style.body, self.style.family.bold
        beside = bool(count) and self._counts_beside
        if count and self.style.runs_in:
            count = tuple(run._replace(text=run.text.replace(" ", NO_BREAK)) for run in count)
        if count and not beside:
            runs = (*runs, Run(" —\u00a0" if self.style.runs_in else " — "), *count) if runs else count
        in_line = width(f"{label}: ", heavy, body.size) if label and self.style.runs_in else 0.0
        hanging = bool(label) and (width(label, heavy, body.size) <= self._hang - 4 or 0 < in_line < self._most_in_line)
        if label and not hanging:
            runs = (Run(f"{label}: ", bold=True), *runs)
        first = 0.0 if (label and not hanging) and not flush else in_line if hanging and in_line else indent
        if not runs:
            runs = (Run(" "),)
        name = of.add("Lbl") if hanging else None
        told = of.add("LBody") if of.kind == "LI" else of
        words = told.add("Span") if beside else told
        lines = break_lines(runs, look, self.sheet.column - first, self.sheet.column - indent)
        pieces = lined(lines, look, role, indent, BLACK, words, first)
        if not pieces:
            pieces = [Piece(look.leading, (), role)]
        if hanging:
            said = f"{label}:" if in_line else label
            mark = Text(0.0, look.baseline, said, heavy, body.size, BLACK, of=name)
            pieces[0].marks = (mark, *pieces[0].marks)
        if beside:
            last = pieces[-1]
            base = last.height - look.leading + look.baseline
            line = break_lines(count, self._count_look, self.sheet.margin, self.sheet.margin)[0]
            last.marks = (*last.marks, *line_marks(line, self.sheet.margin_x, base, BLACK, told.add("Count")))
            last.fixed = ((last.height - look.leading, last.height),)
        return pieces

    def _aside(self, aside: Aside) -> None:
        small, element = self.style.small, self.root.add("Beside")
        if not self._beside or not self.pieces:
            space = 0.0 if self.style.runs_in and isinstance(self._before, Heading) else _INNER_SPACE
            self._stack(inline_note(aside.runs, self.sheet.column, self.style, element), space)
            return
        anchor = self.pieces[min(self._opener, len(self.pieces) - 1)]
        lines = break_lines(aside.runs, small, *(self.sheet.margin,) * 2)
        cramped = longest_word(aside.runs, small) > self.sheet.margin  # a row of sizes would have to be broken
        if cramped or len(lines) * small.leading > self.sheet.depth / 3 or anchor.wide:
            self._stack(inline_note(aside.runs, self.sheet.column, self.style, element), _INNER_SPACE)
            return
        marks: list[Mark] = []
        for number, line in enumerate(lines):
            y = number * small.leading + small.baseline
            marks += line_marks(line, self.sheet.margin_x, y, BLACK, element)
        look = self.style.section if anchor.role == "heading" and anchor.height > 20 else self.style.body
        anchor.notes = (
            *anchor.notes,
            Note(len(lines) * small.leading, tuple(marks), look.baseline - small.baseline),
        )

    def _grid(self, grid: Grid) -> None:
        pieces = set_grid(grid, self.sheet, self.style, self.root)
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
            shift = self.sheet.margin_x - INLINE_NOTE
            marks = tuple(mark._replace(x=mark.x - shift) for mark in note.marks if isinstance(mark, Text | Square))
            rule = Rule(0, 1, 0, note.height - 1, self.style.accent)
            self.pieces.append(Piece(note.height, (rule, *marks), "note", _INNER_SPACE, NEVER))
        anchor.notes = ()

    def _side_by_side(self, grid: Grid) -> bool:
        """The drawing beside the table of facts, where there is room; else False and nothing done."""
        drawing = self.pictures.main
        if drawing is None or not self.sheet.margin:
            return False
        root = Element("Document")  # only to see whether it fits
        across = min(drawing.width_mm * 72 / 25.4, self.sheet.wide * 0.42)
        measure = self.sheet.wide - across - self.sheet.gutter
        if sum(piece.height for piece in set_grid(grid, self.sheet, self.style, root, measure)) > self.sheet.depth / 2:
            return False
        empty = Picture("", "")
        picture = set_picture(empty, drawing, self.sheet, self.style, self.root, self.sheet.wide * 0.42)[0]
        table = set_grid(grid, self.sheet, self.style, self.root, measure)
        shift = self.sheet.wide - across
        marks: list[Mark] = [mark._replace(x=shift) for mark in picture.marks if not isinstance(mark, Rule)]
        y = 0.0
        for piece in table:
            marks += lowered(piece.marks, y)
            y += piece.height
        self._stack([Piece(max(y, picture.height), tuple(marks), "facts", wide=True)], self.style.apart)
        self._open_passage()
        return True

    def _hang_of(self, blocks: Sequence[Block]) -> float:
        """One indent for all instructions of the document, by its widest label that isn't far too wide."""
        most = self.style.hangs(self.sheet.column)
        if self.style.runs_in:
            return most
        heavy, size = self.style.family.bold, self.style.body.size
        widths = [
            width(item.label, heavy, size)
            for block in blocks
            if isinstance(block, Listing)
            for item in block.items
            if item.label
        ]
        least = min(_HANG_LEAST * self._grown, self.sheet.column * HANG_SHARE)
        return max(least, max((each for each in widths if each + _HANG_GAP <= most), default=0.0) + _HANG_GAP)


def _counts(blocks: Sequence[Block]) -> Iterable[Runs]:
    for block in blocks:
        if isinstance(block, Paragraph) and block.count:
            yield block.count
        elif isinstance(block, Listing):
            yield from (item.count for item in block.items if item.count)
