"""A chart in a pattern file becomes the rounds or rows that it draws, each with the place of its line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grader.loading.checks import Checks
from grader.loading.colours import check_line_colours
from grader.loading.tree import Node
from grader.models.pattern import Written
from grader.notation.chart_text import read_chart
from grader.notation.chart_words import chart_lines


@dataclass(frozen=True, slots=True)
class Charted:
    """The lines of a chart as drawn, top line first, and the instruction lines they stand for, first one first."""

    drawn: tuple[Written, ...]
    worked: tuple[Written, ...]


def charted(name: str, label: str, key: str, node: Node, checks: Checks) -> Charted:
    """Read the chart under `key` (chart: rounds, chart_rows: rows); nothing is worked where it has mistakes."""
    below = node.child(key) or node
    drawn = tuple(Written(item.text, item.at()) for item in below.items)
    chart, mistakes = read_chart(name, label, _texts(drawn), flat=key == "chart_rows")
    for mistake in mistakes:
        place = below.child(mistake.line) or below
        checks.add("chart", mistake.message, place.at(mistake.offset), mistake.mend)
    if chart is None:
        return Charted(drawn, ())
    for item in below.items:
        check_line_colours(item.text, item, checks)
    worked = zip(chart_lines(chart), reversed(drawn), strict=True)
    return Charted(drawn, tuple(Written(line, drawing.span) for line, drawing in worked))


def _texts(drawn: Sequence[Written]) -> tuple[str, ...]:
    return tuple(each.text for each in drawn)
