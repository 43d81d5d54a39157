"""All checks of the record, in one place and in the order they are reported."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grader.inspection.as_written import check_as_written
from grader.inspection.balance import check_balance
from grader.inspection.claims import check_claims
from grader.inspection.colours import check_both_named, check_colours, check_floats
from grader.inspection.counts import check_counts
from grader.inspection.fabric import check_fabric, check_same_fabric
from grader.inspection.measures import check_calf_stated, check_measures, check_sizes_grow
from grader.inspection.opening import check_hold, check_opening
from grader.inspection.order import check_order
from grader.inspection.proportions import check_proportions
from grader.inspection.reach import check_reach
from grader.inspection.reaching import check_patterns_go_in, check_way_to_the_heel
from grader.inspection.samples import check_samples
from grader.inspection.spread import check_no_needle_idle, check_spread
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.vocabulary.findings import Finding, Ledger


@dataclass(frozen=True, slots=True)
class Run:
    """One sock knitted through: its numbers, its record, and what a pair like it takes, metres and grams, if known."""

    graded: Graded
    record: Record
    yarn: tuple[float, float] | None = None


def inspect(pattern: Pattern, runs: Iterable[Run]) -> list[Finding]:
    """Everything the records tell about the pattern; an empty list for a sound one."""
    ledger = Ledger()
    runs = tuple(runs)
    check_as_written(pattern, ledger)
    check_calf_stated(pattern, ledger)
    check_colours(pattern, (run.record for run in runs), ledger)
    check_patterns_go_in(pattern, (run.record for run in runs), ledger)
    for run in runs:
        check_balance(run.record, ledger)
        check_fabric(run.record, ledger)
        check_floats(run.record, ledger)
        check_both_named(run.record, ledger)
        check_spread(run.record, ledger)
        check_no_needle_idle(run.record, ledger)
        check_reach(pattern, run.record, ledger)
        check_opening(pattern, run.graded, run.record, ledger)
        check_hold(pattern, run.graded, run.record, ledger)
        check_order(pattern, run.record, ledger)
        check_way_to_the_heel(run.record, ledger)
        check_counts(pattern, run.graded, run.record, ledger)
        check_measures(pattern, run.graded, run.record, ledger)
        check_proportions(pattern, run.graded, run.record, ledger)
        check_claims(pattern, run.graded, run.record, ledger)
        check_samples(pattern, run.graded, run.record, run.yarn, ledger)
    by_size: dict[tuple[str, str], list[Record]] = {}
    for run in runs:
        by_size.setdefault((run.record.size, run.record.sock), []).append(run.record)
    for records in by_size.values():
        check_same_fabric(records, ledger)
    check_sizes_grow(pattern, [(run.graded, run.record) for run in runs], ledger)
    return ledger.entries
