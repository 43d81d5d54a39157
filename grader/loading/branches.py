"""Which branch of a union a value of the file takes, by its looks alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any


def shape(value: Any) -> str:
    """A map, a list, or a text where neither stands."""
    return "(map)" if isinstance(value, dict) else "(list)" if isinstance(value, list) else "(text)"


def map_or_not(value: Any) -> str:
    """A map, or a text."""
    return "(map)" if shape(value) == "(map)" else "(text)"


def list_or_not(other: str) -> Callable[[Any], str]:
    """A list, or the `other`."""
    return lambda value: "(list)" if isinstance(value, list) else other


def edge_or_region(value: Any) -> str:
    """A stretch of a pick-up: an edge, or a region."""
    return "(edge)" if isinstance(value, dict) and any("edge" in key for key in value) else "(region)"
