"""Working the steps that are sentences: cast on, leave on hold, arrange, graft, gather, bind off."""

from __future__ import annotations

from grader.notation.tree import (
    Arrange,
    BindOff,
    CastOn,
    Gather,
    Graft,
    Open,
    Rejoin,
    Rest,
    Round,
    Statement,
    TakeOff,
    WasteYarn,
)
from grader.testknit.needles import Needles, Outcome
from grader.testknit.walking import Stuck


def work_sentence(needles: Needles, statement: Statement) -> Outcome:
    """Do what a sentence says to the stitches on the needles; `Stuck` where it can't be done."""
    before, loops = needles.total, 0
    shown: tuple[int, ...] = ()
    if isinstance(statement, CastOn):
        _cast_on(needles, statement)
        shown, loops = needles.shown(), needles.total
    elif isinstance(statement, Rest):
        _rest(needles, statement)
    elif isinstance(statement, Arrange):
        _arrange(needles, statement)
        shown = needles.shown()
    elif isinstance(statement, Graft):
        _graft(needles, statement)
    elif isinstance(statement, Gather):
        _end(needles, statement.count)
    elif isinstance(statement, BindOff):
        _end(needles, before if statement.count is None else statement.count, whole=statement.count is None)
    elif isinstance(statement, Rejoin):
        _rejoin(needles, statement)
    elif isinstance(statement, TakeOff):
        _take_off(needles)
        shown = needles.shown()
    elif isinstance(statement, WasteYarn):
        _waste_yarn(needles, statement)
        shown = needles.shown()
    elif isinstance(statement, Open):
        _open(needles, statement)
        shown = needles.shown()
    elif isinstance(statement, Round):
        raise Stuck("unread", "stitches stand where a sentence belongs")
    return Outcome(before, needles.total, needles=shown, loops=loops)


def _cast_on(needles: Needles, statement: CastOn) -> None:
    if needles.total:
        raise Stuck("cast_on", "there are stitches on the needles already", "0", str(needles.total))
    count = statement.count if isinstance(statement.count, int) else 0
    held = statement.needles or ((count,) if statement.marker else ())
    if not held and needles.usual:  # a bare "Cast on 64 sts" leaves the spread and the join to the hands
        held = needles.usual(count)
    elif not statement.joined:
        raise Stuck("cast_on", "the stitches are not joined in the round")
    if statement.needles and sum(held) != count:
        raise Stuck("needles", f"{count} sts cast on, {sum(held)} on the needles", str(count), str(sum(held)))
    needles.total, needles.held, needles.set_of = count, held or (count,), 0 if statement.marker else len(held)
    needles.markers, needles.by_markers = (((0, "start"),) if statement.marker else ()), statement.marker


def _rest(needles: Needles, statement: Rest) -> None:
    held, worked = statement.held, statement.worked
    if not isinstance(held, int) or not isinstance(worked, int) or held + worked != needles.total:
        raise Stuck(
            "rest",
            f"{held} and {worked} sts are not the {needles.total} on the needles",
            str(needles.total),
            f"{held} + {worked}",
        )
    within = sum(kind != "start" for _, kind in needles.markers)
    if within:
        raise Stuck("marker", "there are markers within the round still", "0", str(within))
    if not needles.by_markers and len(needles.held) > 1 and needles.held[0] != worked:
        raise Stuck(
            "needles",
            f"the {worked} {statement.worked_for} sts are not on one needle",
            str(worked),
            str(needles.held[0]),
        )
    needles.on_hold, needles.told = held, (statement.worked_for, worked)
    if needles.by_markers:
        needles.markers = ()  # the note has that of the start taken off


def _rejoin(needles: Needles, statement: Rejoin) -> None:
    """The piece is done with: nothing of it may be left that only a pick-up could close."""
    piece = needles.piece
    if statement.count != needles.on_hold:
        said, there = str(statement.count), str(needles.on_hold)
        raise Stuck("rest", f"{said} sts to take back, {there} are on hold", there, said)
    if needles.by_markers:
        needles.markers = ((0, "start"),)  # the note has one put back where the round starts
    if piece is None:
        needles.on_hold, needles.told = 0, None
        return
    if piece.open_gaps:
        raise Stuck("gap", f"{piece.open_gaps} gaps of the {piece.name} are still open", "0", str(piece.open_gaps))
    if any(edge.chains or edge.plain > 1 for edge in piece.edges.values()):
        raise Stuck("edge", f"nothing is picked up along the edges of the {piece.name}")
    if (piece.next_side, piece.yarn) not in (("RS", 0), ("WS", piece.count)):
        raise Stuck("side", "the yarn is in the middle of a row, or on its wrong side")
    if piece.yarn:
        needles.roll(piece.count)
        if needles.by_markers:
            needles.markers = ((0, "start"),)
    needles.piece, needles.on_hold, needles.told = None, 0, None


