"""The log of a knitted sample as a block of the pattern file, to be kept with the pattern once it is knitted."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from fractions import Fraction

from grader.models.instructions import Claim
from grader.models.pattern import Gauge
from grader.models.sample_log import SampleLog, SectionLog
from grader.vocabulary.quantities import Quantity
from grader.vocabulary.statements import LENGTH, kind_named

HEAD = "# The designer's own samples: these figures must come out again, whatever is changed above."
_WIDTH = 118


def print_sample(logs: Iterable[SampleLog]) -> str:
    """The text of `sample:`, one entry a size; lengths to a hundredth of a centimetre."""
    lines = [HEAD, "sample:"]
    for log in logs:
        lines.append(f'  - size: "{log.size}"')
        for key, entries in (
            ("numbers", [f"{name}: {_amount(value)}" for name, value in log.numbers]),
            ("measures", [f"{name}: {_cm(amount)}" for name, amount in log.measures]),
            ("yarn", [f"{name}: {amount:.1f}" for name, amount in log.yarn]),
            ("gauges", [f"{name}: {_gauge(gauge)}" for name, gauge in log.gauges]),
        ):
            if entries:
                lines.append(f"    {key}:")
                lines += _flow("      ", "{", entries, "}")
        lines += _by_section(log.sections)
    return "\n".join(lines)


def _by_section(sections: tuple[SectionLog, ...]) -> Iterable[str]:
    """Counts, stitches and sentences, a line or more for each section that has any."""
    yield "    counts:"
    for each in sections:
        if each.counts:
            yield from _flow(f"      {each.name}: ", "[", _runs(list(each.counts)), "]")
    yield "    stitches:"
    for each in sections:
        if each.stitches:
            yield from _flow(f"      {each.name}: ", "{", [f"{name}: {n}" for name, n in each.stitches], "}")
    if any(each.sentences for each in sections):
        yield "    sentences:"
    for each in sections:
        if each.sentences:
            yield from _flow(f"      {each.name}: ", "[", [_stated(claim) for claim in each.sentences], "]")


def _amount(value: Quantity) -> str:
    return _cm(value.amount) if value.is_length else str(value.amount)


def _stated(claim: Claim) -> str:
    kind = kind_named(claim.kind)
    return _cm(claim.amount) if kind and kind[0].unit == LENGTH else str(claim.amount)


def _cm(amount: Fraction) -> str:
    return f"{float(amount):.2f} cm"


def _gauge(gauge: Gauge) -> str:
    """Over 10 cm, to a hundredth: enough to tell one from another."""
    stitches, rounds = (f"{float(each * 10):.2f}".rstrip("0").rstrip(".") for each in (gauge.stitches, gauge.rounds))
    return f"{{stitches: {stitches}, rounds: {rounds}, per: 10 cm}}"


def _runs(counts: list[int]) -> list[str]:
    """Counts in a row that are the same, written as a run: 64 x 15."""
    runs = [(count, len(list(same))) for count, same in itertools.groupby(counts)]
    return [f"{count} x {times}" if times > 1 else str(count) for count, times in runs]


def _flow(head: str, opening: str, entries: list[str], closing: str) -> list[str]:
    """A flow list or map broken into lines that fit."""
    lines, line = [], head + opening
    for place, entry in enumerate(entries):
        piece = entry + ("," if place + 1 < len(entries) else closing)
        if len(line) + len(piece) > _WIDTH:
            lines.append(line.rstrip())
            line = "        "
        line += piece + " "
    return [*lines, line.rstrip()]
