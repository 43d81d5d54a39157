"""The block `sample:` of a pattern file, from a sound sock: every number, and the counts after every round and row.

`python -m tests.faults.sampling` prints it for the pattern that ships.
"""

from __future__ import annotations

import itertools
import sys
from collections.abc import Iterable

from grader.inspection.samples import counts_in
from grader.models.graded import Graded
from grader.pipeline import Checked, Wanted, check, open_pattern

PATTERN = "patterns/ninepenny_bridge.yaml"
SIZES = ("2", "8", "13")
_WIDTH = 118


def sample_block(checked: Checked, sizes: Iterable[str] = SIZES) -> str:
    """The text of the block, one entry a size; lengths to a hundredth of a centimetre."""
    lines = ["# The designer's own samples: these figures must come out again, whatever is changed above.", "sample:"]
    for name in sizes:
        sock = next(each for each in checked.socks if each.graded.body.name == name)
        lines += [f'  - size: "{name}"', "    numbers:"]
        lines += _flow("      ", "{", _figures(sock.graded), "}")
        lines.append("    counts:")
        for section in sock.instructions.sections:
            counts = counts_in(sock.record, section.name)
            if counts:
                lines += _flow(f"      {section.name}: ", "[", _runs(counts), "]")
    return "\n".join(lines) + "\n"


def _runs(counts: list[int]) -> list[str]:
    """Counts in a row that are the same, written as a run: 64 x 15."""
    runs = [(count, len(list(same))) for count, same in itertools.groupby(counts)]
    return [f"{count} x {times}" if times > 1 else str(count) for count, times in runs]


def _figures(graded: Graded) -> list[str]:
    return [
        f"{figure.name}: {float(figure.value.amount):.2f} cm"
        if figure.value.is_length
        else f"{figure.name}: {figure.value.amount}"
        for figure in graded.figures
    ]


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


if __name__ == "__main__":
    pattern, findings = open_pattern(PATTERN)
    assert pattern is not None, findings
    sys.stdout.write(sample_block(check(pattern, Wanted())))
