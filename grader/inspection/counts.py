"""Numbers of rows and rounds against the knitting: what a number says of a section is what was worked there."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from fractions import Fraction

from grader.models.graded import Graded
from grader.models.pattern import Counted, Pattern
from grader.models.record import Record
from grader.vocabulary.findings import Ledger

_KINDS = {"rounds": "round", "rows": "row"}
Change = tuple[str, int]  # round or row, and by how many stitches it changes the count


def check_counts(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """Every number that says what it counts is compared with the record; a fault of a rule or of a step."""
    tied = [(rule, rule.counts) for rule in pattern.rules if rule.counts is not None]
    sections = _changes(record) if tied else {}
    for rule, counts in tied:
        value = graded.names.get(rule.name)
        worked = [_worked(each, sections.get(each.section, ())) for each in counts]
        if value is None or None in worked:
            continue
        found = sum((each for each in worked if each is not None), Fraction(0))
        if found != value.amount:
            ledger.add(
                "miscounted",
                f"{rule.name} ({rule.label}) is {_told(value.amount)}, and {_told(found)} are worked",
                rule.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=counts[0].section if counts else "",
                expected=_told(value.amount),
                found=_told(found),
                mend="correct the rule, or the step that works them",
            )


def _told(amount: Fraction) -> str:
    return f"{float(amount):g}"


def _changes(record: Record) -> dict[str, list[Change]]:
    """The rounds and rows of each section one by one, as the hands meet them."""
    found: dict[str, list[Change]] = {}
    for line in record.in_order():
        if line.kind in ("round", "row"):
            change = (line.after or 0) - (line.before or 0)
            found.setdefault(line.section, []).extend([(line.kind, change)] * line.times)
    return found


def _worked(counted: Counted, lines: Sequence[Change]) -> Fraction | None:
    """How many there are; None where there are too few to tell how far they lie apart."""
    kind = _KINDS[counted.lines]
    if not counted.of:
        whole = sum(1 for each, _ in lines if each == kind)
        return Fraction(whole // 2 if counted.halved else whole)
    sign = -1 if counted.of == "decrease" else 1
    places = [place for place, (each, change) in enumerate(lines) if each == kind and change * sign > 0]
    if counted.pace == "each":
        gaps = {second - first for first, second in itertools.pairwise(places)}
        return Fraction(max(gaps)) if gaps else None
    slow = sum(1 for place in places if place + 1 < len(lines) and not lines[place + 1][1])
    whole = {"slow": slow, "fast": len(places) - slow}.get(counted.pace, len(places))
    return Fraction(whole, 2) if counted.halved else Fraction(whole)
