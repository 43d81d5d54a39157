"""What a printed pattern says, block by block, before any template or page exists.

All text is final wording with its numbers merged over the sizes; inline Markdown (`**bold**`)
is allowed in it. Templates decide the order and the headings, pages decide the looks.
"""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.worksheet import Worksheet


@dataclass(frozen=True, slots=True)
class Table:
    """A small table; `align` holds one of l, r, c for each column."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: str = ""
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Instruction:
    """One printed line: a hanging label such as "Round 1", the work, and the count after it.

    `boxes` is the number of rounds to tick in a one-size document (0 elsewhere).
    """

    label: str
    text: str
    count: str = ""
    sizes: str = ""
    boxes: int = 0


@dataclass(frozen=True, slots=True)
class ChartText:
    """One chart: the stitch pattern it shows, by the name of the file and by the one in print, and what is said of it.

    `pictures` are file names beside the Markdown with what each shows in words; `size` says what repeats, `reading`
    how to read it; `key` has for each symbol how it looks, what is worked, and its name.
    """

    pattern: str
    name: str
    pictures: tuple[tuple[str, str], ...]
    size: str
    reading: str
    key: tuple[tuple[str, str, str], ...]
    sides: bool = False  # plain stitches lie at both sides of it


@dataclass(frozen=True, slots=True)
class Passage:
    """The lines of one step; `closing` says how often they repeat and until when, `chart` which chart shows them."""

    instructions: tuple[Instruction, ...]
    closing: str = ""
    sizes: str = ""
    say: str = ""
    why: str = ""
    check: str = ""
    boxes: int = 0
    chart: str = ""


@dataclass(frozen=True, slots=True)
class Strand:
    """Passages that hold for one needle setup, or for all of them where `setup` is empty."""

    setup: str
    passages: tuple[Passage, ...]


@dataclass(frozen=True, slots=True)
class DiagramText:
    """One drawing of a stage: its file name beside the Markdown, what it is of, what it shows in words, its setup."""

    file: str
    title: str
    alt: str
    setup: str = ""


@dataclass(frozen=True, slots=True)
class SectionText:
    """One part of the sock in print.

    `extent` says how long it takes ("4 cm (1 1/2 in), 18 rounds"), `ends_with` what is then on the
    needles, `numbers` the lettered figures for every size where brackets would be too long.
    """

    name: str
    strands: tuple[Strand, ...]
    extent: str = ""
    why: str = ""
    say: str = ""
    check: str = ""
    ends_with: str = ""
    numbers: Table | None = None
    diagrams: tuple[DiagramText, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """All sections in a row: the whole sock, or the whole sock in one needle setup (`name`)."""

    name: str
    intro: str
    sections: tuple[SectionText, ...]


@dataclass(frozen=True, slots=True)
class Document:
    """One printed pattern."""

    title: str
    summary: str
    author: str
    version: str
    date: str
    copyright: str
    terms: str
    facts: tuple[tuple[str, str], ...]
    sizes: Table
    materials: tuple[str, ...]
    gauge: str
    setups: tuple[tuple[str, str], ...]
    abbreviations: tuple[tuple[str, str], ...]
    how_to_read: tuple[str, ...]
    parts: tuple[Part, ...]
    finishing: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    one_size: bool = False
    whose: str = ""  # the name of the one it is for, which ends the title
    drawing: str = ""  # where the Markdown finds the picture of the sock, a file name beside it
    drawing_alt: str = ""  # what that picture shows, in words
    techniques: tuple[tuple[str, str], ...] = ()  # name and how it is done, only those the pattern uses
    charts: tuple[ChartText, ...] = ()
    person: tuple[str, ...] = ()  # what was estimated of the one it is for, and what was altered for her and why
    yarn: Table | None = None  # what a pair of each size takes, in all and by part
    tools: tuple[tuple[str, str], ...] = ()  # to cut out of a handout: file names beside the Markdown, what each shows
    diagrams: tuple[DiagramText, ...] = ()  # drawings of the whole sock: its parts by name, its measures
    drawn_size: str = ""  # the size that diagrams are of, where there are several
    reasons: tuple[tuple[str, str], ...] = ()  # the numbers of the pattern by name, and why each is what it is
    worksheet: Worksheet | None = None  # the numbers worked by hand
    changes: tuple[tuple[str, str, tuple[str, ...]], ...] = ()  # version, date and what it changed, the newest first
