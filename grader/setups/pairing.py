"""One text for the two socks of a pair that differ: the sections of both, in the pattern's order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from grader.models.instructions import Instructions, SectionLines
from grader.models.pattern import Pattern


def both_socks(pattern: Pattern, left: Instructions, right: Instructions) -> Instructions:
    """What is printed for a pair: what both socks share once, and each one's own sections."""
    return replace(left, sections=tuple(_in_order(pattern, left, right)), sock="")


def _in_order(pattern: Pattern, left: Instructions, right: Instructions) -> Iterator[SectionLines]:
    lefts, rights = iter(left.sections), iter(right.sections)
    for section in pattern.sections:
        if section.sock == "right":
            yield next(rights)
            continue
        if not section.sock:
            next(rights)
        yield next(lefts)
