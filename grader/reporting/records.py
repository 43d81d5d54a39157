"""The worked record as JSON, in the shape that other programs may rely on.

Fields may be added, none is renamed. Lengths are in centimetres.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedClaim, WorkedLine

Sock = tuple[Graded, Record, float, float]
ByColour = dict[str, tuple[float, float]]
_WITH_NEEDLES = ("cast_on", "round", "part_round", "pick_up", "arrange", "waste_yarn", "open")


def record_json(
    pattern: Pattern,
    socks: Iterable[Sock],
    units: str = "cm",
    by_colour: Sequence[ByColour] = (),
) -> dict[str, Any]:
    """The record of all socks; each comes with its numbers and the metres and grams of yarn for a pair.

    `by_colour` has the metres and grams of each colour, sock by sock, where the pattern has several.
    """
    shares = itertools.chain(by_colour, itertools.repeat({}))
    return {
        "pattern": pattern.title,
        "version": pattern.version,
        "runs": [_run(pattern, sock, units, share) for sock, share in zip(socks, shares, strict=False)],
    }


def _run(pattern: Pattern, sock: Sock, units: str, by_colour: ByColour) -> dict[str, Any]:
    graded, record, metres, grams = sock
    yarn: dict[str, Any] = _yarn(metres, grams)
    if by_colour:
        yarn["by_colour"] = {name: _yarn(*share) for name, share in by_colour.items()}
    stitches, rounds = pattern.gauge.per_stated
    return {
        "size": record.size,
        "setup": record.setup,
        "terms": record.terms,
        "units": units,
        "size_index": record.size_index,
        **({"sock": record.sock} if record.sock else {}),
        "numbers": _numbers(graded, record),
        "gauge": {"stitches": _number(stitches), "rounds": _number(rounds), "per_cm": _number(pattern.gauge.per_cm)},
        "foot": {f"{measure}_cm": _number(amount) for measure, amount in graded.body.measures.items()},
        "finished": {f"{measure}_cm": _number(amount) for measure, amount in graded.finished.items()},
        "ease": {measure: round(float(share), 4) for measure, share in graded.ease.items()},
        "yarn": yarn,
        "steps": [_step(line) for line in record.lines],
        "claims": [_claim(each) for each in record.claims],
    }


def _numbers(graded: Graded, record: Record) -> dict[str, Any]:
    """Every graded number by its name. `cast_on` is what is cast on, whatever the rules call so.

    A knee sock casts on for the calf, a sock from the toe up for the toe, and the rules of both call the stitches
    round the foot cast_on: these are foot_stitches here.
    """
    numbers = {figure.name: _number(figure.value.amount) for figure in graded.figures}
    begun = next((line.after for line in record.lines if line.kind == "cast_on"), None)
    if begun is not None and numbers.get("cast_on", begun) != begun:
        numbers = {**numbers, "cast_on": begun, "foot_stitches": numbers["cast_on"]}
    return numbers


def _claim(worked: WorkedClaim) -> dict[str, Any]:
    """A number that a sentence states, and after how many of the steps it stands."""
    claim = worked.claim
    kind = claim.kind.replace("REGION", claim.of).replace("MEASURE", claim.of)
    stated = {"section": worked.section, "in": claim.where, "kind": kind, "amount": _number(claim.amount)}
    return {
        **stated,
        "printed": claim.printed,
        "after_steps": worked.at,
        "at": f"{claim.span.line}:{claim.span.column}",
    }


def _yarn(metres: float, grams: float) -> dict[str, Any]:
    return {"metres_pair": round(metres, 1), "grams_pair": round(grams, 1)}


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
    if line.before is not None or line.after is not None:
        step |= {"before": line.before, "after": line.after}
    if line.yarns:
        step["loops_by_colour"] = line.loops_by_colour
    if line.kind in _WITH_NEEDLES:
        step["needles"] = list(line.needles)
    step["at"] = f"{line.span.line}:{line.span.column}"
    return step
