"""From a stitch pattern to its chart."""

from __future__ import annotations

from collections.abc import Sequence

from grader.charting.boxes import lined_up, padded_width
from grader.charting.filling import filled
from grader.charting.rows import Row, UnchartableError, row_of
from grader.models.chart import Chart, ChartRow
from grader.models.pattern import StitchPattern
from grader.notation import NotationError
from grader.notation.chart_text import MOST_COLUMNS, MOST_ROWS, read_chart

_PLAIN_ROUNDS = frozenset({"k", "p"})
_PLAIN_ROWS = frozenset({"k", "p", "sl"})


def chart(pattern: StitchPattern) -> Chart | None:
    """The chart of a stitch pattern: as its designer drew it, or made from its lines.

    None where no chart can show it: lines with formulas, markers or turns, rows that don't go on from one another,
    or more than 200 squares a side.
    """
    if pattern.chart:
        drawn, _ = read_chart(pattern.name, pattern.label, [each.text for each in pattern.chart], bool(pattern.rows))
        return drawn
    lines = [(each.text, "") for each in pattern.rounds]
    lines += [(each.text, ("RS", "WS")[number % 2]) for number, each in enumerate(pattern.rows)]
    if not 0 < len(lines) <= MOST_ROWS or len(pattern.rows) % 2:
        return None
    try:
        rows = lined_up([row_of(text, side) for text, side in lines])
    except (UnchartableError, NotationError):
        return None
    return _chart(pattern, rows)


def _chart(pattern: StitchPattern, rows: Sequence[Row]) -> Chart | None:
    widths = padded_width(rows)
    if not 0 < sum(widths) <= MOST_COLUMNS:
        return None
    before = filled([row.before for row in rows], widths[0])
    box = filled([row.box or () for row in rows], widths[1])
    after = filled([row.after for row in rows], widths[2])
    whole = [(*first, *middle, *last) for first, middle, last in zip(before, box, after, strict=True)]
    found = tuple(
        ChartRow(cells[::-1] if row.side == "WS" else cells, row.side) for row, cells in zip(rows, whole, strict=True)
    )
    return Chart(pattern.name, pattern.label, found, widths[0] if widths[1] else 0, widths[1])


_FEW = 3  # stitches that one round may have before a chart says more than its words


def is_worth_a_chart(chart: Chart) -> bool:
    """False for what words say as well: ribs of one round, stripes of knit and purl, the one pair of rows of a flap."""
    if len({cell.colour for row in chart.rows for cell in row.cells}) > 1:
        return True
    names = {cell.name for row in chart.rows for cell in row.cells}
    striped = all(len(set(row.cells)) == 1 for row in chart.rows)  # each row says itself in a word
    several = len(chart.rows) > (2 if chart.is_flat else 1)
    if len(chart.rows) == 1 and len(names) < _FEW and not any("/" in name or " " in name for name in names):
        return False  # a round of holes, say
    return (several and not striped) or not names <= (_PLAIN_ROWS if chart.is_flat else _PLAIN_ROUNDS)
