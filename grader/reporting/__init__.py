"""Reporting: findings, sizes and records as text or JSON for whoever asked."""

from grader.reporting.findings import grouped, print_findings
from grader.reporting.parts import print_part, print_parts
from grader.reporting.records import record_json
from grader.reporting.samples import print_sample
from grader.reporting.sizes import print_sizes
from grader.reporting.yarn import print_yarn

__all__ = [
    "grouped",
    "print_findings",
    "print_part",
    "print_parts",
    "print_sample",
    "print_sizes",
    "print_yarn",
    "record_json",
]
