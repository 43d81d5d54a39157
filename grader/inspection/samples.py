"""The designer's own knitted sample: its figures must come out again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from grader.inspection.fabric import in_yarns
from grader.inspection.measures import worked_measure
from grader.models.graded import Graded
from grader.models.instructions import Claim
from grader.models.pattern import Gauge, Pattern, Sample
from grader.models.record import Record
from grader.models.sample_log import SampleLog, SectionLog
from grader.vocabulary.findings import Ledger, Span

YARN = ("metres", "grams")
_MOST_TOLD = 4
_WEIGHING = Fraction(1, 100)  # what the scales, and the ends of the yarn, leave open
_HUNDREDTH = Fraction(1, 100)  # a sample's lengths are written to a hundredth of a centimetre at the finest


def check_samples(
    pattern: Pattern, graded: Graded, record: Record, yarn: tuple[float, float] | None, ledger: Ledger
) -> None:
    """Compare all that the sample is on record with; one finding each. `yarn` is what a pair takes, if known."""
    for sample in pattern.samples:
        if sample.size != record.size:
            continue
        wrong = [
            *_numbers(sample, graded),
            *_measures(sample, pattern, graded, record),
            *_yarn(sample, yarn),
            *_gauges(sample, pattern),
            *_counts(sample, record),
            *_stitches(sample, record),
            *_sentences(sample, record),
        ]
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


def _measures(sample: Sample, pattern: Pattern, graded: Graded, record: Record) -> Iterator[tuple[str, Span]]:
    """The finished measures that are not the sample's, as knitted."""
    worked = measures_in(pattern, graded, record)
    for name, amount, span in sample.measures:
        value = worked.get(name)
        if value is None or abs(value - amount) > _HUNDREDTH / 2:
            now = "not known" if value is None else f"{float(value):.2f} cm"
            yield f"{name.replace('_', ' ')} {float(amount):g} cm, now {now}", span


def _yarn(sample: Sample, yarn: tuple[float, float] | None) -> Iterator[tuple[str, Span]]:
    """What a pair takes, where that lies off by more than a weighing may."""
    known = dict(zip(YARN, yarn or (), strict=False))
    for name, amount, span in sample.yarn:
        now = known.get(name, float(amount))
        if abs(now - float(amount)) > float(amount * _WEIGHING):
            yield f"{name} of a pair {float(amount):g}, now {now:.1f}", span


def _gauges(sample: Sample, pattern: Pattern) -> Iterator[tuple[str, Span]]:
    """Stitch patterns that had another gauge when the sample was knitted."""
    for name, gauge in sample.gauges:
        now = gauge_of(pattern, name)
        if now and any(abs(a - b) > _HUNDREDTH for a, b in zip(gauge.per_stated, _over(now, gauge), strict=True)):
            was, is_now = (f"{float(a):g} x {float(b):g}" for a, b in (gauge.per_stated, _over(now, gauge)))
            yield f"gauge of {name} {was} to {float(gauge.per_cm):g} cm, now {is_now}", gauge.span


def _over(gauge: Gauge, width: Gauge) -> tuple[Fraction, Fraction]:
    return gauge.stitches * width.per_cm, gauge.rounds * width.per_cm


def gauge_of(pattern: Pattern, name: str) -> Gauge | None:
    """The gauge of a stitch pattern, which is that of the whole pattern where it has none of its own."""
    own = pattern.stitch_pattern(name)
    return (own.gauge or pattern.gauge) if own else None


def _sentences(sample: Sample, record: Record) -> Iterator[tuple[str, Span]]:
    """The sections whose sentences state other numbers than those that went with the sample."""
    there = {line.section for line in record.lines}
    for section, figures, span in sample.sentences:
        if record.sock and section not in there:
            continue  # the other sock of the pair has it
        stated = sentences_in(record, section)
        if len(stated) != len(figures) or any(
            abs(a.amount - b) > _HUNDREDTH / 2 for a, b in zip(stated, figures, strict=True)
        ):
            was = ", ".join(f"{float(each):g}" for each in figures) or "nothing"
            now = ", ".join(f"{float(each.amount):g}" for each in stated) or "nothing"
            yield f"sentences of {section} state {was}, now {now}", span


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


def log_of(pattern: Pattern, graded: Graded, records: Sequence[Record], yarn: tuple[float, float]) -> SampleLog:
    """The log of one size that was knitted through; `records` are one sock, or the two of a pair that differ."""
    sections = []
    for each in pattern.sections:
        record = next((record for record in records if record.sock in ("", each.sock or record.sock)), records[0])
        counts, stitches = counts_in(record, each.name), stitches_in(record, each.name)
        sections.append(
            SectionLog(each.name, tuple(counts), tuple(stitches.items()), tuple(sentences_in(record, each.name)))
        )
    return SampleLog(
        graded.body.name,
        tuple((figure.name, figure.value) for figure in graded.figures),
        tuple(measures_in(pattern, graded, records[0]).items()),
        tuple(zip(YARN, yarn, strict=True)),
        tuple((each.name, each.gauge or pattern.gauge) for each in pattern.stitch_patterns),
        tuple(sections),
    )


def sentences_in(record: Record, section: str) -> list[Claim]:
    """The numbers that the sentences of a section state, in the order they are read."""
    return [worked.claim for worked in record.claims if worked.section == section]


def measures_in(pattern: Pattern, graded: Graded, record: Record) -> dict[str, Fraction]:
    """The finished measures of a sock as it was knitted, in cm."""
    worked = {rule.measure: worked_measure(pattern, graded, record, rule) for rule in pattern.finished}
    return {name: amount for name, amount in worked.items() if amount is not None}
