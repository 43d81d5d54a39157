"""What is on the needles while a sock is knitted: live stitches, joins, markers, and the piece worked to and fro."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, field

from grader.models.instructions import Regions
from grader.models.record import Runs, Shaping
from grader.testknit.walking import Marks, Stuck


@dataclass(frozen=True, slots=True)
class Outcome:
    """What working one line did: counts before and after, what was made, and the regions after it.

    `forward` is how far past the first stitch of a pick-up the round starts; `yarns` are the colours of what was made.
    """

    before: int
    after: int
    needles: tuple[int, ...] = ()
    made: Runs = ()
    shaping: tuple[Shaping, ...] = ()
    loops: int = 0
    full: bool = True
    regions: Regions = ()
    forward: int = 0
    yarns: Runs = ()


@dataclass(slots=True)
class Edge:
    """One side of a flap: chains of slipped stitches, and rows whose first stitch was worked."""

    chains: int = 0
    plain: int = 0

    def offers(self, corner: int) -> int:
        """Stitches that can be picked up: one a chain, or 3 for 4 rows (common practice), and those in the corner."""
        return self.chains + (3 * 2 * self.plain) // 4 + corner


@dataclass(slots=True)
class Piece:
    """Stitches worked to and fro. Positions count from the start of a right-side row."""

    name: str
    count: int
    yarn: int = 0
    next_side: str = "RS"
    gaps: Marks = ()
    edges: dict[str, Edge] = field(default_factory=lambda: {"left": Edge(), "right": Edge()})

    def marks(self, side: str) -> Marks:
        """The gaps in the direction of a row on that side."""
        return self.gaps if side == "RS" else self.turned_over(self.gaps)

    def turned_over(self, marks: Marks) -> Marks:
        """Positions seen from the other side."""
        return tuple(sorted((self.count - place, kind) for place, kind in marks))

    @property
    def open_gaps(self) -> int:
        """Plain gaps that no decrease has closed."""
        return sum(kind == "gap" and 0 < place < self.count for place, kind in self.gaps)


@dataclass(slots=True)
class Needles:
    """All live stitches as a ring that begins where the yarn is.

    `held` are the counts on each needle from there; `wrapped` says that the last is the same needle as the
    first. With one circular needle `markers` hold the places of the markers instead, "start" among them;
    `slips_start` says whether the page has the marker of the start slipped at the end of a round,
    `set_of` on how many needles the stitches were at the most, if the cast-on says so. `turned` says that the work
    was turned within a round, `usual` how it is usually spread where the words may leave that to the hands;
    `waste` counts stitches knitted with waste yarn that are to be opened later.
    """

    total: int = 0
    held: tuple[int, ...] = ()
    wrapped: bool = False
    markers: Marks = ()
    by_markers: bool = False
    slips_start: bool | None = None
    set_of: int = 0
    piece: Piece | None = None
    on_hold: int = 0
    told: tuple[str, int] | None = None
    turned: bool = False
    usual: Callable[[int], tuple[int, ...]] | None = None
    waste: int = 0

    def clear(self) -> None:
        """Nothing is left on the needles."""
        self.total, self.held, self.markers, self.by_markers = 0, (), (), False

    def marks(self) -> Marks:
        """Joins and markers in the way of a whole round; the start marker stands at its end too."""
        if self.by_markers:
            inner = [(place, "marker") for place, _ in self.markers if place]
            return (*sorted(inner), (self.total, "marker"))
        joins = [(place, "needle") for place in self.joins()[1:-1]]
        return tuple(sorted([*joins, *self.markers]))

    def shown(self) -> tuple[int, ...]:
        """What each needle, or each stretch between markers, holds from the start of the round."""
        if not self.by_markers:
            if self.wrapped:
                return (self.held[0] + self.held[-1], *self.held[1:-1])
            return self.held
        start = next((place for place, kind in self.markers if kind == "start"), 0)
        places = sorted((place - start) % self.total for place, _ in self.markers) if self.total else []
        return tuple(b - a for a, b in zip(places, [*places[1:], self.total], strict=True)) if places else (self.total,)

    def keep(self, marks: Marks, total: int) -> None:
        """Take over the joins and markers of a round just worked."""
        self.total = total
        start = [(0, "start")] if any(kind == "start" for _, kind in self.markers) else []
        self.markers = (*start, *((place, "marker") for place, kind in marks if kind == "marker" and place < total))
        if self.by_markers:
            return
        joins = [0, *(place for place, kind in marks if kind == "needle"), total]
        self.held = tuple(b - a for a, b in itertools.pairwise(joins))

    def rotate(self, forward: int, onto_last: bool = True) -> None:
        """The yarn moves on: the ring now begins `forward` stitches later.

        Stitches of a needle that is left half worked join those before them, and so do the first `onto_last`; other
        needles are worked to their end and stay what they were, in their new order.
        """
        self.markers = tuple(sorted(((place - forward) % self.total, kind) for place, kind in self.markers))
        if self.by_markers:
            return
        self.wrapped = False
        if len(self.held) < 2:
            return
        *ahead, last = self.held
        behind = [last]
        while forward:
            size = ahead.pop(0) if ahead else behind.pop(0)
            worked = min(size, forward)
            forward -= worked
            if behind and (onto_last or worked < size):
                behind[-1] += worked
            else:
                behind.append(worked)
            if worked < size:
                ahead.insert(0, size - worked)
            onto_last = False
        self.held = (*ahead, *behind)

    def roll(self, forward: int) -> None:
        """The ring now begins `forward` stitches later, where a needle begins; no stitch changes its needle."""
        if self.by_markers:
            self.rotate(forward)
            return
        if len(self.held) == 1:
            return
        if forward not in self.joins():
            raise Stuck("needles", "the stitches to be worked do not begin with a needle")
        place = self.joins().index(forward)
        self.held = (*self.held[place:], *self.held[:place])

    def gather(self, size: int, name: str) -> None:
        """The first stitches are worked to and fro, and so come onto one needle."""
        if self.by_markers or len(self.held) == 1:
            return
        if size not in self.joins():
            raise Stuck("needles", f"the {name} sts do not end with a needle")
        self.held = (size, *self.held[self.joins().index(size) :])

    def joins(self) -> tuple[int, ...]:
        """The places where a needle begins or ends."""
        return (0, *itertools.accumulate(self.held))

    def shift_piece(self, change: int) -> None:
        """The piece lost or won stitches: so did the whole, and the needle it is on."""
        self.total += change
        self.markers = tuple((place + change if place else 0, kind) for place, kind in self.markers)
        if self.held:
            self.held = (self.held[0] + change, *self.held[1:])
