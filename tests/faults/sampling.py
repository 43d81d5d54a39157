"""The samples of the shipped pattern, and the block of any sound pattern's samples."""

from __future__ import annotations

from collections.abc import Iterable

from grader.inspection.samples import counts_in
from grader.pipeline import Checked
from grader.reporting import print_sample

PATTERN = "patterns/ninepenny_bridge.yaml"
SIZES = ("2", "8", "13")


def sample_block(checked: Checked, sizes: Iterable[str] = SIZES) -> str:
    """The text of the block for these sizes, from the first setup that holds each."""
    logs = []
    for name in sizes:
        sock = next(each for each in checked.socks if each.graded.body.name == name)
        sections = tuple((each.name, counts_in(sock.record, each.name)) for each in sock.instructions.sections)
        logs.append((sock.graded, sections))
    return print_sample(logs) + "\n"
