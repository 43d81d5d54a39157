"""Splitting an instruction line into words, numbers, formulas and signs, each with its place."""

from __future__ import annotations

import re
from dataclasses import dataclass

MOST_NEEDLES = 9  # a set of five and more than enough beside it
MOST_STITCHES = 9999  # a number in a line beyond this is a slip of the finger


class NotationError(ValueError):
    """What can't be read in a line, and at which character (from 0)."""

    def __init__(self, message: str, offset: int = 0) -> None:
        super().__init__(message)
        self.offset = offset


@dataclass(frozen=True, slots=True)
class Token:
    """`kind` is word, number, formula, cable, sign or end; `text` is in lower case for words."""

    kind: str
    text: str
    offset: int
    tight: bool  # follows the token before it without a space


_TOKEN = re.compile(
    r"\{(?P<formula>[^{}]*)\}"
    r"|(?P<cable>\d/\d\s+[LRlr][Pp]?[Cc]\b)"
    r"|(?P<number>\d+)"
    r"|(?P<word>[A-Za-z][A-Za-z&]*)"
    r"|(?P<sign>[*()\[\],;:.+-])"
    r"|(?P<other>\S)"
)
_ALNUM = re.compile(r"[A-Za-z][A-Za-z&]*\d[A-Za-z0-9]*|[A-Za-z][A-Za-z&]*")
_BOLD = re.compile(r"\*\*(?=\S)([^*]+?)\*\*")


def tokens_of(text: str) -> list[Token]:
    """The tokens of a line. Bold marks around words are passed over; `NotationError` on odd characters."""
    clean = _BOLD.sub(lambda match: f"  {match[1]}  ", text).replace("\u00a0", " ").replace("×", "x")
    found: list[Token] = []
    at = end_of_last = 0
    while at < len(clean):
        if clean[at].isspace():
            at += 1
            continue
        tight = bool(found) and end_of_last == at
        alnum = _ALNUM.match(clean, at)
        match = _TOKEN.match(clean, at)
        if alnum and not clean.startswith("{", at):
            found.append(Token("word", alnum[0], at, tight))
            at = alnum.end()
        elif match is None or match["other"]:
            raise NotationError(f"can't read {clean[at]!r}", at)
        else:
            kind = str(match.lastgroup)
            found.append(Token(kind, match[kind], at, tight))
            at = match.end()
        end_of_last = at
    found.append(Token("end", "", len(clean), False))
    return found
