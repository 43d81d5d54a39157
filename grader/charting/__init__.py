"""The stage that draws a stitch pattern as a chart: its lines as squares, their symbols, and the key.

The story: `rows` turns the lines into cells, `boxes` gives all rows one repeat box, `filling` puts squares
without a stitch where a row has fewer; `drawing` lays the squares out, `shapes` holds the strokes of the symbols,
`key` says what they mean.
"""

from __future__ import annotations

from grader.charting.drawing import chart_size, draw_chart
from grader.charting.key import chart_key
from grader.charting.making import chart, is_worth_a_chart

__all__ = ["chart", "chart_key", "chart_size", "draw_chart", "is_worth_a_chart"]
