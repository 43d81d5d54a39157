"""The worked record: what the test-knit saw, line by line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from grader.models.instructions import Claim, Regions
from grader.vocabulary.findings import Span

Runs = tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Shaping:
    """One decrease or increase of a line: where it stands and which way it leans, seen from RS.

    `before` counts the stitches already made in the line and `taken` those taken before it; `takes` and
    `width` are what it takes and leaves.
    """

    before: int
    taken: int
    takes: int
    name: str
    lean: str
    width: int


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """One printed line as worked, `times` times without a change of count.

    `before` and `after` count all live stitches, or the piece where `over` is given. `made` is what
    lies on the needles after it as runs of (stitch, count), seen from RS; `loops` the new loops. `yarns`, in a sock of
    several colours, are the stitches made as runs of (colour, count), a colour of "" for those slipped.
    """

    section: str
    kind: str
    text: str
    span: Span
    times: int
    before: int | None
    after: int | None
    needles: tuple[int, ...] = ()
    side: str = ""
    over: str = ""
    edges: tuple[str, ...] = ()
    regions: Regions = ()
    fabric: str = ""
    made: Runs = ()
    shaping: tuple[Shaping, ...] = ()
    loops: int = 0
    full: bool = True
    block: str = ""
    block_times: int = 1
    yarns: Runs = ()

    @property
    def loops_by_colour(self) -> dict[str, int]:
        """The new loops of each colour when it is worked once; empty in a sock of one yarn."""
        counts: dict[str, int] = {}
        for colour, count in self.yarns:
            if colour:
                counts[colour] = counts.get(colour, 0) + count
        return counts


@dataclass(frozen=True, slots=True)
class Stand:
    """What is on the needles where a sentence stands: all live stitches, and those of each region.

    `chains` are the long edge stitches at the left and the right of what is worked to and fro, none where nothing is.
    `middle` counts the stitches from the turn just made to the next, and `doubles` those of them that are double ones,
    the turn's own among them.
    """

    live: int
    regions: Regions = ()
    chains: tuple[int, ...] = ()
    middle: int | None = None
    doubles: int = 0


@dataclass(frozen=True, slots=True)
class WorkedClaim:
    """A number that a sentence states, and where it stood: after so many lines of the record (`at`).

    `first` and `last` are the lines of its step, or of its section where the section says it; `last` is exclusive.
    """

    claim: Claim
    section: str
    at: int
    first: int
    last: int
    stand: Stand


@dataclass(frozen=True, slots=True)
class Record:
    """One sock knitted through; `complete` if every line was worked and nothing is left on the needles."""

    size: str
    size_index: int
    setup: str
    terms: str
    lines: tuple[WorkedLine, ...]
    stitches: int
    left_on_needles: int
    complete: bool = True
    sock: str = ""
    claims: tuple[WorkedClaim, ...] = ()

    @property
    def worked(self) -> int:
        """How many rounds and rows were worked."""
        return sum(line.times * line.block_times for line in self.lines if line.kind in ("round", "row"))

    def loops_by_colour(self) -> dict[str, int]:
        """The loops of the whole sock by colour; empty for a sock of one yarn."""
        counts: dict[str, int] = {}
        for line in self.lines:
            for colour, count in line.loops_by_colour.items():
                counts[colour] = counts.get(colour, 0) + count * line.times * line.block_times
        return counts

    def in_order(self) -> Iterator[WorkedLine]:
        """The lines as the hands meet them: a block's lines over and over, each still with its own `times`."""
        at = 0
        while at < len(self.lines):
            first = self.lines[at]
            end = at + 1
            while first.block and end < len(self.lines) and self.lines[end].block == first.block:
                end += 1
            for _ in range(first.block_times):
                yield from self.lines[at:end]
            at = end
