"""A value that doesn't fit where it stands, and braces that don't pair."""

from __future__ import annotations

import re

_BRACE = re.compile(r"[{}]")


class Misfit(ValueError):
    """A value that doesn't fit where it stands: what is wrong, what would mend it, at which character.

    `key` names the entry of a map that is at fault, where the map as a whole was being read.
    """

    def __init__(self, message: str, mend: str = "", offset: int = 0, key: str = "", code: str = "value") -> None:
        super().__init__(message)
        self.message, self.mend, self.offset, self.key, self.code = message, mend, offset, key, code


def braces(written: str) -> list[tuple[int, int]]:
    """Where what stands in each pair of braces begins and ends; template code and odd braces are misfits."""
    found: list[tuple[int, int]] = []
    start = -1
    for match in _BRACE.finditer(written):
        at = match.start()
        if written[at : at + 2] in ("{{", "{%", "{#"):
            raise Misfit(
                f"{written[at : at + 2]!r} is template code, which a pattern can't run",
                "write one pair of braces round a formula",
                at,
                code="template",
            )
        if match[0] == "{":
            if start >= 0:
                raise Misfit("a brace is opened inside another", "close the first one", at, code="braces")
            start = at
        elif start < 0:
            raise Misfit("a brace is closed that was never opened", "open it with {", at, code="braces")
        else:
            found.append((start + 1, at))
            start = -1
    if start >= 0:
        raise Misfit("a brace is opened and never closed", "close it with }", start, code="braces")
    return found
