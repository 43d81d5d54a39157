"""How many stitches are lifted in the corners of a pick-up: one, or the two that some knitters take (published)."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from grader.loading import load_language, load_text
from grader.pipeline import Checked, Wanted, check, reread
from grader.resources import folder
from grader.testknit import knit
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

from .combining import pattern_of

_PARTS = ("cuff-rolled", "leg-straight", "{flap}", "turn-round", "gusset", "foot-plain", "toe-wedge")
_FOOT = "{own: [{name: M, foot_circumference: 22 cm, foot_length: 25 cm, leg_length: 16 cm}]}"


@cache
def _knitted(own: str, flap: str = "heel-flap-slipped") -> Checked:
    text = pattern_of(tuple(part.format(flap=flap) for part in _PARTS), own=own)
    pattern, findings = load_text(
        text.replace("{chart: adult-feet}", _FOOT), str(folder("patterns") / "x.yaml"), read_chart
    )
    assert pattern is not None, findings
    return check(pattern, Wanted())


def _wrong(findings: tuple[Finding, ...] | list[Finding]) -> list[str]:
    return [each.message for each in findings if each.is_error]


@pytest.mark.parametrize("flap", ["heel-flap-slipped", "heel-flap-plain", "heel-flap-garter-edged"])
def test_two_are_lifted_where_the_pattern_says_so(flap: str) -> None:
    checked = _knitted("  corner_stitches: {exactly: 2}\n", flap)
    assert _wrong(checked.findings) == []
    assert len(checked.socks) == 4
    for sock in checked.socks:
        assert sock.graded.count("pick_up") == sock.graded.count("heel_rows") // 2 + 2
        line = next(line.text for line in sock.record.lines if line.kind == "pick_up")
        assert line.count("edge of the heel flap including 2 in the corner") == 2


def test_one_is_lifted_where_nothing_is_said() -> None:
    """The line reads as ever, and two more than there are chains is too much."""
    checked = _knitted("")
    assert _wrong(checked.findings) == []
    assert not any("corner" in line.text for sock in checked.socks for line in sock.record.lines)
    too_many = _knitted("  pick_up: {exactly: heel_rows / 2 + 2}\n")
    assert {each.partition(" sts to pick up")[2] for each in _wrong(too_many.findings)} == {
        " along the left edge, which offers 17"
    }


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (" including 2 in the corner", "", "18 sts to pick up along the left edge, which offers 17"),
        ("including 2", "including 3", "3 sts to lift in a corner, which has two strands"),
        ("knit 18", "knit 17", "16 chains and 2 sts in the corner are not 17 sts along the left edge"),
    ],
)
def test_the_test_knit_learns_it_from_the_print_alone(old: str, new: str, words: str) -> None:
    checked = _knitted("  corner_stitches: {exactly: 2}\n")
    sock = next(sock for sock in checked.socks if sock.instructions.setup == "double-pointed, set of 5").instructions
    sections = tuple(
        replace(
            section,
            blocks=tuple(
                replace(block, lines=tuple(replace(line, text=line.text.replace(old, new)) for line in block.lines))
                for block in section.blocks
            ),
        )
        for section in sock.sections
    )
    _, findings = knit(replace(sock, sections=sections))
    assert words in _wrong(findings)


@pytest.mark.parametrize("number", ["3", "0", "heel"])
def test_a_corner_has_no_more_than_two(number: str) -> None:
    checked = _knitted(f"  corner_stitches: {{exactly: {number}}}\n  pick_up: {{exactly: heel_rows / 2 + 1}}\n")
    assert any("sts to lift in a corner: it has two strands at the most" in each for each in _wrong(checked.findings))


@pytest.mark.parametrize("tag", ["de", "fr"])
def test_it_is_read_back_in_every_language(tag: str) -> None:
    language, findings = load_language(tag)
    assert language is not None, findings
    assert reread(_knitted("  corner_stitches: {exactly: 2}\n").socks, language) == []
