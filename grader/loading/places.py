"""Where a character of a YAML text stands in the file, through quotes, escapes and folds."""

from __future__ import annotations

_ESCAPE_WIDTHS = {"x": 4, "u": 6, "U": 10}  # \xNN, \uNNNN, \UNNNNNNNN


def offsets(lines: tuple[str, ...], line: int, column: int, text: str, style: str, wanted: int) -> tuple[int, int]:
    """Line and column (from 0) of the character `wanted` of `text`, which is written at `line`, `column`.

    Blanks are matched loosely, since folding changes them; every other character is followed one by one.
    """
    if style in ("|", ">"):
        line, column = line + 1, 0
    elif style:
        column += 1
    for number, sign in enumerate(text):
        if not sign.isspace() and style != '"':
            line, column = _past_blanks(lines, line, column)
        elif not sign.isspace():
            line, column = _past_blanks(lines, *_past_line_end(lines, line, column))
        if number >= wanted or line >= len(lines):
            break
        line, column = _next(lines, line, column, sign, style)
    if line >= len(lines):
        return len(lines) - 1, len(lines[-1])
    return line, column


def _past_blanks(lines: tuple[str, ...], line: int, column: int) -> tuple[int, int]:
    while line < len(lines):
        rest = lines[line][column:]
        if rest.strip():
            return line, column + len(rest) - len(rest.lstrip())
        line, column = line + 1, 0
    return line, column


def _past_line_end(lines: tuple[str, ...], line: int, column: int) -> tuple[int, int]:
    """Past a backslash that joins two lines of a double-quoted text."""
    if line < len(lines) and lines[line][column:] == "\\":
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
