"""Regular expressions see what others typed: none may take more than linear time, which the proof can tell."""

from __future__ import annotations

import pytest

from .expressions import written
from .linear import faults


def test_every_regular_expression_is_read_in_linear_time() -> None:
    several = {(each.pattern, each.flags, each.how): each for each in written()}
    assert len(several) > 200
    slow = {f"{each.module}:{each.line}": faults(*key) for key, each in several.items()}
    assert {place: why for place, why in slow.items() if why} == {}


@pytest.mark.parametrize(
    ("pattern", "how", "why"),
    [
        (r"(a*)*b", "match", "exponential"),
        (r"(a|a)*b", "match", "exponential"),
        (r"(?:a?b?)*c", "match", "exponential"),
        (r"(?:a|b|ab)*c", "match", "exponential"),
        (r"(?:\d+(?:,\d+)?,?)*!", "fullmatch", "exponential"),
        (r"\s*\s*x", "match", "one loop ends where another may"),
        (r"\s*([-+]?)\s*(\d+)?\s*(cm)?\s*", "fullmatch", "one loop ends where another may"),
        (r"x*y*x*z", "match", "one loop ends where another may"),
        (r"(.*?)[\s,]*(?:in)?\s*", "fullmatch", "one loop ends where another may"),
        (r"\d+ sts", "search", "searched from every place"),
        (r"\s+found:", "search", "searched from every place"),
        (r"!\[[^\]]*\]", "search", "searched from every place"),
        (r"\*(?![^{}]*\})", "search", "searched from every place"),
        (r"\*\*(?:(?!\*\*).)+\*\*", "search", "searched from every place"),
    ],
)
def test_an_expression_that_may_take_long_is_found(pattern: str, how: str, why: str) -> None:
    assert any(why in each for each in faults(pattern, 0, how))


@pytest.mark.parametrize(
    ("pattern", "how"),
    [
        (r"\s*+([-+]?)\s*+(\d++)?\s*+(cm)?\s*+", "fullmatch"),
        (r"(?<!\d)\d+ sts", "search"),
        (r"(?<!\s)\s+found:", "search"),
        (r"\b\w+:", "search"),
        (r"!\[[^\[\]]*\]", "search"),
        (r"\*\*(?:[^*]|\*(?!\*))+\*\*", "search"),
        (r"\{[^{}]*\}", "search"),
        (r"\w+(?:\.\w+)*", "search"),
        (r"[a-z]{0,100} sts", "search"),
        (r"(?:, \d+)*!", "match"),
        (r"^\s*x", "search"),
    ],
)
def test_an_expression_that_reads_each_character_a_few_times_passes(pattern: str, how: str) -> None:
    assert faults(pattern, 0, how) == []
