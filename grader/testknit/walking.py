"""Walking a line over a stretch of stitches: what it takes, what it leaves, and what it passes.

A walk is a pure function of the line and of what lies before it, so equal walks are worked once.
Positions are joins: position p has p stitches before it, in the direction of work.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from grader.models.record import Runs, Shaping
from grader.notation.tree import Group, Item, Line, Mark, Op, PickUp, Reach, Repeat, Run, Turn
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.stitches import Stitch, stitch_named

Marks = tuple[tuple[int, str], ...]
Pick = tuple[str, int, int, int]
GAPS = ("gap", "wrapped", "DS")


NO_YARN = "none"


def add_run(runs: list[tuple[str, int]], name: str, count: int) -> None:
    """Put `count` of a thing at the end of its runs."""
    if runs and runs[-1][0] == name:
        runs[-1] = (name, runs[-1][1] + count)
    elif count:
        runs.append((name, count))


class Stuck(Exception):
    """The line can't be worked: why, what was asked for and what there is. Never leaves this stage."""

    def __init__(self, code: str, message: str, expected: str = "", found: str = "", mend: str = "") -> None:
        super().__init__(message)
        self.code, self.message, self.expected, self.found, self.mend = code, message, expected, found, mend


def afford(limit: str, amount: int) -> None:
    """`Stuck` where so much goes beyond a limit of the budget."""
    if amount > allowed(limit):
        message, mend = too_much(limit, amount)
        raise Stuck("budget", message, mend=mend)


@dataclass(frozen=True, slots=True)
class Walked:
    """One stretch worked: `used` stitches of it, `made` on the right needle, and the marks in their new places.

    `picks` holds edge, count, the stitches used before and those in the corner, for each time stitches are picked up;
    `yarns` the
    stitches made as runs of (colour, count): "" is the yarn in hand, `NO_YARN` a stitch slipped.
    """

    used: int
    made: int
    marks: Marks
    runs: Runs
    shaping: tuple[Shaping, ...]
    loops: int
    picks: tuple[Pick, ...]
    turned: bool
    slipped_first: bool
    start_at: int | None
    yarns: Runs = ()


