"""What the hands hold while a sock is written out: regions, needles, and where the round starts.

This is the writer's own bookkeeping. The test-knit keeps its own, from the printed lines alone.
"""

from __future__ import annotations

import bisect
import itertools
from dataclasses import dataclass, field, replace

from grader.models.instructions import Regions
from grader.setups.holding import Setup, by_regions


@dataclass(slots=True)
class Flap:
    """A piece worked to and fro: its stitches, and those waiting beyond the gap at each side.

    `at_end` says that its last row was a whole one on the right side, so that the yarn is at its far end.
    """

    region: str
    count: int
    at_end: bool = False
    waiting: dict[str, int] = field(default_factory=lambda: {"RS": 0, "WS": 0})


@dataclass(slots=True)
class Hands:
    """Live stitches as a ring of regions; `start` counts from the first region's first stitch.

    `marked` says that markers lie between regions, `waiting` how many stitches the small circular needle needs that
    they are to be changed to, once there are so many. `uneven` says that needles lie as a stitch pattern wants them,
    `columns` where in a repeat each region began when all of the round was in that stitch pattern. `worked` counts the
    rounds and rows that were written one by one, `told` all of them.
    """

    setup: Setup
    regions: Regions = ()
    start: int = 0
    needles: tuple[int, ...] = ()
    marked: bool = False
    waiting: int = 0
    resting: tuple[str, ...] = ()
    flap: Flap | None = None
    rounds_in: dict[str, int] = field(default_factory=dict)
    yarn: str = ""
    uneven: bool = False
    columns: dict[str, dict[str, int]] = field(default_factory=dict)
    worked: int = 0
    told: int = 0

    @property
    def total(self) -> int:
        """All live stitches."""
        return sum(count for _, count in self.regions)

    def count_of(self, region: str) -> int:
        """Stitches of a region (0 if there is none of that name)."""
        return dict(self.regions).get(region, 0)

    def spans(self) -> Regions:
        """The regions in working order from the start of the round; a region the start cuts comes twice."""
        before = 0
        for index, (name, count) in enumerate(self.regions):
            if before <= self.start < before + count:
                head = (name, self.start - before)
                tail = (name, before + count - self.start)
                turned = (tail, *self.regions[index + 1 :], *self.regions[:index])
                return (*turned, head) if head[1] else turned
            before += count
        return self.regions

    def started_in(self) -> int:
        """The place in the ring of the region in which the round starts."""
        at = 0
        for index, (_, count) in enumerate(self.regions):
            if at <= self.start < at + count:
                return index
            at += count
        return 0

    def settle(self) -> None:
        """Spread the stitches so that needles and regions begin and end together."""
        self.needles = by_regions(self.setup, self.spans())

    def fits_regions(self) -> bool:
        """True if regions begin and end with needles, but those that share one (or the setup works by markers)."""
        if self.setup.marker:
            return True
        return self._ends_within(self.needles) == self._ends_within(by_regions(self.setup, self.spans()))

    def _ends_within(self, needles: tuple[int, ...]) -> list[tuple[int, int]]:
        """The regions that end within a needle: their place, and which needle it is."""
        joins = list(itertools.accumulate(needles))
        ends = itertools.accumulate(count for _, count in self.spans())
        return [(place, bisect.bisect(joins, end)) for place, end in enumerate(ends) if end not in joins]

    def set_counts(self, counts: dict[str, int]) -> None:
        """Give regions new counts."""
        self.regions = tuple((name, counts.get(name, count)) for name, count in self.regions)

    def recount(self, region: str) -> None:
        """The piece worked to and fro, which is on the first or the last needle, has other stitches than it had."""
        needles = list(self.needles)
        if needles:
            needles[0 if self.spans()[0][0] == region else -1] += self.total - sum(needles)
            self.needles = tuple(needles)

    def go_round(self, region: str) -> None:
        """The yarn is at the far end of a region that the round began with: there it begins now."""
        if not self.total or self.spans()[0][0] != region:
            return
        self.start = (self.start + self.count_of(region)) % self.total
        self.needles = (*self.needles[1:], *self.needles[:1])

    def goes_on_the_last(self, forward: int) -> bool:
        """True if what a part of a round takes off the first needle joins the last one.

        It does where it goes on a region that lies there, or leaves stitches on the first needle. A needle that is
        worked to its end otherwise stays a needle by itself, as in any round.
        """
        spans = self.spans()
        if self.setup.marker or not (self.needles and spans and forward):
            return False
        within = spans[0][0] == spans[-1][0] and len({name for name, _ in spans}) > 1
        return within or forward < self.needles[0]

    def move_start(self, forward: int) -> None:
        """Work `forward` stitches and let the round start there."""
        joined, left, needles = self.goes_on_the_last(forward), forward, list(self.needles)
        self.start = (self.start + forward) % self.total if self.total else 0
        if self.setup.marker:
            return
        while left and needles:
            step = min(left, needles[0])
            needles[0] -= step
            whole = not needles[0]
            if whole:
                needles.pop(0)
            if needles and (joined or not whole):
                needles[-1] += step
            else:
                needles.append(step)
            joined, left = False, left - step
        self.needles = tuple(needles)

    def change_to(self, setup: Setup) -> None:
        """Take the stitches over to another set of needles."""
        self.setup, self.marked = setup, False
        self.settle()

    def held_now(self) -> tuple[Regions, int, tuple[int, ...], bool]:
        """What the words of the next round depend on: where two rounds begin alike, they read alike."""
        return self.regions, self.start, self.needles, self.marked

    def snapshot(self) -> Hands:
        """A copy, for trying a step without doing it."""
        columns = {name: dict(begun) for name, begun in self.columns.items()}
        return replace(
            self, columns=columns, rounds_in=dict(self.rounds_in), flap=replace(self.flap) if self.flap else None
        )
