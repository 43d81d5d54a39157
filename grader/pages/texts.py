"""Runs of text -> pieces: lines kept in twos, labels that hang, notes that stand in the text column."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from grader.pages.blocks import Runs
from grader.pages.lines import Line, Look, break_lines
from grader.pages.pieces import FREE, WITHIN, Ink, Mark, Piece, Rule, line_marks
from grader.pages.structure import Element
from grader.pages.styles import BLACK, Style

INLINE_NOTE = 10.0  # indent of a note that stands in the text column
_CHUNK = 12  # lines of a heading or note in one piece


def lined(
    lines: Sequence[Line],
    look: Look,
    role: str,
    indent: float,
    ink: Ink,
    of: Element,
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
            marks += line_marks(line, x, row * look.leading + look.baseline, ink, of)
        pieces.append(Piece((end - start) * look.leading, tuple(marks), role, 0.0, WITHIN if start else FREE))
        start = end
    return pieces


def inline_note(runs: Runs, column: float, style: Style, of: Element) -> list[Piece]:
    """A note under the text it belongs to, behind a rule."""
    small, indent = style.small, min(INLINE_NOTE, style.body.size)
    lines = break_lines(runs, small, *(column - indent,) * 2)
    pieces = []
    for start in range(0, len(lines), _CHUNK):
        part = lines[start : start + _CHUNK]
        height = len(part) * small.leading
        marks: list[Mark] = [Rule(0, 1, 0, height - 1, style.accent)]
        for row, line in enumerate(part):
            marks += line_marks(line, indent, row * small.leading + small.baseline, BLACK, of)
        pieces.append(Piece(height, tuple(marks), "note", turn=WITHIN))
    return pieces


def lowered(marks: Iterable[Mark], down: float) -> list[Mark]:
    """The marks so much further down."""
    moved: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Rule):
            moved.append(mark._replace(y1=mark.y1 + down, y2=mark.y2 + down))
        else:
            moved.append(mark._replace(y=mark.y + down))
    return moved
