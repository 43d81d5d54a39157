"""The order of a sock's parts: the heel lies between the leg and the foot, whichever of them comes first."""

from __future__ import annotations

from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine
from grader.vocabulary.findings import Ledger


def check_order(pattern: Pattern, record: Record, ledger: Ledger) -> None:
    """Leg and foot, told by what their lengths are measured along, lie apart, with the heel or its place between.

    A tube without a heel, or a pattern that does not say where both are measured, has no such order.
    """
    along = {rule.measure: set(rule.along) for rule in pattern.finished}
    legs, feet = along.get("leg_length", set()), along.get("foot_length", set())
    lines = [line for line in record.lines if line.kind in ("round", "row", "waste_yarn")]
    leg = [place for place, line in enumerate(lines) if line.kind == "round" and line.section in legs - feet]
    foot = [place for place, line in enumerate(lines) if line.kind == "round" and line.section in feet - legs]
    if not leg or not foot or not any(_is_heel(line) for line in lines):
        return
    first, second = (leg, foot) if leg[0] < foot[0] else (foot, leg)
    at = first[-1]
    if at < second[0] and any(_is_heel(line) for line in lines[at + 1 : second[0]]):
        return
    line = lines[second[0]]
    ledger.add(
        "order",
        "the heel does not lie between the leg and the foot",
        line.span,
        sizes=(record.size,),
        setups=(record.setup,),
        section=line.section,
        line=line.text,
        expected="the leg, the heel and the foot one after the other",
        found=", ".join(dict.fromkeys(each.section for each in lines)),
        mend="put the sections in the order in which they are worked",
    )


def _is_heel(line: WorkedLine) -> bool:
    """The place of a heel to come, or rows over the heel; a sock from the toe up may turn it over its sole."""
    return line.kind == "waste_yarn" or (line.kind == "row" and line.over in ("heel", "sole"))
