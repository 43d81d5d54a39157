"""YAML's own complaints, said in plain words with what would mend them."""

from __future__ import annotations

import re

_QUOTE = "put the whole text into quotes"
# (what the scanner says, our words, what mends it, whether the place is where the context began)
_WORDS: tuple[tuple[str, str, str, bool], ...] = (
    (r"mapping values are not allowed", "a colon with a space after it stands inside a text", _QUOTE, False),
    (r"cannot start any token", "a text can't begin with this character", _QUOTE, False),
    (r"scanning an? (alias|anchor)", "a text that begins with * or & is not plain text in YAML", _QUOTE, True),
    (r"scanning a quoted scalar.*end of stream", "a quote is opened here and never closed", "close it", True),
    (
        r"scanning a quoted scalar.*document (separator|indicator)",
        "a quote is opened here and never closed",
        "close it",
        True,
    ),
    (r"escape|hexadecimal", "a backslash in this text starts a special character", "use single quotes", True),
    (
        r"could not find expected ':'",
        "a key without a colon stands here",
        "write a colon and a space after the key",
        True,
    ),
    (
        r"flow sequence|expected ',' or ']'",
        "the bracket opened here is not closed, or a comma is missing",
        "close it with ] and put commas between its items",
        True,
    ),
    (
        r"flow mapping|expected ',' or '}'",
        "the brace opened here is not closed, or a comma is missing",
        "close it with } and put commas between its keys",
        True,
    ),
    (r"flow node", "something is missing inside brackets or braces", "close them, or fill in what is missing", False),
    (r"sequence entries are not allowed", "a list can't start here", "start it on a line of its own", False),
    (r"mapping keys are not allowed", "a key can't start here", "start it on a line of its own", False),
    (
        r"block mapping|block collection|block sequence|expected key|'-' indicator|simple key",
        "this line does not line up with the lines above it",
        "indent it exactly as far as its neighbours",
        False,
    ),
    (
        r"scanning a block scalar",
        "the sign for a text of several lines is followed by something else",
        "start the text on the next line",
        False,
    ),
    (r"directive|%YAML|%TAG|version", "a line that begins with % is not a part of a pattern", "delete it", False),
    (r"document start", "something stands after the end of the pattern", "indent it, or delete it", False),
)


def in_plain_words(complaint: str) -> tuple[str, str, bool]:
    """Our words for a scanner's complaint, what mends it, and whether its context is the better place."""
    for form, words, mend, at_context in _WORDS:
        if re.search(form, complaint, re.DOTALL):
            return words, mend, at_context
    return "this can't be read as YAML", "compare it with the lines round it, and quote what is text", False
