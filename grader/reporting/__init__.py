"""Reporting: findings, sizes and records as text or JSON for whoever asked."""

from grader.reporting.coverage import print_choice, print_cover, print_shoes
from grader.reporting.findings import grouped, print_findings
from grader.reporting.hours import print_time
from grader.reporting.parts import print_part, print_parts
from grader.reporting.records import record_json
from grader.reporting.regrades import print_regrade
from grader.reporting.samples import print_sample
from grader.reporting.sizes import print_sizes
from grader.reporting.stripes import print_stripes, write_stripes
from grader.reporting.swatch import print_comparison, print_swatch
from grader.reporting.yarn import print_enough, print_yarn

__all__ = [
    "grouped",
    "print_choice",
    "print_comparison",
    "print_cover",
    "print_enough",
    "print_findings",
    "print_part",
    "print_parts",
    "print_regrade",
    "print_sample",
    "print_shoes",
    "print_sizes",
    "print_stripes",
    "print_swatch",
    "print_time",
    "print_yarn",
    "record_json",
    "write_stripes",
]
