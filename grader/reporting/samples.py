"""The log of a knitted sample as a block of the pattern file, to be kept with the pattern once it is knitted."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from grader.models.graded import Graded

_WIDTH = 118
Log = tuple[Graded, tuple[tuple[str, list[int], dict[str, int]], ...]]


def print_sample(logs: Iterable[Log]) -> str:
    """The text of `sample:`, one entry a size; lengths to a hundredth of a centimetre.

    Each log is a size with the stitches after every round and row of each section, and how many of each kind it took.
    """
    lines = ["# The designer's own samples: these figures must come out again, whatever is changed above.", "sample:"]
    for graded, sections in logs:
        lines += [f'  - size: "{graded.body.name}"', "    numbers:"]
        lines += _flow("      ", "{", _figures(graded), "}")
        lines.append("    counts:")
        for section, counts, _ in sections:
            if counts:
                lines += _flow(f"      {section}: ", "[", _runs(counts), "]")
        lines.append("    stitches:")
        for section, _, stitches in sections:
            if stitches:
                lines += _flow(f"      {section}: ", "{", [f"{name}: {n}" for name, n in stitches.items()], "}")
    return "\n".join(lines)


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