@dataclass(slots=True)
class _Walk:
    total: int
    used: int
    made: int
    ahead: list[tuple[int, str]]
    behind: list[tuple[int, str]] = field(default_factory=list)
    runs: list[tuple[str, int]] = field(default_factory=list)
    shaping: list[Shaping] = field(default_factory=list)
    loops: int = 0
    picks: list[Pick] = field(default_factory=list)
    turned: bool = False
    slipped: set[int] = field(default_factory=set)
    start_at: int | None = None
    began: int = 0
    steps: int = 0
    yarns: list[tuple[str, int]] = field(default_factory=list)

    def all(self, items: tuple[Item, ...]) -> None:
        for item in items:
            if self.turned:
                raise Stuck("turn", "there is more to work after the turn")
            self.one(item)

    def one(self, item: Item) -> None:
        self.steps += 1
        afford("operations", self.steps)
        if isinstance(item, Op):
            self.op(item)
        elif isinstance(item, Run):
            count = self.room(item.reach)
            self.op(Op("k" if item.name == "patt" else item.name, count, colour=item.colour))
        elif isinstance(item, Repeat):
            self.repeat(item)
        elif isinstance(item, Group):
            for _ in range(self.number(item.times)):
                self.all(item.items)
        elif isinstance(item, PickUp):
            count = self.number(item.count)
            self.made += count
            self.loops += count
            self.picks.append((item.edge, count, self.used, self.number(item.corner)))
            self.note("pick up", count)
            add_run(self.yarns, "", count)
        elif isinstance(item, Mark):
            self.mark(item)
        else:
            self.turn(item)

    def number(self, count: object) -> int:
        if not isinstance(count, int):
            raise Stuck("unread", f"{count!r} is not a number")
        return count

    # -- stitches

    def op(self, item: Op) -> None:
        stitch = stitch_named(item.name)
        count = self.number(item.count)
        if stitch is None:
            raise Stuck("unread", f"unknown stitch {item.name!r}")
        left = self.total - self.used
        if stitch.takes * count > left:
            raise Stuck(
                "misfit",
                f"{item.name} needs {stitch.takes * count} sts where {left} are left",
                str(stitch.takes * count),
                str(left),
            )
        if item.name == "DS":
            self.double(count)
        if stitch.takes == stitch.leaves == 1:
            self.pass_marks(self.used + count)
            self.used += count
            self.made += count
            self.loops += count * stitch.loops
            self.note(f"{item.name} {item.manner}".strip(), count)
        else:
            for _ in range(count):
                self.shape(stitch)
        add_run(self.yarns, item.colour if stitch.loops else NO_YARN, count * stitch.leaves)

    def shape(self, stitch: Stitch) -> None:
        """A decrease, an increase, a cable: it joins the stitches on both sides of a gap, never of a marker."""
        self.pass_marks(self.used, made_before=not stitch.takes)
        inside = [mark for mark in self.ahead if self.used < mark[0] < self.used + stitch.takes]
        for mark in inside:
            if mark[1] in GAPS and stitch.lean:
                self.ahead.remove(mark)
            elif mark[1] in GAPS:
                raise Stuck("gap", f"{stitch.name} works over a gap without closing it")
            else:
                what = "a marker" if mark[1] == "marker" else "the join of two needles"
                raise Stuck("straddle", f"{stitch.name} would lie across {what}")
        if stitch.change:
            self.shaping.append(Shaping(self.made, self.used, stitch.takes, stitch.name, stitch.lean, stitch.leaves))
        self.used += stitch.takes
        self.made += stitch.leaves
        self.loops += stitch.loops
        self.note(stitch.name, 1)

    def double(self, count: int) -> None:
        """A double stitch made just after the turn marks its gap as one that may be worked over.

        At the edge of a piece, where a row worked to its end leaves no gap, it marks the edge itself.
        """
        if not any(place == self.began for place, kind in (*self.ahead, *self.behind) if kind in GAPS):
            self.behind.append((self.began, "DS"))
        self.ahead = [(place, "DS" if place == self.began and kind == "gap" else kind) for place, kind in self.ahead]
        self.behind = [(place, "DS" if place == self.made and kind == "gap" else kind) for place, kind in self.behind]

    def note(self, name: str, count: int) -> None:
        add_run(self.runs, name, count)

    # -- marks

    def pass_marks(self, upto: int, made_before: bool = False) -> None:
        """Carry the marks before position `upto` over to the right needle.

        A new stitch is `made_before` a marker that stands here and has not been slipped.
        """
        while self.ahead and (self.ahead[0][0] < upto or self.ahead[0][0] == self.used):
            if made_before and self.ahead[0][1] == "marker" and self.ahead[0][0] == self.used not in self.slipped:
                return
            place, kind = self.ahead.pop(0)
            self.behind.append((self.made + place - self.used, kind))

    def next_place(self, reach: Reach) -> int:
        if reach.to == "end":
            return self.total
        if reach.to == "marker":
            places = [
                place
                for place, kind in self.ahead
                if kind == "marker" and place >= self.used and place not in self.slipped
            ]
        else:
            kinds = GAPS if reach.to == "gap" else (reach.to,)
            stays = int(reach.to == "DS")  # a double stitch lies before its gap, a wrapped one beyond
            places = [place - stays for place, kind in self.ahead if kind in kinds and place > self.began]
        if not places:
            raise Stuck(reach.to if reach.to == "marker" else "gap", f"there is no {reach.to} ahead")
        return places[0]

    def room(self, reach: Reach) -> int:
        """How many stitches a run takes."""
        place = self.next_place(reach)
        room = place - self.number(reach.before) - self.used
        if room < 0:
            raise Stuck(
                "misfit",
                f"stops {reach.before} sts before the {reach.to} where only {place - self.used} are left",
                str(reach.before),
                str(place - self.used),
            )
        return room

    def repeat(self, item: Repeat) -> None:
        if item.times is not None:
            for _ in range(self.number(item.times)):
                self.all(item.items)
            return
        goal = self.next_place(item.reach or Reach()) - self.number((item.reach or Reach()).before)
        if self.used > goal:
            raise Stuck("misfit", "there are too few sts left to repeat", str(goal), str(self.used))
        self.check_joins(item, goal)
        while self.used < goal:
            before = self.used
            if goal < self.total and _takes_all(item) > goal - self.used:
                raise Stuck(
                    "uneven-repeat", f"the repeat leaves {goal - self.used} sts over", "0", str(goal - self.used)
                )
            try:
                self.all(item.items)
            except Stuck as stuck:
                if stuck.code == "misfit":
                    raise Stuck(
                        "uneven-repeat", f"the repeat leaves {goal - before} sts over", "0", str(goal - before)
                    ) from None
                raise
            if self.used == before:
                raise Stuck("unread", "the repeat takes no stitches")
        if self.used != goal:
            raise Stuck("uneven-repeat", "the repeat does not end where it should", str(goal), str(self.used))

    def check_joins(self, item: Repeat, goal: int) -> None:
        """Where a round is nothing but repeats, each needle must hold whole ones."""
        takes = _takes_all(item)
        if not takes or self.used or goal != self.total or goal % takes:
            return
        for place, kind in self.ahead:
            if kind == "needle" and place % takes:
                over = str(place % takes)
                raise Stuck("straddle", "the repeat would lie across the join of two needles", "0", over)

    def mark(self, item: Mark) -> None:
        if item.kind == "pm":
            if item.start:
                self.start_at = self.made
                self.behind = [mark for mark in self.behind if mark[1] != "start"]
            self.pass_marks(self.used)
            self.behind.append((self.made, "start" if item.start else "marker"))
            return
        here = [
            mark for mark in self.ahead if mark[0] == self.used and mark[1] == "marker" and mark[0] not in self.slipped
        ]
        here += [mark for mark in self.behind if mark[0] == self.made and mark[1] == "marker"]
        if not here:
            raise Stuck("marker", f"{item.kind}: there is no marker here")
        if item.kind == "rm":
            holder = self.ahead if here[0] in self.ahead else self.behind
            holder.remove(here[0])
            return
        self.slipped.add(self.used)

    def turn(self, item: Turn) -> None:
        self.pass_marks(self.used)
        if self.used < self.total:
            self.behind.append((self.made, "wrapped" if item.wrap else "gap"))
        self.turned = True


