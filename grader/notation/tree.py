"""The tree of an instruction line: what a reader builds and a printer writes.

Counts are whole numbers, or the text of a formula where the pattern file has `{...}`.
"""

from __future__ import annotations

from dataclasses import dataclass

Count = int | str


@dataclass(frozen=True, slots=True)
class Op:
    """One operation worked `count` times: K5, ssk, sl1 wyif, K2 MC. `remark` says where it leads.

    `colour` is the yarn it is worked in; "" for the one in hand.
    """

    name: str
    count: Count = 1
    manner: str = ""
    remark: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far: `to` is end, marker, gap, wrapped or DS; `before` stitches before it."""

    to: str = "end"
    before: Count = 0


@dataclass(frozen=True, slots=True)
class Run:
    """Knit, purl or pattern as far as `reach`, in the yarn in hand or in `colour`."""

    name: str
    reach: Reach = Reach()
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Repeat:
    """*...; rep from *: as far as `reach`, or `times` in all."""

    items: tuple[Item, ...]
    reach: Reach | None = None
    times: Count | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """(...) N times."""

    items: tuple[Item, ...]
    times: Count


@dataclass(frozen=True, slots=True)
class PickUp:
    """Pick up and knit `count` stitches along an edge (left, right) of a piece, `corner` of them in its corner."""

    count: Count
    edge: str
    piece: str = "heel flap"
    corner: Count = 1


@dataclass(frozen=True, slots=True)
class Mark:
    """pm, sm or rm; `start` for the marker of the start of the round."""

    kind: str
    start: bool = False


@dataclass(frozen=True, slots=True)
class Turn:
    """Turn the work, wrapping the next stitch where `wrap`."""

    wrap: bool = False


Item = Op | Run | Repeat | Group | PickUp | Mark | Turn


@dataclass(frozen=True, slots=True)
class Line:
    """Items worked one after the other over one stretch of stitches."""

    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A line for some needles or a region. `needles` empty: all; `each`: on each needle in turn.

    Neighbouring needles are worked as one stretch, others (1 and 3) each by themselves.
    """

    line: Line
    needles: tuple[int, ...] = ()
    each: bool = False
    region: str = ""

    @property
    def as_one_stretch(self) -> bool:
        """True where the needles named are neighbours."""
        return not self.each and all(b - a == 1 for a, b in zip(self.needles, self.needles[1:], strict=False))


@dataclass(frozen=True, slots=True)
class Round:
    """A round, a row or a part of one; `stated` is the count printed in brackets at its end."""

    parts: tuple[Part, ...]
    stated: Count | None = None


@dataclass(frozen=True, slots=True)
class CastOn:
    """Cast on, spread over the needles where they are named, and joined."""

    count: Count
    needles: tuple[int, ...] = ()
    joined: bool = False
    marker: bool = False


@dataclass(frozen=True, slots=True)
class BindOff:
    """Bind (cast) off `count` stitches, or all."""

    count: Count | None = None


@dataclass(frozen=True, slots=True)
class Graft:
    """Graft so many stitches to so many."""

    front: Count
    back: Count


@dataclass(frozen=True, slots=True)
class Gather:
    """Draw the yarn through the remaining stitches."""

    count: Count


@dataclass(frozen=True, slots=True)
class Rest:
    """Leave the last (or first) stitches of the round on hold; the others are worked to and fro."""

    held: Count
    held_for: str
    worked: Count
    worked_for: str
    which: str = "last"


@dataclass(frozen=True, slots=True)
class Rejoin:
    """Take resting stitches back into the work."""

    count: Count
    region: str


@dataclass(frozen=True, slots=True)
class Arrange:
    """Move stitches between needles and work none. `how` is printed before the colon; `marker` where one is placed."""

    needles: tuple[int, ...]
    how: str = "Rearrange the sts"
    marker: bool = False


@dataclass(frozen=True, slots=True)
class Change:
    """From here on work with this colour. `how` is "Begin with" the first, "Change to" another, or "With" either."""

    colour: str
    how: str = "Change to"


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Take off the markers that lie within the round; the one at its start stays."""


@dataclass(frozen=True, slots=True)
class WasteYarn:
    """Knit the first stitches of the round with waste yarn and slip them back, so that they can be opened later."""

    count: Count
    region: str


@dataclass(frozen=True, slots=True)
class Open:
    """Take out the waste yarn: the stitches at its two sides are live again, and begin a round."""

    first: Count
    first_for: str
    second: Count
    second_for: str
    needles: tuple[int, ...] = ()
    marker: bool = False


Statement = Round | CastOn | Change | BindOff | Graft | Gather | Rest | Rejoin | Arrange | TakeOff | WasteYarn | Open
