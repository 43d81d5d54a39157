"""The samples of the shipped pattern, and the block of any sound pattern's samples."""

from __future__ import annotations

from collections.abc import Sequence

from grader.inspection.samples import counts_in, stitches_in
from grader.pipeline import Checked
from grader.reporting import print_sample

PATTERN = "patterns/ninepenny_bridge.yaml"


def chosen(names: Sequence[str]) -> tuple[str, ...]:
    """Three sizes to knit: a small one, one in the middle, a large one."""
    edge = len(names) // 8
    return tuple(dict.fromkeys((names[edge], names[len(names) // 2], names[-1 - edge])))


def sample_block(checked: Checked) -> str:
    """The text of the block for some sizes, from the first setup that holds each; both socks of a pair that differ."""
    logs = []
    for name in chosen([body.name for body in checked.pattern.bodies]):
        sock = next(each for each in checked.socks if each.graded.body.name == name)
        records = {line.section: record for record in sock.records for line in record.lines}
        sections = tuple((name, counts_in(record, name), stitches_in(record, name)) for name, record in records.items())
        logs.append((sock.graded, sections))
    return print_sample(logs) + "\n"
