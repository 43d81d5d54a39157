"""How far a fabric stretches against its width at rest. Source: `grader/data/stretch.yaml`, half of it estimates."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from grader.vocabulary.reference import exact, read_reference


@cache
def stretch_of(fabric: str) -> tuple[str, Fraction]:
    """The name of a fabric and its factor; `KeyError` for one that has none."""
    for row in read_reference("stretch")["rows"]:
        if row["fabric"] == fabric:
            return fabric, exact(row["factor"])
    raise KeyError(f"nothing says how far {fabric} stretches")
