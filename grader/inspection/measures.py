"""The sock as knitted against the size table: its measures, its ease, and how sizes grow."""

from __future__ import annotations

import itertools
import re
from fractions import Fraction

from grader.inspection.foot import height_of_lines, measure_foot
from grader.models.graded import Graded
from grader.models.pattern import FinishedRule, Pattern
from grader.models.record import Record, WorkedLine
from grader.notation import read_line
from grader.notation.counting import repeat_of
from grader.notation.multiples import multiple_of
from grader.notation.tree import Round
from grader.vocabulary.findings import Ledger, Severity

_FABRIC = re.compile(r"(\w+)(?: \(([^()]+)\))?")
_AT_THE_WIDEST = ("calf",)  # the leg narrows below it


def height_of(pattern: Pattern, record: Record, sections: tuple[str, ...]) -> Fraction:
    """How high the rounds of these sections come, in cm; a stitch pattern worked all round has its own gauge."""
    rounds = (line for line in record.lines if line.kind == "round" and line.section in sections)
    return height_of_lines(pattern, rounds)


def width_after(pattern: Pattern, record: Record, section: str) -> Fraction | None:
    """How wide the tube is after the last round of a section, in cm."""
    last = next((each for each in reversed(record.lines) if each.kind == "round" and each.section == section), None)
    return None if last is None or last.after is None else width_of(pattern, last, last.after)


def widest_in(pattern: Pattern, record: Record, section: str) -> Fraction | None:
    """How wide the tube is in the widest round of a section, in cm."""
    rounds = [each for each in record.lines if each.kind == "round" and each.section == section]
    return max((width_of(pattern, each, each.after) for each in rounds if each.after is not None), default=None)


def width_of(pattern: Pattern, line: WorkedLine, stitches: int) -> Fraction:
    """How wide a round of so many stitches is, in cm; each fabric counts at its own gauge."""
    counts = {name: 0 for name, _ in line.regions}
    for name, count in line.regions:
        counts[name] += count
    plain, width = stitches, Fraction(0)
    for name, region in _FABRIC.findall(line.fabric):
        own = pattern.stitch_pattern(name)
        if own is None or own.gauge is None:
            continue
        count = counts.get(region, 0) if region else stitches
        if own.sides:
            count = multiple_of((each.text for each in own.rounds), True).of(count)
        plain -= count
        width += count / own.gauge.stitches
    return width + plain / pattern.gauge.stitches


def worked_measure(pattern: Pattern, graded: Graded, record: Record, rule: FinishedRule) -> Fraction | None:
    """A finished measure from what was knitted, in cm.

    The foot is measured by its geometry, whatever its designer says of the depth of the heel.
    """
    if rule.around:
        where = widest_in if rule.measure in _AT_THE_WIDEST else width_after
        return where(pattern, record, rule.around)
    foot = measure_foot(pattern, record) if rule.measure == "foot_length" else None
    if foot:
        return foot.length
    return height_of(pattern, record, rule.along) + graded.beside_rounds.get(rule.measure, Fraction(0))


def half_repeat(pattern: Pattern) -> Fraction:
    """Half of the widest repeat worked in rounds, in stitches: what rounding to whole repeats may cost."""
    repeats = [1]
    for each in pattern.stitch_patterns:
        for written in each.rounds:
            statement = read_line(written.text)
            if isinstance(statement, Round):
                repeats.append(repeat_of(statement.parts[0].line))
    return Fraction(max(repeats), 2)


