"""What a line of the pattern file may hold: what can't be counted out is told before anything is worked.

A line goes as far as some place once, so that it comes out in one way; it turns at its end, if at all; and stitches
are picked up in a step of their own, which says along which edges.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from grader.notation.counting import is_flexible
from grader.notation.tree import Group, Item, Line, PickUp, Repeat, Turn


@lru_cache(maxsize=8192)
def fault_in(line: Line) -> tuple[str, str]:
    """What keeps a line from being counted out, and what would mend it; "" and "" for a line that is right."""
    inner = tuple(_inside(line.items))
    if any(isinstance(item, PickUp) for item in (*line.items, *inner)):
        return "stitches are picked up in a step of their own", "write pick_up: with the edges and the regions after it"
    if any(isinstance(item, Turn) for item in (*line.items[:-1], *inner)):
        return "a row turns once, at its end", "write a row for each turn"
    if any(is_flexible(item) for item in inner):
        return "what is repeated says how many stitches it works", "count the stitches within the brackets or stars"
    if sum(is_flexible(item) for item in line.items) > 1:
        return "a line goes as far as some place only once", "say how many stitches the others work, as in K5"
    return "", ""


def turns(line: Line) -> bool:
    """True for a line that turns at its end."""
    return bool(line.items) and isinstance(line.items[-1], Turn)


def _inside(items: tuple[Item, ...]) -> Iterator[Item]:
    """All that stands in brackets or between stars."""
    for item in items:
        if isinstance(item, Group | Repeat):
            yield from item.items
            yield from _inside(item.items)
