"""The designer's own knitted sample: its figures must come out again."""

from __future__ import annotations

from fractions import Fraction

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.vocabulary.findings import Ledger

_HUNDREDTH = Fraction(1, 100)  # a sample's lengths are written to a hundredth of a centimetre at the finest


def check_samples(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """Compare the numbers and the counts, round by round, that the sample is on record with."""
    for sample in pattern.samples:
        if sample.size != record.size:
            continue
        details = {"sizes": (record.size,), "setups": (record.setup,)}
        for name, amount, span in sample.numbers:
            value = graded.names.get(name)
            slack = _HUNDREDTH / 2 if value is not None and value.is_length else 0
            if value is not None and abs(value.amount - amount) > slack:
                ledger.add(
                    "sample",
                    f"the sample has {name} {float(amount):g}, graded is {float(value.amount):g}",
                    span,
                    expected=f"{float(amount):g}",
                    found=f"{float(value.amount):g}",
                    **details,
                )
        for section, counts, span in sample.counts:
            worked = counts_in(record, section)
            if worked != list(counts):
                place = next(
                    (i for i, (a, b) in enumerate(zip(worked, counts, strict=False)) if a != b),
                    min(len(worked), len(counts)),
                )
                ledger.add(
                    "sample",
                    f"the sample has other counts in {section} from round or row {place + 1} on",
                    span,
                    section=section,
                    expected=", ".join(map(str, counts[place : place + 4])),
                    found=", ".join(map(str, worked[place : place + 4])),
                    **details,
                )


def counts_in(record: Record, section: str) -> list[int]:
    """Stitches after every round and row of a section, in working order."""
    lines = [line for line in record.lines if line.section == section and line.kind in ("round", "row")]
    counts: list[int] = []
    at = 0
    while at < len(lines):
        block = [line for line in lines[at:] if lines[at].block and line.block == lines[at].block] or [lines[at]]
        for _ in range(block[0].block_times):
            for line in block:
                counts.extend([line.after or 0] * line.times)
        at += len(block)
    return counts
