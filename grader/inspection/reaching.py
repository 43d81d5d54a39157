"""What is knitted to no end: a half round only to get to the heel, a stitch pattern that no stretch has room for."""

from __future__ import annotations

from collections.abc import Iterable

from grader.inspection.fabric import beside_the_pattern
from grader.models.pattern import Pattern, StitchPattern
from grader.models.record import Record, WorkedLine
from grader.notation import NotationError, read_line
from grader.notation.tree import Group, Item, Op, Repeat, Round, Run
from grader.vocabulary.findings import Ledger, Severity


def check_way_to_the_heel(record: Record, ledger: Ledger) -> None:
    """A remark where stitches are knitted once more than the others only to reach the heel.

    A round that begins with the heel's first stitch needs none; one that begins at the centre of the back knits half
    of the heel, as many directions have it: common practice, and not remarked on.
    """
    lines = [line for line in record.lines if line.kind not in ("arrange", "note")]
    for line, following, row in zip(lines, lines[1:], lines[2:], strict=False):
        if (line.kind, following.kind, row.over) != ("part_round", "rest", "heel") or not line.regions:
            continue
        region, count = line.regions[0]
        if sum(made for _, made in line.made) < count or any(name == region for name, _ in line.regions[1:]):
            continue
        ledger.add(
            "way-to-heel",
            f"the {count} {region} sts are knitted once more than the others, only to reach the heel",
            line.span,
            severity=Severity.REMARK,
            sizes=(record.size,),
            setups=(record.setup,),
            section=line.section,
            line=line.text,
            mend="name the region that is worked back and forth first, where the regions of the round are given",
        )


def check_patterns_go_in(pattern: Pattern, records: Iterable[Record], ledger: Ledger) -> None:
    """A stitch pattern that is worked, and of which no sock has a stitch: its repeat is wider than its stretch."""
    waiting = {each.name: each for each in pattern.stitch_patterns if each.rounds and not _is_plain(each)}
    named: set[str] = set()
    for record in records:
        for line in record.lines if waiting else ():
            there = [name for name in waiting if _is_in(name, line.fabric)] if line.kind == "round" else []
            named.update(there)
            for name in there if _is_patterned(line) else ():
                del waiting[name]
    for name in named & waiting.keys():
        ledger.add(
            "unworked-pattern",
            f"no stretch of the sock has room for a repeat of {name}: it is knitted plain throughout",
            waiting[name].span,
            mend="make its repeat narrower, or correct the round that makes it wide",
        )


def _is_in(name: str, fabric: str) -> bool:
    return any(each.strip().partition(" (")[0] == name for each in fabric.split(","))


def _is_patterned(line: WorkedLine) -> bool:
    """Something other than one plain stitch lies in the stretches that are worked in a stitch pattern."""
    inside = dict(line.made)
    for name, count in beside_the_pattern(line.made, line.regions, line.fabric) if "(" in line.fabric else ():
        inside[name] = inside.get(name, 0) - count
    return any(count > 0 for name, count in inside.items() if name != "k")


def _is_plain(pattern: StitchPattern) -> bool:
    """All of it is one plain stitch, so that nothing tells whether it was worked."""
    return all(name == "k" for written in pattern.rounds for name in _names(written.text))


def _names(text: str) -> Iterable[str]:
    try:
        statement = read_line(text)
    except NotationError:
        return
    waiting: list[Item] = []
    if isinstance(statement, Round):
        waiting = [item for part in statement.parts for item in part.line.items]
    while waiting:
        item = waiting.pop()
        if isinstance(item, Group | Repeat):
            waiting += item.items
        elif isinstance(item, Op | Run):
            yield item.name if not getattr(item, "manner", "") else f"{item.name} {item.manner}"  # type: ignore[union-attr]
