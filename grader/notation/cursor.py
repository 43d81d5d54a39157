"""A place in the tokens of one line: looking at them, taking them, and saying what was expected instead."""

from __future__ import annotations

from grader.notation.tokens import MOST_STITCHES, NotationError, Token, tokens_of
from grader.notation.tree import Count

LONGEST_LINE = 2000  # characters; the longest pick-up of a sock has about 200


class Cursor:
    """Where a reader is in a line."""

    def __init__(self, text: str) -> None:
        self.tokens = tokens_of(text)
        self.at = 0

    def peek(self, ahead: int = 0) -> Token:
        """The token `ahead` places on; the last of all says that the line is at its end."""
        return self.tokens[min(self.at + ahead, len(self.tokens) - 1)]

    def take(self) -> Token:
        """The next token, which is then behind us."""
        token = self.peek()
        self.at += 1
        return token

    def word(self, *words: str) -> bool:
        """Take these words if they come next."""
        if all(self.peek(i).text.lower() == word for i, word in enumerate(words)):
            self.at += len(words)
            return True
        return False

    def fail(self, wanted: str) -> NotationError:
        """What was wanted, and what stands there."""
        token = self.peek()
        found = f"{token.text!r}" if token.text else "the end of the line"
        return NotationError(f"expected {wanted}, found {found}", token.offset)

    def count(self) -> Count | None:
        """A number or a formula in braces, if one comes next."""
        token = self.peek()
        if token.kind == "number":
            self.take()
            return whole(token.text, token)
        if token.kind == "formula":
            self.take()
            return token.text.strip()
        return None

    def need_count(self, wanted: str) -> Count:
        """A number or a formula, which must come next."""
        count = self.count()
        if count is None:
            raise self.fail(wanted)
        return count

    def colon(self) -> None:
        """A colon, which must come next."""
        if not self.word(":"):
            raise self.fail("a colon")


def check_length(text: str) -> None:
    """`NotationError` for a line that no page could hold."""
    if len(text) > LONGEST_LINE:
        raise NotationError(f"the line has {len(text)} characters; {LONGEST_LINE} are the most", LONGEST_LINE)


def whole(digits: str, token: Token) -> int:
    """The digits as a number; `NotationError` beyond what any line asks for."""
    if len(digits) > len(str(MOST_STITCHES)):
        raise NotationError(f"{digits[:12]} is more than a line can ask for", token.offset)
    return int(digits)
