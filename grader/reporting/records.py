"""The worked record as JSON, in the shape that other programs may rely on.

Fields may be added, none is renamed. Lengths are in centimetres.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine

_WITH_NEEDLES = ("cast_on", "round", "part_round", "pick_up", "arrange")


def record_json(
    pattern: Pattern, socks: Iterable[tuple[Graded, Record, float, float]], units: str = "cm"
) -> dict[str, Any]:
    """The record of all socks; each comes with its numbers and the metres and grams of yarn for a pair."""
    return {
        "pattern": pattern.title,
        "version": pattern.version,
        "runs": [_run(pattern, graded, record, metres, grams, units) for graded, record, metres, grams in socks],
    }


def _run(pattern: Pattern, graded: Graded, record: Record, metres: float, grams: float, units: str) -> dict[str, Any]:
    stitches, rounds = pattern.gauge.per_stated
    return {
        "size": record.size,
        "setup": record.setup,
        "terms": record.terms,
        "units": units,
        "size_index": record.size_index,
        "numbers": {figure.name: _number(figure.value.amount) for figure in graded.figures},
        "gauge": {"stitches": _number(stitches), "rounds": _number(rounds), "per_cm": _number(pattern.gauge.per_cm)},
        "foot": {f"{measure}_cm": _number(amount) for measure, amount in graded.body.measures.items()},
        "finished": {f"{measure}_cm": _number(amount) for measure, amount in graded.finished.items()},
        "ease": {measure: round(float(share), 4) for measure, share in graded.ease.items()},
        "yarn": {"metres_pair": round(metres, 1), "grams_pair": round(grams, 1)},
        "steps": [_step(line) for line in record.lines],
    }


def _number(amount: Fraction) -> int | float:
    return int(amount) if amount.denominator == 1 else round(float(amount), 3)


def _step(line: WorkedLine) -> dict[str, Any]:
    step: dict[str, Any] = {"section": line.section, "kind": line.kind}
    if line.side:
        step["side"] = line.side
    if line.over:
        step["over"] = line.over
    if line.edges:
        step["edge"] = list(line.edges)
    step |= {"line": line.text, "times": line.times}
    if line.kind == "cast_on":
        step["regions"] = [[name, count] for name, count in line.regions]
    if line.block:
        step |= {"block": line.block, "block_times": line.block_times}
    step |= {"before": line.before, "after": line.after}
    if line.kind in _WITH_NEEDLES:
        step["needles"] = list(line.needles)
    step["at"] = f"{line.span.line}:{line.span.column}"
    return step
