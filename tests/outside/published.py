"""Reads the published figures, each with its source, for the tests beside it."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

Row = dict[str, Any]


@cache
def tables() -> dict[str, dict[str, Any]]:
    """Every table of the files beside this one: source, status, units, doubts and rows."""
    contents: dict[str, dict[str, Any]] = {}
    for name in ("published.yaml", "constructions.yaml", "shoes.yaml"):
        contents |= yaml.safe_load(Path(__file__).with_name(name).read_text(encoding="utf-8"))
    return contents


def published(key: str) -> list[Row]:
    """The rows of one table, each with its `source` (its own, or the table's)."""
    table = tables()[key]
    return [{"source": table["source"], **row} for row in table["rows"]]


def cases(key: str) -> list[Any]:
    """The rows of one table as test cases; the id ends in the source, so that a failure names it."""
    found = []
    for row in published(key):
        single = [str(value) for name, value in row.items() if name != "source" and not isinstance(value, list)]
        figures = "-".join(single)
        found.append(pytest.param(row, id=f"{figures or 'row'} [{row['source']}]"))
    return found


def figures_in(value: object) -> int:
    """How many single figures or words to be compared a value holds."""
    if isinstance(value, dict):
        return sum(figures_in(each) for name, each in value.items() if name != "source")
    if isinstance(value, list):
        return sum(figures_in(each) for each in value)
    return 1
