"""The standard streams as the program finds them: closed, full, broken off, or in an encoding that lacks characters."""

from __future__ import annotations

import codecs
import contextlib
import os
import sys
import unicodedata
from typing import TextIO

_LEGIBLE = "grader-legible"
_PLAIN = {
    **dict.fromkeys("–—−‐‑·•", "-"),
    **dict.fromkeys("“”„«»", '"'),
    **dict.fromkeys("‘’‚‹›", "'"),
    "×": "x",
    "…": "...",
    "⁄": "/",
    "±": "+/-",
    "☐": "[ ]",
    "○": "( )",
    "→": "->",
    "←": "<-",
    "≤": "<=",
    "≥": ">=",
    "≠": "!=",
    "ß": "ss",
    "ẞ": "SS",
    "æ": "ae",
    "Æ": "AE",
    "œ": "oe",
    "Œ": "OE",
    "ø": "o",
    "Ø": "O",
    "ł": "l",
    "Ł": "L",
    "đ": "d",
    "þ": "th",
}


def prepare() -> None:
    """Have all three streams open, and every character in them come out, in other letters where need be."""
    for number in range(3):  # or the first file that is opened would take the place of a stream that is closed
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    sys.stdin = sys.stdin or open(os.devnull, encoding="utf-8")  # noqa: SIM115
    sys.stdout = sys.stdout or open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    sys.stderr = sys.stderr or open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    codecs.register_error(_LEGIBLE, _legibly)
    for stream, errors in ((sys.stdin, "replace"), (sys.stdout, _LEGIBLE), (sys.stderr, _LEGIBLE)):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=errors)


def _legibly(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(plainly(each) for each in error.object[error.start : error.end]), error.end


def plainly(character: str) -> str:
    """A character in those of ASCII: its letter without the accent, a sign that looks like it, or else its number."""
    if "\udc80" <= character <= "\udcff":  # a byte of a name that is no text
        return f"\\x{ord(character) - 0xDC00:02x}"
    found = ""
    for each in unicodedata.normalize("NFKD", character):
        if not unicodedata.combining(each):
            found += _PLAIN.get(each, each)
    found = _PLAIN.get(character) or found
    return found if found and found.isascii() else f"<U+{ord(character):04X}>"


def is_unicode(stream: TextIO) -> bool:
    """True if a stream can take every character."""
    with contextlib.suppress(LookupError):
        return codecs.lookup(stream.encoding or "ascii").name.startswith("utf")
    return False


def silence(stream: TextIO) -> None:
    """Let a stream that takes nothing any more lead nowhere, so that what is left in it can't fail again."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
        stream.flush()
