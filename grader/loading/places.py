"""Where a character of a YAML text stands in the file, through quotes, escapes and folds."""

from __future__ import annotations

from collections.abc import Iterator

_ESCAPE_WIDTHS = {"x": 4, "u": 6, "U": 10}  # \xNN, \uNNNN, \UNNNNNNNN


def offsets(lines: tuple[str, ...], line: int, column: int, text: str, style: str) -> Iterator[tuple[int, int]]:
    """Line and column (from 0) of each character of `text`, which is written at `line`, `column`, and of its end.

    Blanks are matched loosely, since folding changes them; every other character is followed one by one.
    """
    last = len(lines) - 1, len(lines[-1])
    if style in ("|", ">"):
        line, column = line + 1, 0
    elif style:
        column += 1
    for sign in text:
        if not sign.isspace() and style != '"':
            line, column = _past_blanks(lines, line, column)
        elif not sign.isspace():
            line, column = _past_blanks(lines, *_past_line_end(lines, line, column))
        yield (line, column) if line < len(lines) else last
        if line < len(lines):
            line, column = _next(lines, line, column, sign, style)
    yield (line, column) if line < len(lines) else last


def _past_blanks(lines: tuple[str, ...], line: int, column: int) -> tuple[int, int]:
    while line < len(lines):
        here = lines[line]
        while column < len(here) and here[column].isspace():
            column += 1
        if column < len(here):
            return line, column
        line, column = line + 1, 0
    return line, column


def _past_line_end(lines: tuple[str, ...], line: int, column: int) -> tuple[int, int]:
    """Past a backslash that joins two lines of a double-quoted text."""
    if line < len(lines) and column == len(lines[line]) - 1 and lines[line][column] == "\\":
        return line + 1, 0
    return line, column


def _next(lines: tuple[str, ...], line: int, column: int, sign: str, style: str) -> tuple[int, int]:
    """The place after the character `sign`."""
    here = lines[line]
    if column >= len(here):
        return line + 1, 0
    if style == '"' and here[column] == "\\":
        return line, column + _ESCAPE_WIDTHS.get(here[column + 1 : column + 2], 2)
    if style == "'" and sign == "'":
        return line, column + 2
    return line, column + 1
