"""What one knitter reads: the printed lines of one size in one needle setup."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from grader.vocabulary.findings import Span

Regions = tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Claim:
    """A number that a sentence states of the work: the `kind` of what it states, and of whose (region or measure).

    `amount` is the number as graded, a count or cm, `printed` as it is read. `where` is say, why or check: the first
    two stand before the work of their step, a check after it.
    """

    kind: str
    of: str
    amount: Fraction
    printed: str
    where: str
    span: Span


@dataclass(frozen=True, slots=True)
class PrintedLine:
    """One round, row or other step, as printed and as worked.

    `text` is exactly what the knitter reads. `kind` is the step word of the pattern file; `side` is
    RS or WS on rows, `over` the region worked to and fro. `fabric` names the stitch pattern the line
    comes from, `round_of` which of its rounds it is. `stated` is the count the document states after the line,
    `regions` the stretches it speaks of, from the start of the round, before it is worked.
    """

    text: str
    kind: str
    span: Span
    side: str = ""
    over: str = ""
    fabric: str = ""
    round_of: int = 0
    stated: int | None = None
    regions: Regions = ()
    edges: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Block:
    """Lines worked `times` over. `key` aligns the same block over sizes and setups.

    `length` is the length asked for, in cm, where the rounds come from one; `until` the count of
    stitches it stops at; `leaves` the counts by region the pattern file says are left after it; `claims` what the
    words beside it state of the work; `held_before` the needles before a move that nothing else is, on the same set.
    """

    key: tuple[int, ...]
    lines: tuple[PrintedLine, ...]
    times: int = 1
    length: Fraction | None = None
    until: int | None = None
    leaves: Regions = ()
    stated: int | None = None
    note: str = ""
    say: str = ""
    why: str = ""
    check: str = ""
    claims: tuple[Claim, ...] = ()
    held_before: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class SectionLines:
    """The blocks of one section."""

    name: str
    over: str
    blocks: tuple[Block, ...]
    say: str = ""
    why: str = ""
    check: str = ""
    claims: tuple[Claim, ...] = ()


@dataclass(frozen=True, slots=True)
class Instructions:
    """A whole sock for one size in one needle setup; `colours` are the yarns it takes, if more than one.

    `sock` is "left" or "right" where the two of a pair differ.
    """

    size: str
    size_index: int
    setup: str
    terms: str
    sections: tuple[SectionLines, ...]
    colours: tuple[str, ...] = ()
    sock: str = ""
