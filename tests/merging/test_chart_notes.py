"""What a note in the margin says of a chart: the round that stands beside it is the one it begins with."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from shipped import pattern_named
from written import markdown_of

from grader.pipeline import Wanted, check

NOTE = re.compile(r"\*\*Chart:\*\* [^,\n]+(?:, beginning with its round (\d+))?")


@pytest.mark.parametrize("name", ["quayside", "high_moor"])
def test_the_first_note_of_a_section_names_the_first_round_of_the_chart_in_it(name: str) -> None:
    pattern = pattern_named(name)
    checked = check(replace(pattern, bodies=pattern.bodies[2:3]), Wanted(("long circular (magic loop)",)))
    text = markdown_of(checked)
    seen = set()
    for section in checked.socks[0].instructions.sections:
        lines = [line for block in section.blocks for line in block.lines]
        first = next((line.round_of for line in lines if line.round_of), 0)
        if not first or any(line.kind == "pick_up" for line in lines):  # a pick-up is a round without a number
            continue
        printed = text.partition(f"\n## {section.name}\n")[2].partition("\n## ")[0]
        note = NOTE.search(printed)
        if note is None:
            continue
        seen.add(section.name)
        assert int(note[1] or 1) == first, section.name
    assert "Foot" in seen
