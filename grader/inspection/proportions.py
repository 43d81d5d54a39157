"""Flap, heel, turn, pick-up, gusset, toe, leg and cuff as they were knitted, against published proportions."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from grader.inspection.fabric import takes_of
from grader.inspection.measures import height_of, worked_measure
from grader.inspection.opening import fabric_of
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine
from grader.vocabulary.findings import Ledger, Severity
from grader.vocabulary.proportions import proportion_of

_CLOSING = ("graft", "gather", "bind_off")
_FOR_THE_INSTEP = ("flap", "gusset")  # what alterations for one person make longer or wider, and say why


@dataclass(frozen=True, slots=True)
class Share:
    """One part of a sock beside another: stitches, rows or centimetres of both, and a line that worked it."""

    part: str
    amount: Fraction
    whole: Fraction
    line: WorkedLine


def check_proportions(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """A remark for each part of the sock that is out of the proportions of published socks."""
    for share in shares(pattern, graded, record):
        usual = proportion_of(share.part)
        if usual.holds(share.amount, share.whole) or (graded.altered and share.part in _FOR_THE_INSTEP):
            continue
        found = share.amount / share.whole
        ledger.add(
            "proportion",
            f"{usual.means}: {_told(share.amount)} to {_told(share.whole)} {usual.per}, {float(found):.2f} to 1",
            share.line.span,
            severity=Severity.REMARK,
            sizes=(record.size,),
            setups=(record.setup,),
            section=share.line.section,
            expected=f"{float(usual.low):g} to {float(usual.high):g}, as in published socks",
            found=f"{float(found):.2f}",
            mend="correct the rule that gives it; or leave it, if it is meant",
        )


def _told(amount: Fraction) -> str:
    return f"{float(amount):.4g}"


def shares(pattern: Pattern, graded: Graded, record: Record) -> Iterator[Share]:
    """What the record tells of the sock's parts; a part that a sock doesn't have is left out."""
    lines = [line for line in record.in_order() if line.kind != "note"]
    around = next((rule.around for rule in pattern.finished if rule.measure == "foot_circumference"), "")
    foot = [place for place, line in enumerate(lines) if line.kind == "round" and line.section == around]
    whole = (lines[foot[-1]].after or 0) if foot else 0
    yield from _halves(lines, whole)
    yield from _flap(lines)
    yield from _short_rows(lines)
    if foot:
        yield from _gusset(lines, whole)
        yield from _toe(lines, foot, whole)
    yield from _lengths(pattern, graded, record, lines, foot)


def _halves(lines: Sequence[WorkedLine], whole: int) -> Iterator[Share]:
    """The stitches that a heel, or a toe in rows, takes of a round: what doesn't rest, or is kept by waste yarn.

    A gusset that lies beside a heel already is no part of it: all but the instep of a plain round of the foot is.
    """
    rounds = [place for place, line in enumerate(lines) if line.kind == "round"]
    for place, (line, following) in enumerate(itertools.pairwise(lines)):
        if line.kind == "rest" and following.kind == "row" and line.before and following.before:
            resting = line.before - following.before
            plain = whole if following.over == "sole" and whole else line.before
            ends = sum(each < place for each in rounds) < 2 or sum(each > place for each in rounds) < 2
            yield Share("toe half" if ends else "heel", Fraction(plain - resting), Fraction(plain), following)
        elif line.kind == "waste_yarn" and line.before and line.regions:
            yield Share("heel", Fraction(line.regions[0][1]), Fraction(line.before), line)


def _flap(lines: Sequence[WorkedLine]) -> Iterator[Share]:
    """A flap is rows from edge to edge that come before the pick-up along their edges; the turn lies between."""
    picked = next((place for place, line in enumerate(lines) if line.kind == "pick_up"), None)
    start = next((place for place, line in enumerate(lines) if line.kind == "row"), None)
    if picked is None or start is None or start > picked:
        return
    rows = [line for line in lines[start:picked] if line.kind == "row"]
    flap = list(itertools.takewhile(lambda line: line.full and line.before == line.after, rows))
    turn = rows[len(flap) :]
    height, width = Fraction(sum(line.times for line in flap)), Fraction(rows[0].before or 0)
    if not flap or not width:
        return
    yield Share("flap", height, width, flap[0])
    if turn:
        yield Share("turn", Fraction(turn[-1].after or 0), width, turn[-1])
    pick_up = lines[picked]
    if pick_up.edges and pick_up.after is not None and pick_up.before is not None:
        edges = len(pick_up.edges)
        yield Share("pick-up", Fraction(pick_up.after - pick_up.before, edges), height, pick_up)


def _short_rows(lines: Sequence[WorkedLine]) -> Iterator[Share]:
    """Rows that grow shorter, of each cup: the shortest beside the longest that turns before both ends.

    A first row may come from further off, where a gusset lies beside the heel.
    """
    for _, run in itertools.groupby(lines, lambda line: (line.section, line.kind == "row")):
        short = [line for line in run if line.kind == "row" and not line.full and line.before == line.after]
        worked = [sum(takes_of(name) * count for name, count in line.made) for line in short]
        if len(worked) > 3:
            at = worked.index(min(worked))
            yield Share("short rows", Fraction(worked[at]), Fraction(max(worked[1:])), short[at])


def _gusset(lines: Sequence[WorkedLine], whole: int) -> Iterator[Share]:
    """Where stitches were added for the instep: after the pick-up, or before a heel turned over the sole."""
    widest: WorkedLine | None = None
    for line, following in itertools.pairwise(lines):
        if line.kind == "pick_up" or (line.kind == "rest" and following.over == "sole" and (line.after or 0) > whole):
            widest = line
    if widest is not None:
        yield Share("gusset", Fraction(widest.after or 0), Fraction(whole), widest)


def _toe(lines: Sequence[WorkedLine], foot: Sequence[int], whole: int) -> Iterator[Share]:
    """How many stitches a toe ends or begins with, and where it goes over from every second round to every round."""
    after = list(itertools.takewhile(lambda line: line.kind not in _CLOSING, lines[foot[-1] + 1 :]))
    closing = lines[foot[-1] + 1 + len(after) : foot[-1] + 2 + len(after)]
    before = lines[: foot[0]]
    if closing and closing[0].kind == "graft" and _shaped(after, whole) and closing[0].section == after[-1].section:
        yield Share("toe end", Fraction(closing[0].before or 0), Fraction(whole), closing[0])
        yield from _pace(after, whole, -1)
    elif closing and closing[0].kind == "gather":
        yield from _pace(after, whole, -1)
    if before and before[0].kind == "cast_on" and _shaped(before, whole) and (before[0].after or 0) < whole:
        yield Share("toe begin", Fraction(before[0].after or 0), Fraction(whole), before[0])
        yield from _pace(list(reversed(before)), whole, 1)


def _shaped(lines: Sequence[WorkedLine], whole: int) -> bool:
    """Rounds that change the count: no toe of short rows, nor a leg from the cuff down."""
    return any(line.kind == "round" and line.before != line.after for line in lines) and not any(
        line.kind == "row" for line in lines
    )


def _pace(lines: Sequence[WorkedLine], whole: int, sign: int) -> Iterator[Share]:
    """The count at which plain rounds cease, seen from the foot; a toe of even pace has none.

    Four stitches go or come in every round that shapes: a toe that narrows at one side first, or in eight places,
    has another course.
    """
    rounds = [line for line in lines if line.kind == "round" for _ in range(line.times)]
    if sign > 0 and rounds and rounds[-1].before == rounds[-1].after:
        rounds.pop()  # the plain round after the cast-on
    changes = [((line.after or 0) - (line.before or 0)) * sign for line in rounds]
    plain = [place for place, change in enumerate(changes) if not change]
    if not plain or any(change not in (0, 4) for change in changes):
        return
    last = plain[-1]
    if 4 in changes[:last] and 4 in changes[last:]:
        at = rounds[last].after if sign < 0 else rounds[last + 1].before
        yield Share("toe pace", Fraction(at or 0), Fraction(whole), rounds[last])


def _lengths(
    pattern: Pattern, graded: Graded, record: Record, lines: Sequence[WorkedLine], foot: Sequence[int]
) -> Iterator[Share]:
    """Toe, leg and ribbed cuff beside the sock's foot, in centimetres."""
    measured = {rule.measure: worked_measure(pattern, graded, record, rule) for rule in pattern.finished}
    length, leg = measured.get("foot_length"), measured.get("leg_length")
    if not length or not foot:
        return
    toe = _toe_rounds(lines, foot)
    if toe:
        yield Share("toe", sum(line.times for line in toe) / pattern.gauge.rounds, length, toe[0])
    upper = {section for rule in pattern.finished if rule.measure == "leg_length" for section in rule.along}
    worked = [line for line in lines if line.kind == "round" and line.section in upper]
    if leg and worked:
        yield Share("leg", leg, length, worked[0])
        line = worked[0] if lines[0].section in upper else worked[-1]
        edge = [each for each in worked if each.section == line.section]
        if len(edge) < len(worked) and all("rib" in fabric_of(each)[0] for each in edge):
            yield Share("cuff", height_of(pattern, record, (line.section,)), length, line)


def _toe_rounds(lines: Sequence[WorkedLine], foot: Sequence[int]) -> list[WorkedLine]:
    """The rounds from the first that narrows after the foot, or from the cast-on to the last that widens before it."""
    after = list(itertools.takewhile(lambda line: line.kind not in _CLOSING, lines[foot[-1] + 1 :]))
    before = list(lines[: foot[0]])
    toes = [each for each in (after, before) if _shaped(each, 0)]
    if before and before[0].kind == "cast_on" and _shaped(before, 0) and not _has_heel(before):
        return [line for line in before if line.kind == "round"]
    if after in toes:
        return [line for line in after if line.kind == "round"]
    return []


def _has_heel(lines: Sequence[WorkedLine]) -> bool:
    return any(line.kind in ("row", "waste_yarn", "pick_up") for line in lines)
