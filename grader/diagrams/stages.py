"""Which stages of a sock are drawn, in the order of the work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from grader.diagrams.anatomy import draw_anatomy
from grader.diagrams.needles import draw_needles
from grader.diagrams.rows import draw_rows
from grader.diagrams.shape import draw_shape
from grader.models.diagram import StageDiagram
from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine

_LEAST = 8  # stitches on the needles; with fewer the work is at its end


def stage_diagrams(
    pattern: Pattern, records: Sequence[Record], measures: Mapping[str, Fraction]
) -> tuple[StageDiagram, ...]:
    """The drawings of one size in one setup.

    Args:
        pattern: whose sections they are.
        records: the sock as it was knitted, or both of a pair that differ.
        measures: the lengths of the sock from the side, in cm; without them its parts are not drawn by name.
    """
    drawn: list[StageDiagram] = []
    names = [section.name for section in pattern.sections]
    if len(measures) == 6:
        drawn.append(StageDiagram("", "anatomy", "The parts of the sock", draw_anatomy(measures, names)))
    seen: set[object] = set()
    for record in records:
        for section, lines in groupby(record.lines, key=lambda line: line.section):
            drawn += _of_section(section, list(lines), pattern, seen, record.setup.startswith("long circular"))
    return tuple(drawn)


def _of_section(
    section: str, lines: Sequence[WorkedLine], pattern: Pattern, seen: set[object], loop: bool
) -> list[StageDiagram]:
    """Rows, shape, and the needles at its end; what was drawn already is not drawn again."""
    drawn: list[StageDiagram] = []
    rows = [line for line in lines if line.kind == "row" and line.before is not None]
    short = draw_rows(rows, rows[0].over) if rows else None
    if short is not None and (section, "rows") not in seen:
        seen.add((section, "rows"))
        drawn.append(StageDiagram(section, "rows", "Row by row", short))
    shape = draw_shape(lines, pattern.gauge)
    if shape is not None and (section, "shape") not in seen:
        seen.add((section, "shape"))
        drawn.append(StageDiagram(section, "shape", "Its shape", shape))
    last = next((line for line in reversed(lines) if line.needles and sum(line.needles) >= _LEAST), None)
    if last is not None and last.kind != "graft":
        regions = _regions_after(last)
        if (last.needles, regions) not in seen:
            seen.add((last.needles, regions))
            held = draw_needles(last.needles, regions, loop)
            drawn.append(StageDiagram(section, "needles", "On the needles", held))
    return drawn


def _regions_after(line: WorkedLine) -> tuple[tuple[str, int], ...]:
    """The regions as they are after a line: as before it where it changes no count, else none are told."""
    total = sum(count for _, count in line.regions)
    return line.regions if total == sum(line.needles) and line.kind in ("round", "arrange") else ()
