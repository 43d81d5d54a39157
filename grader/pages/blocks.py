"""The blocks that the Markdown dialect of a pattern knows, before anything is set in type."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Run(NamedTuple):
    """A stretch of text in one weight; `link` is where it leads, if anywhere."""

    text: str
    bold: bool = False
    link: str = ""


Runs = tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """`level` 1 is the title; `part` marks a heading of level 2 that stands after a thematic break."""

    level: int
    runs: Runs
    part: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; `leads` means that what follows belongs to it and stays with it."""

    runs: Runs
    count: Runs = ()
    leads: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """One list item: hanging label, work and the count at its end. `opens` marks the first line of a new passage."""

    label: str
    runs: Runs
    count: Runs = ()
    opens: bool = False
    depth: int = 0
    marker: str = "•"


@dataclass(frozen=True, slots=True)
class Listing:
    """A list; where any item has a hanging label, items without one hang level with the work."""

    items: tuple[Item, ...]

    @property
    def labelled(self) -> bool:
        return any(item.label for item in self.items)


@dataclass(frozen=True, slots=True)
class Grid:
    """A table; `align` holds one of l, r, c for each column."""

    heads: tuple[Runs, ...]
    rows: tuple[tuple[Runs, ...], ...]
    align: str


@dataclass(frozen=True, slots=True)
class Aside:
    """A note that stands beside the passage it follows."""

    runs: Runs


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture by its place and its description."""

    source: str
    alt: str


@dataclass(frozen=True, slots=True)
class Ticks:
    """Boxes to tick, one a round."""

    number: int


@dataclass(frozen=True, slots=True)
class Lines:
    """Ruled lines to write on."""

    number: int


Block = Heading | Paragraph | Listing | Grid | Aside | Picture | Ticks | Lines


def plain(runs: Runs) -> str:
    """The text of the runs without their looks."""
    return "".join(run.text for run in runs)
