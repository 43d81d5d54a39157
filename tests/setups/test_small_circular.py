"""The small circular needle has one limit: no round on it has fewer stitches, and all who speak of it say the same."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from constructions.socks import CONSTRUCTIONS, checked_text
from parts.combining import pattern_of
from shipped import NAMES, pattern_named
from written import markdown_of

from grader.pipeline import Checked, Wanted, check
from grader.publishing import Edition
from grader.reporting import print_findings

SMALL = "short circular"
GAUGES = {"as written": None, "5.7 sts to the inch": Fraction(57, 10) / Fraction(254, 100)}
_LIMITS = re.compile(r"(\d+) sts or more|\bit takes (\d+)")  # as page, remark and finding put it


@cache
def on_the_small_circular(name: str, gauge: str) -> Checked:
    """A pattern that ships, or one put together of parts, on the small circular needle only."""
    if name not in NAMES:
        return checked_text(pattern_of(CONSTRUCTIONS[name]), setups=(SMALL,))
    pattern, stitches = pattern_named(name), GAUGES[gauge]
    if stitches is not None:
        other = replace(pattern.gauge, stitches=stitches, rounds=stitches * Fraction(4, 3))
        pattern = replace(pattern, gauge=other, samples=(), gauge_changed=True)
    return check(pattern, Wanted((SMALL,)))


def _limits(text: str) -> set[int]:
    return {int(number) for found in _LIMITS.findall(text) for number in found if number}


CASES = [(name, gauge) for name in NAMES for gauge in GAUGES] + [(name, "as written") for name in CONSTRUCTIONS]


@pytest.mark.parametrize(("name", "gauge"), CASES)
def test_no_round_on_it_has_fewer_stitches_than_its_page_says(name: str, gauge: str) -> None:
    """Rounds on one needle are on the circular; those on double-pointed needles lie on four."""
    checked = on_the_small_circular(name, gauge)
    socks = [sock for sock in checked.socks if sock.instructions.setup == SMALL]
    if not socks:
        pytest.skip("no size is wide enough for it")
    (limit,) = _limits(markdown_of(checked))
    assert limit * Fraction("1.7") / checked.pattern.gauge.stitches >= 23  # stretched to its length
    rounds = [line for sock in socks for record in sock.records for line in record.lines if line.kind == "round"]
    held = [line.after or 0 for line in rounds if len(line.needles) == 1]
    assert held
    assert min(held) >= limit
    assert "reach" not in {each.code for each in checked.findings}


@pytest.mark.parametrize(("name", "gauge"), CASES)
def test_page_and_terminal_say_one_limit(name: str, gauge: str) -> None:
    checked = on_the_small_circular(name, gauge)
    remarks = print_findings(checked.findings)
    said = _limits(markdown_of(checked)) | _limits(remarks) if checked.socks else _limits(remarks)
    assert len(said) == 1
    if checked.socks:
        one = replace(checked, sizes=checked.sizes[-1:], socks=checked.socks[-1:])
        assert _limits(markdown_of(one, Edition(one_size=True))) == said
