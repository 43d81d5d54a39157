"""Feet for the loading tests: a small chart, so that no test depends on the charts that ship."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grader.loading import Charts
from grader.vocabulary.bodies import Body


def _feet(name: str) -> tuple[Body, ...]:
    if name not in ("feet", "adult-feet", "all-feet"):
        raise KeyError(name)
    rows = (("S", 21, 24), ("M", 22, 25))
    return tuple(
        Body(size, {"foot_circumference": Fraction(girth), "foot_length": Fraction(length), "leg_length": Fraction(18)})
        for size, girth, length in rows
    )


@pytest.fixture(scope="session")
def charts() -> Charts:
    return _feet
