"""Working rows to and fro, and the piece they make: its gaps, its edges, and when it is done with."""

from __future__ import annotations

from dataclasses import replace

from grader.notation.tree import Round
from grader.testknit.needles import Edge, Needles, Outcome, Piece
from grader.testknit.walking import Marks, Pick, Stuck, Walked, walk
from grader.vocabulary.stitches import mirrored

_OTHER = {"RS": "WS", "WS": "RS"}
MOST_IN_A_CORNER = 2


def work_row(needles: Needles, statement: Round, side: str, over: str) -> Outcome:
    """One row of a piece, from where the yarn is."""
    piece = needles.piece
    if piece is None:
        raise Stuck("over", f"nothing says which stitches are the {over}")
    if side != piece.next_side:
        raise Stuck(
            "side",
            f"a {side} row stands where the next is a {piece.next_side} row",
            piece.next_side,
            side,
        )
    before = piece.count
    start = piece.yarn if side == "RS" else piece.count - piece.yarn
    walked = walk(statement.parts[0].line, piece.count, start, piece.marks(side), False)
    after = walked.made + piece.count - walked.used
    full = start == 0 and walked.used == before and not walked.turned
    if full and not piece.gaps:  # rows of the turn make no edge
        edge = piece.edges["right" if side == "RS" else "left"]
        if walked.slipped_first:
            edge.chains += 1
        else:
            edge.plain += 1
    check_no_picks(walked)
    if walked.loops == 0:
        raise Stuck("slipped", "the whole row is slipped and no yarn is worked")
    _check_passed(walked, start)
    needles.shift_piece(after - before)
    piece.count = after
    marks: Marks = tuple(dict.fromkeys(mark for mark in walked.marks if _stays(mark, start, walked.made, after)))
    piece.gaps = marks if side == "RS" else piece.turned_over(marks)
    piece.yarn = walked.made if side == "RS" else after - walked.made
    piece.next_side = _OTHER[side]
    shaping = (
        walked.shaping
        if side == "RS"
        else tuple(
            replace(each, lean=mirrored(each.lean), before=after - each.before - each.width) for each in walked.shaping
        )
    )
    return Outcome(before, after, made=walked.runs, shaping=shaping, loops=walked.loops, full=full, yarns=walked.yarns)


def _stays(mark: tuple[int, str], start: int, made: int, after: int) -> bool:
    """A wrapped or double stitch that is worked over is a stitch like others; a plain gap stays until it is closed."""
    place, kind = mark
    if kind == "DS" and place in (0, after):
        return not start < place <= made
    return 0 < place < after and (kind == "gap" or not start < place < made)


def _check_passed(walked: Walked, start: int) -> None:
    """A plain gap that is worked past without a decrease leaves a hole."""
    for place, kind in walked.marks:
        if kind == "gap" and start < place < walked.made:
            raise Stuck("gap", "the row goes past a gap without closing it by a decrease")


def check_no_picks(walked: Walked) -> None:
    """Rows, rounds and parts of rounds work stitches that are there; an edge is picked up in a line of its own."""
    if walked.picks:
        raise Stuck("edge", "stitches are picked up where no piece is done with")


def leave_piece(needles: Needles) -> None:
    """A round over stitches worked to and fro: it must leave no gap, and no edge to be picked up."""
    piece = needles.piece
    if needles.turned:
        raise Stuck("turn", "the work was turned, and no row goes back")
    if piece is not None:
        message = f"the {piece.name} was worked to and fro: its edges have not been picked up, nor the others taken up"
        raise Stuck("piece", message)


def _in_corner(corner: int, count: int, edge: Edge, name: str) -> int:
    """Stitches lifted in a corner: as many as the line says, and there are as many strands to lift.

    Published: one, and some knitters take two. A slipped edge shows whether the line speaks the truth.
    """
    if not 1 <= corner <= MOST_IN_A_CORNER:
        raise Stuck("edge", f"{corner} sts to lift in a corner, which has two strands", "1 or 2", str(corner))
    if corner > 1 and edge.chains and not edge.plain and count != edge.chains + corner:
        told = f"{edge.chains} chains and {corner} sts in the corner are not {count} sts along the {name} edge"
        raise Stuck("edge", told, str(edge.chains + corner), str(count))
    return corner


def close_piece(needles: Needles, piece: Piece | None, picks: list[Pick]) -> None:
    """Picking up along the edges of a piece: each edge must offer what is picked up, and nothing be left."""
    if piece is None:
        raise Stuck("edge", "there is no edge to pick up from")
    if piece.open_gaps:
        raise Stuck("gap", f"{piece.open_gaps} gaps of the {piece.name} are still open", "0", str(piece.open_gaps))
    if (piece.next_side, piece.yarn) not in (("RS", 0), ("WS", piece.count)):
        raise Stuck("side", "the pick-up needs the yarn at the start of a right-side row, or at the end of one")
    if not picks:
        raise Stuck("edge", f"nothing is picked up along the edges of the {piece.name}", "two edges", "none")
    given = [edge for edge, *_ in picks]
    order = ["left", "right"]
    left, right = piece.edges["left"].chains, piece.edges["right"].chains
    if len(picks) == 2 and abs(left - right) > 1:
        message = "the edges are not alike: only the rows of one side begin with a slipped stitch"
        raise Stuck("edge", message, str(left), str(right))
    for place, (edge, count, used, corner) in enumerate(picks):
        name = edge if edge in order else order[min(place, 1)]
        if name == "left" and used != piece.count - piece.yarn:
            expected = str(piece.count - piece.yarn)
            raise Stuck("edge", "the left edge comes after the stitches of the piece", expected, str(used))
        if name == "right" and used != needles.total - piece.yarn:
            expected = str(needles.total - piece.yarn)
            raise Stuck("edge", "the right edge comes after all other stitches", expected, str(used))
        offers = piece.edges[name].offers(_in_corner(corner, count, piece.edges[name], name))
        if count > offers:
            raise Stuck(
                "edge",
                f"{count} sts to pick up along the {name} edge, which offers {offers}",
                str(offers),
                str(count),
            )
        chains = piece.edges[name].chains
        if count < chains:
            raise Stuck(
                "edge",
                f"{count} sts picked up along the {name} edge leave {chains - count} of its {chains} chains unused",
                str(chains),
                str(count),
            )
    if len(picks) == 2 and (picks[0][1] != picks[1][1] or given[0] == given[1] != ""):
        raise Stuck("edge", "the two edges are not picked up alike", str(picks[0][1]), str(picks[1][1]))
    needles.piece, needles.told, needles.on_hold = None, None, 0
