"""The charts of feet that sizes are graded for: bare feet, in centimetres.

Sources: adults from a survey of 6068 feet (ANSUR II, 2014), children's lengths from a survey
of 1977; children's girths and the leg lengths are estimates. `grader/data/charts` says which
row rests on what, and how it was worked out.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from grader.vocabulary.bodies import Body
from grader.vocabulary.reference import exact, read_reference, reference_names

_MEASURES = ("foot_circumference", "foot_length", "leg_length")
OF_THE_LEG = ("ankle", "calf", "knee_height")  # only some charts have them


@cache
def chart_names() -> tuple[str, ...]:
    """The charts there are, in alphabetical order."""
    return reference_names("charts")


@cache
def read_chart(name: str) -> tuple[Body, ...]:
    """The feet of one chart, smallest first, with their measures in cm; `KeyError` names the charts there are."""
    if name not in chart_names():
        raise KeyError(f"no size chart {name!r}; there are {', '.join(chart_names())}")
    chart = read_reference(f"charts/{name}")
    return tuple(_body(row, chart["sources"]) for row in chart["rows"])


def chart_title(name: str) -> str:
    """What a chart calls itself, for the size table; `KeyError` as `read_chart`."""
    read_chart(name)
    return str(read_reference(f"charts/{name}")["title"])


def _body(row: dict[str, Any], sources: dict[str, dict[str, Any]]) -> Body:
    basis = sources[row["basis"]]
    source = f"{basis['organisation']}: {basis['title']} ({basis['year']}); {basis['status']}"
    measures = {measure: exact(row[measure]) for measure in (*_MEASURES, *OF_THE_LEG) if measure in row}
    return Body(row["name"], measures, row["note"], source)
