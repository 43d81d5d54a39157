"""The designer's own knitted sample: its figures must come out again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from grader.inspection.fabric import in_yarns
from grader.models.graded import Graded
from grader.models.pattern import Pattern, Sample
from grader.models.record import Record
from grader.vocabulary.findings import Ledger, Span

_MOST_TOLD = 4
_HUNDREDTH = Fraction(1, 100)  # a sample's lengths are written to a hundredth of a centimetre at the finest


def check_samples(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """Compare the numbers, the counts by round and the stitches that the sample is on record with; one finding each."""
    for sample in pattern.samples:
        if sample.size != record.size:
            continue
        wrong = [*_numbers(sample, graded), *_counts(sample, record), *_stitches(sample, record)]
        if wrong:
            told = "; ".join(text for text, _ in wrong[:_MOST_TOLD])
            more = f"; and {len(wrong) - _MOST_TOLD} more" if len(wrong) > _MOST_TOLD else ""
            ledger.add(
                "sample",
                f"the knitted sample of size {sample.size} does not come out again: {told}{more}",
                wrong[0][1],
                sizes=(record.size,),
                setups=(record.setup,),
                mend="put right what was changed; or, if it is meant, knit a new sample and keep its figures",
            )


def _numbers(sample: Sample, graded: Graded) -> Iterator[tuple[str, Span]]:
    """The graded numbers that are not the sample's."""
    for name, amount, span in sample.numbers:
        value = graded.names.get(name)
        slack = _HUNDREDTH / 2 if value is not None and value.is_length else 0
        if value is not None and abs(value.amount - amount) > slack:
            yield f"{name} {float(amount):g}, now {float(value.amount):g}", span


def _counts(sample: Sample, record: Record) -> Iterator[tuple[str, Span]]:
    """The sections whose counts are not the sample's, from the first round or row that differs."""
    there = {line.section for line in record.lines}
    for section, counts, span in sample.counts:
        if record.sock and section not in there:
            continue  # the other sock of the pair has it
        worked = counts_in(record, section)
        if worked != list(counts):
            alike = (i for i, (a, b) in enumerate(zip(worked, counts, strict=False)) if a != b)
            place = next(alike, min(len(worked), len(counts)))
            was, now = (", ".join(map(str, each[place : place + 3])) or "none" for each in (counts, worked))
            yield f"{section} from round or row {place + 1} on {was}, now {now}", span


def _stitches(sample: Sample, record: Record) -> Iterator[tuple[str, Span]]:
    """The sections that take other stitches than the sample's, or more or fewer of them."""
    there = {line.section for line in record.lines}
    for section, tallies, span in sample.stitches:
        if record.sock and section not in there:
            continue  # the other sock of the pair has it
        was, now = dict(tallies), stitches_in(record, section)
        for name in sorted(was.keys() | now.keys()):
            if was.get(name, 0) != now.get(name, 0):
                yield f"{section}: {name} {was.get(name, 0)} times, now {now.get(name, 0)}", span


def stitches_in(record: Record, section: str) -> dict[str, int]:
    """How often each stitch is worked in the rounds and rows of a section, in which colour where there are several."""
    found: Counter[str] = Counter()
    for line in record.in_order():
        if line.section == section and line.kind in ("round", "row"):
            for name, count in in_yarns(line.made, line.yarns):
                found[name] += count * line.times
    return dict(found)


def counts_in(record: Record, section: str) -> list[int]:
    """Stitches after every round and row of a section, in working order."""
    lines = (line for line in record.in_order() if line.section == section and line.kind in ("round", "row"))
    return [line.after or 0 for line in lines for _ in range(line.times)]