def check_measures(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """Within half a stitch repeat round, and half a round along; and inside the ease that is allowed."""
    details = {"sizes": (record.size,), "setups": (record.setup,)}
    _check_heel(pattern, graded, record, ledger)
    for rule in pattern.finished:
        worked = worked_measure(pattern, graded, record, rule)
        stated = graded.finished.get(rule.measure)
        if worked is None or stated is None:
            ledger.add("measure", f"nothing knitted tells the {rule.measure}", rule.span, **details)
            continue
        slack = (
            Fraction(1, 2) / pattern.gauge.rounds if not rule.around else half_repeat(pattern) / pattern.gauge.stitches
        )
        if abs(worked - stated) > slack:
            ledger.add(
                "measure",
                f"the {rule.measure.replace('_', ' ')} is knitted {float(worked):.1f} cm,"
                f" the size table says {float(stated):.1f} cm",
                rule.span,
                expected=f"{float(stated):.2f} cm",
                found=f"{float(worked):.2f} cm",
                **details,
            )
    for measure, (low, high) in (
        ("foot_circumference", pattern.fit.allowed),
        ("foot_length", pattern.fit.length_allowed),
    ):
        found = next((rule for rule in pattern.finished if rule.measure == measure), None)
        worked = worked_measure(pattern, graded, record, found) if found else None
        body = graded.body.measures.get(measure)
        slack = Fraction(1, 2) / pattern.gauge.rounds if found and not found.around else Fraction(0)
        if worked is None or not body:
            continue
        if not body * (1 + low) - slack <= worked <= body * (1 + high) + slack:
            ledger.add(
                "ease",
                f"the knitted {measure.replace('_', ' ')} has {float(worked / body - 1) * 100:+.1f} % ease",
                pattern.fit.span,
                expected=f"{float(low) * 100:+.1f} % to {float(high) * 100:+.1f} %",
                found=f"{float(worked / body - 1) * 100:+.1f} %",
                **details,
            )


def _check_heel(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """What a pattern states of its foot beside the rounds is what its heel and toe come to, within half a round."""
    rule = next((each for each in pattern.finished if each.measure == "foot_length"), None)
    foot = measure_foot(pattern, record) if rule else None
    if rule is None or foot is None:
        return
    details = {"sizes": (record.size,), "setups": (record.setup,)}
    stated = graded.beside_rounds.get(rule.measure)
    depth = foot.beside_rounds
    if rule.plus is not None and stated is not None and abs(stated - depth) > Fraction(1, 2) / pattern.gauge.rounds:
        ledger.add(
            "heel-depth",
            f"heel and toe add {float(depth):.1f} cm to the foot's rounds, and `plus` says {float(stated):.1f} cm",
            rule.span,
            expected=f"{float(depth):.2f} cm",
            found=f"{float(stated):.2f} cm",
            mend="leave out `plus`: the foot is measured by what is knitted",
            **details,
        )
    missing = [name for name in foot.sections if name not in rule.along]
    stray = [name for name in rule.along if name not in foot.sections and _has_rounds(record, name)]
    if missing or stray:
        ledger.add(
            "foot-sections",
            f"the foot is knitted in {', '.join(foot.sections)}; `along` names {', '.join(rule.along) or 'no section'}",
            rule.span,
            expected=", ".join(foot.sections),
            found=", ".join(rule.along),
            **details,
        )


def _has_rounds(record: Record, section: str) -> bool:
    return any(line.kind == "round" and line.section == section for line in record.lines)


def check_calf_stated(pattern: Pattern, ledger: Ledger) -> None:
    """A remark where stitches are cast on or shaped for a calf of which the size table says nothing."""
    by_the_calf = next((rule for rule in pattern.rules if "calf" in rule.target.names), None)
    if by_the_calf is None or any(rule.measure == "calf" for rule in pattern.finished):
        return
    ledger.add(
        "calf-not-stated",
        f"{by_the_calf.name} goes by the calf, and the size table doesn't say which calf the sock is made for",
        by_the_calf.span,
        severity=Severity.REMARK,
        mend="say under `finished` how wide it comes out: calf: {is: top / gauge.stitches, around: Leg}",
    )


def check_sizes_grow(pattern: Pattern, runs: list[tuple[Graded, Record]], ledger: Ledger) -> None:
    """A bigger foot never gets a smaller sock, and no two sizes are the same sock.

    Each length lies within half a round of what it is to be, so that of two that are to be the same the larger size's
    may be a round shorter.
    """
    seen: dict[str, list[tuple[Graded, Record]]] = {}
    for graded, record in runs:
        seen.setdefault(record.setup + record.terms + record.sock, []).append((graded, record))
    for same_setup in seen.values():
        ordered = [
            (graded, record, [worked_measure(pattern, graded, record, rule) for rule in pattern.finished])
            for graded, record in sorted(same_setup, key=lambda each: each[0].index)
        ]
        for (small, first, smaller), (large, second, larger) in itertools.pairwise(ordered):
            details = {"sizes": (small.body.name, large.body.name), "setups": (first.setup,)}
            for rule, a, b in zip(pattern.finished, smaller, larger, strict=True):
                body = small.body.measures.get(rule.measure), large.body.measures.get(rule.measure)
                if None in (*body, a, b) or body[0] > body[1]:  # type: ignore[operator]
                    continue
                if a - b > 1 / pattern.gauge.rounds:  # type: ignore[operator]
                    ledger.add(
                        "sizes-grow",
                        f"size {large.body.name} is knitted smaller than size {small.body.name} in {rule.measure}",
                        rule.span,
                        expected=f"{float(a or 0):.1f} cm or more",
                        found=f"{float(b or 0):.1f} cm",
                        **details,
                    )
            if [(line.text, line.times, line.block_times) for line in first.lines] == [
                (line.text, line.times, line.block_times) for line in second.lines
            ]:
                ledger.add(
                    "same-sock",
                    f"sizes {small.body.name} and {large.body.name} are the same sock",
                    pattern.span,
                    mend="leave one of them out, or grade in smaller steps",
                    **details,
                )
