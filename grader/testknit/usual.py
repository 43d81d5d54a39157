"""What hands do where the words leave it to them: spread a cast-on, take a piece in hand, go on past the start.

Source: common practice. A set of four has a quarter, a half and a quarter of the stitches on its needles.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

from grader.notation.tree import Line, Op, Part, PickUp, Round, Run
from grader.testknit.needles import Needles, Piece
from grader.testknit.places import Ring, totals
from grader.testknit.walking import Stuck

_QUARTERS = {
    "long circular (magic loop)": (2, 2),
    "double-pointed, set of 5": (1, 1, 1, 1),
    "double-pointed, set of 4": (1, 2, 1),
}


def usual_spread(setup: str, count: int) -> tuple[int, ...]:
    """The stitches on each needle of a setup whose cast-on does not say; () where there is one needle."""
    joins = [count * quarters // 4 for quarters in itertools.accumulate(_QUARTERS.get(setup, ()), initial=0)]
    return tuple(b - a for a, b in itertools.pairwise(joins))


def begin_piece(needles: Needles, ring: Ring, side: str, over: str) -> None:
    """Take the stitches of a piece in hand: those before the yarn, or behind it once the work is turned.

    How many they are was said when the others were left on hold, or by the stretches of the round, or else they
    are those of the first needle. `Stuck` where the yarn is somewhere else.
    """
    if needles.piece is not None and needles.piece.name == over:
        return
    spans = totals(ring.spans)
    if needles.told and needles.told[0] == over:
        size = needles.told[1]
    elif over in spans:
        size = spans[over]
    elif len(needles.held) > 1:
        size = needles.held[0]
    else:
        raise Stuck("over", f"nothing says which stitches are the {over}")
    back = needles.turned or (side == "WS" and bool(ring.spans) and ring.spans[-1][0] == over != ring.spans[0][0])
    if back:
        needles.roll(needles.total - size)
        ring.rotate(needles.total - size)
    if ring.spans and ring.spans[0] != (over, size):
        raise Stuck("over", f"the yarn is not at the {over}", over, ring.spans[0][0])
    needles.gather(size, over)
    needles.piece = Piece(over, size, yarn=size, next_side="WS") if back else Piece(over, size)
    needles.turned = False


def past_the_start(statement: Round) -> tuple[tuple[Part, ...], Line | None]:
    """A pick-up cut after its last edge: what comes then may lie past the stitch that the line began with."""
    *first, last = statement.parts
    picks = [place for place, item in enumerate(last.line.items) if isinstance(item, PickUp)]
    if not picks:
        return statement.parts, None
    for place in range(picks[-1] + 1, len(last.line.items)):
        if isinstance(last.line.items[place], Op | Run):
            head = replace(last, line=Line(last.line.items[:place]))
            return (*first, head), Line(last.line.items[place:])
    return statement.parts, None


def gather_halves(needles: Needles) -> None:
    """Before a graft, with the yarn at the side: each half of the stitches onto one needle."""
    half = needles.total // 2
    if needles.total % 2 == 0 and half in itertools.accumulate(needles.held):
        needles.held = (half, half)
