"""How the stitches are spread over the needles: the needles of one region hold about as many each."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from fractions import Fraction

from grader.models.record import Record, WorkedLine
from grader.notation import read_line
from grader.notation.counting import repeat_of
from grader.notation.tree import Round
from grader.vocabulary.findings import Ledger


def check_spread(record: Record, ledger: Ledger) -> None:
    """Where a region is spread over needles of its own, none holds two stitches more than another.

    Where needles lie across two regions that holds of all needles together. Stitches that are left where they lay
    are let be. Before and after a stitch pattern whole repeats count for more than evenness: nothing is said there.
    """
    joins: set[int] = set()
    patterned: set[str] = set()
    lines = [line for line in record.lines if line.kind != "note"]
    for place, line in enumerate(lines):
        if line.kind == "round":
            patterned = _in_pattern(line)
        before, joins = joins, _joins(line.needles) or joins
        if line.kind not in ("cast_on", "arrange"):
            continue
        if line.kind == "cast_on":
            before = set()
        left_alone = patterned | _next_in_pattern(lines[place + 1 :])
        unit = _next_repeat(lines[place + 1 :])
        if unit and line.kind == "cast_on":  # whole repeats count first, and then evenness
            _check_shares(record, line, unit, ledger)
            continue
        spread = _by_region(line)
        if not spread and not left_alone and _crosses(line):
            spread = {"round": list(line.needles)}
        for name, counts in spread.items():
            if name not in left_alone and max(counts) - min(counts) > 1 and not _inner(line, name) <= before:
                ledger.add(
                    "uneven",
                    f"the {name} is spread unevenly over its needles",
                    line.span,
                    sizes=(record.size,),
                    setups=(record.setup,),
                    section=line.section,
                    line=line.text,
                    expected=f"{sum(counts) // len(counts)} or one more on each",
                    found=", ".join(str(count) for count in counts),
                )


_SHARES = {
    "long circular (magic loop)": (1, 1),
    "double-pointed, set of 4": (1, 1, 2),
    "double-pointed, set of 5": (1, 1, 1, 1),
}


def check_no_needle_idle(record: Record, ledger: Ledger) -> None:
    """Rounds are worked on all needles of the setup: with one of them idle, the others are fuller than they need be."""
    wanted = len(_SHARES.get(record.setup, ()))
    for line in record.lines:
        if line.kind == "round" and len(line.needles) < wanted <= (line.before or 0):
            ledger.add(
                "idle-needle",
                f"the round is on {len(line.needles)} needles where there are {wanted} to hold it",
                line.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=line.section,
                line=line.text,
                expected=str(wanted),
                found=str(len(line.needles)),
                mend="spread the stitches again with arrange: halves",
            )
            return


def _in_pattern(line: WorkedLine) -> set[str]:
    """The regions of a round that are worked in a stitch pattern."""
    return {name for name, _ in line.regions if f"({name})" in line.fabric or _is_whole(line)}


def _next_in_pattern(lines: list[WorkedLine]) -> set[str]:
    """The regions in a stitch pattern in the next round, a pick-up round too, that finds the stitches as they lie."""
    for line in lines:
        if line.kind in ("cast_on", "arrange"):
            return set()
        if line.kind in ("round", "pick_up"):
            return _in_pattern(line)
    return set()


def _next_repeat(lines: list[WorkedLine]) -> int:
    """The repeat of the next round, where all of it is in one stitch pattern; else 0."""
    following = next((line for line in lines if line.kind in ("cast_on", "arrange", "round", "pick_up")), None)
    if following is None or following.kind != "round" or not _is_whole(following):
        return 0
    statement = read_line(following.text)
    return repeat_of(statement.parts[0].line) if isinstance(statement, Round) else 0


def _check_shares(record: Record, line: WorkedLine, unit: int, ledger: Ledger) -> None:
    """A cast-on before a rib: each needle holds its share of the round, as near as whole repeats come to it."""
    shares = _SHARES.get(record.setup, ())
    if len(shares) != len(line.needles) or sum(line.needles) % unit:
        return
    each = [Fraction(count, share) for count, share in zip(line.needles, shares, strict=True)]
    if max(each) - min(each) > unit:
        ledger.add(
            "uneven",
            "the stitches are spread unevenly over the needles",
            line.span,
            sizes=(record.size,),
            setups=(record.setup,),
            section=line.section,
            line=line.text,
            expected=f"shares of {', '.join(map(str, shares))}, in whole repeats of {unit}",
            found=", ".join(str(count) for count in line.needles),
        )


def _is_whole(line: WorkedLine) -> bool:
    """All of the round is in one stitch pattern."""
    return bool(line.fabric) and "(" not in line.fabric


def _joins(counts: Iterable[int]) -> set[int]:
    """Where one stretch ends and the next begins, and the end of the round."""
    return set(itertools.accumulate(counts))


def _inner(line: WorkedLine, name: str) -> set[int]:
    """The joins of needles within a region, or all of them where it is no region but the round."""
    joins, at = _joins(line.needles), 0
    for region, count in line.regions:
        if region == name:
            return {join for join in joins if at < join < at + count}
        at += count
    return joins


def _crosses(line: WorkedLine) -> bool:
    """A needle ends within a region and another lies across two, which are told for the round as it begins here."""
    needles, regions = _joins(line.needles), _joins(count for _, count in line.regions)
    once = len({name for name, _ in line.regions}) == len(line.regions)
    return once and not needles <= regions and not regions <= needles


def _by_region(line: WorkedLine) -> dict[str, list[int]]:
    """What the needles hold that lie within one stretch of the round; nothing where any needle lies across two."""
    found: dict[str, list[int]] = {}
    needles = list(line.needles)
    for name, count in line.regions:
        left = count
        while left and needles:
            held = needles.pop(0)
            if held > left:
                return {}
            left -= held
            found.setdefault(name, []).append(held)
    return {} if len({name for name, _ in line.regions}) < len(line.regions) else found
