"""Versions of the pattern that ships, each knitted once: some sizes in some setups, one thing changed."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from grader.loading import load_text
from grader.pipeline import Checked, Wanted, check
from grader.vocabulary.size_charts import read_chart

ROOT = Path(__file__).resolve().parents[2]
Change = tuple[str, str]
Version = Callable[..., Checked]


def base() -> str:
    """Two sizes in two setups, without the samples, which hold for one version only."""
    text = (ROOT / "patterns" / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    begin, end = text.index("# The designer's own samples"), text.index("# For one knitter's own foot")
    text = text[:begin] + text[end : text.index("# What each version changed")]
    small = 'sizes: {chart: all-feet, choose: ["4", "8"]}\nsetups: [long circular, double-pointed set of 5]\n'
    return changed(text, ("sizes: {chart: all-feet}\n", small))


def changed(text: str, *changes: Change) -> str:
    """The text with each old piece replaced once by its new one."""
    for old, new in changes:
        assert text.count(old) >= 1, f"{old!r} is no longer in the pattern"
        text = text.replace(old, new, 1)
    return text


@pytest.fixture(scope="session")
def version() -> Version:
    """The pattern with each (old, new) text replaced once, checked in UK or US terms."""

    @cache
    def make(*changes: Change, terms: str = "UK") -> Checked:
        pattern, findings = load_text(changed(base(), *changes), "pattern.yaml", read_chart)
        assert pattern is not None, findings
        return check(pattern, Wanted((), (terms,), "cm"))

    return make