def _takes_all(item: Repeat) -> int:
    total = 0
    for each in item.items:
        stitch = stitch_named(each.name) if isinstance(each, Op) else None
        if stitch is None or not isinstance(each, Op) or not isinstance(each.count, int):
            return 1
        total += stitch.takes * each.count
    return total


def _edge_is_slipped(line: Line) -> bool:
    """True if a row begins with one slipped stitch, or with two where slips alternate so in the rest of it."""
    first, inner = (line.items[0] if line.items else None), False
    while isinstance(first, Repeat | Group):
        first, inner = first.items[0], True
    if not isinstance(first, Op) or first.name != "sl":
        return False
    return first.count == 1 or (first.count == 2 and not inner and _slips_alone(line.items[1:]))


def _slips_alone(items: tuple[Item, ...]) -> bool:
    """True if some stitch among the items is slipped by itself."""
    return any(
        _slips_alone(item.items) if isinstance(item, Repeat | Group) else item == Op("sl", 1, item.manner)
        for item in items
        if isinstance(item, Op | Repeat | Group)
    )


@lru_cache(maxsize=65536)
def walk(line: Line, total: int, start: int, marks: Marks, partial: bool) -> Walked:
    """Work `line` over `total` stitches from position `start`, with `marks` ahead.

    `partial` allows stitches to stay unworked without a turn. Raises `Stuck`.
    """
    walking = _Walk(total, start, start, [mark for mark in marks if mark[0] >= start], began=start)
    walking.behind = [mark for mark in marks if mark[0] < start]
    walking.all(line.items)
    left = total - walking.used
    if left and not walking.turned and not partial:
        raise Stuck("unworked", f"leaves {left} {'st' if left == 1 else 'sts'} unworked", str(total), str(walking.used))
    shift = walking.made - walking.used
    rest = [(place + shift, kind) for place, kind in walking.ahead]
    return Walked(
        walking.used,
        walking.made,
        tuple(walking.behind + rest),
        tuple(walking.runs),
        tuple(walking.shaping),
        walking.loops,
        tuple(walking.picks),
        walking.turned,
        _edge_is_slipped(line),
        walking.start_at,
        tuple(walking.yarns),
    )