def _arrange(needles: Needles, statement: Arrange) -> None:
    if sum(statement.needles) != needles.total:
        raise Stuck(
            "needles",
            f"{sum(statement.needles)} sts on the needles named, {needles.total} there are",
            str(needles.total),
            str(sum(statement.needles)),
        )
    if any(count < 1 for count in statement.needles):
        raise Stuck("needles", "a needle would hold no stitches")
    if needles.by_markers and (0, "start") not in needles.markers:
        raise Stuck("needles", "change needles at the start of the round")
    if needles.by_markers or statement.marker:
        needles.markers = ((0, "start"),) if statement.marker else ()
    needles.held, needles.wrapped = statement.needles, False
    needles.set_of = max(needles.set_of, len(statement.needles)) if needles.set_of and not statement.marker else 0
    needles.by_markers = statement.marker


def _take_off(needles: Needles) -> None:
    if not any(kind == "marker" for _, kind in needles.markers):
        raise Stuck("marker", "there is no marker within the round to take off")
    needles.markers = tuple(mark for mark in needles.markers if mark[1] == "start")


def _waste_yarn(needles: Needles, statement: WasteYarn) -> None:
    """The stitches stay what they were; only an odd thread now runs through the round below them."""
    if not isinstance(statement.count, int) or not 0 < statement.count < needles.total:
        raise Stuck("misfit", f"{statement.count} sts to knit with waste yarn, {needles.total} on the needles")
    if needles.waste:
        raise Stuck("waste-yarn", f"there are {needles.waste} sts of waste yarn in the sock already")
    needles.waste = statement.count


def _open(needles: Needles, statement: Open) -> None:
    """Out of the waste yarn come its stitches at one side, and one less at the other (published: H and H - 1)."""
    if needles.total:
        raise Stuck("left-over", "there are stitches on the needles still", "0", str(needles.total))
    if not needles.waste:
        raise Stuck("waste-yarn", "there is no waste yarn to take out")
    wanted, said = {needles.waste, needles.waste - 1}, f"{statement.first} and {statement.second}"
    if {statement.first, statement.second} != wanted:
        told = f"{needles.waste} and {needles.waste - 1}"
        raise Stuck("waste-yarn", f"out of the waste yarn come {told} sts, not {said}", told, said)
    whole = 2 * needles.waste - 1
    held = statement.needles or ((whole,) if statement.marker else ())
    if sum(held) != whole:
        raise Stuck("needles", f"{sum(held)} sts on the needles named, {whole} there are", str(whole), str(sum(held)))
    needles.total, needles.held, needles.set_of = whole, held, 0 if statement.marker else len(held)
    needles.markers, needles.by_markers = (((0, "start"),) if statement.marker else ()), statement.marker
    needles.waste, needles.wrapped, needles.turned = 0, False, False


def _graft(needles: Needles, statement: Graft) -> None:
    front, back = statement.front, statement.back
    if front != back:
        raise Stuck("graft", f"{front} sts can't be grafted to {back}", str(front), str(back))
    if not isinstance(front, int) or not isinstance(back, int) or front + back != needles.total:
        raise Stuck(
            "graft",
            f"{front} and {back} sts to graft, {needles.total} on the needles",
            str(needles.total),
            f"{front} + {back}",
        )
    apart = front in needles.joins() if needles.usual else needles.held == (front, back)
    if not needles.by_markers and not apart:
        raise Stuck(
            "graft",
            "the stitches to graft are not on two needles",
            f"{front}, {back}",
            ", ".join(str(count) for count in needles.held),
        )
    needles.clear()


def _end(needles: Needles, count: object, whole: bool = True) -> None:
    if not needles.total:
        raise Stuck("misfit", "there are no stitches to finish")
    if count != needles.total and whole:
        raise Stuck(
            "left-over",
            f"the line speaks of {count} sts, on the needles are {needles.total}",
            str(needles.total),
            str(count),
        )
    if not isinstance(count, int) or count > needles.total:
        raise Stuck("misfit", f"{count} sts to finish, {needles.total} on the needles")
    if count == needles.total:
        needles.clear()
    else:
        needles.total -= count
