"""What a designer says at a step reaches the knitter, in every setup, whatever the step comes to there."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from shipped import NAMES, knitted_whole

from grader.models.pattern import Step

_SLOT = re.compile(r"\{[^}]*\}")


def _steps(steps: tuple[Step, ...]) -> Iterator[Step]:
    for step in steps:
        if step.when is None:  # a step may be left out
            yield step
            yield from _steps(step.steps)


@pytest.mark.parametrize("name", NAMES)
def test_no_word_of_a_step_is_lost(name: str) -> None:
    checked = knitted_whole(name)
    middle = checked.sizes[len(checked.sizes) // 2]
    socks = [sock for sock in checked.socks if sock.graded is middle]
    assert socks
    for sock in socks:
        blocks = [block for section in sock.instructions.sections for block in section.blocks]
        told = " ".join(f"{block.say} {block.why} {block.check}" for block in blocks)
        for section in checked.pattern.sections:
            for step in _steps(section.steps):
                for written in (step.say, step.why, step.check):
                    if written is None or step.overrides:
                        continue
                    words = ".*".join(re.escape(part) for part in _SLOT.split(written.text.strip()))
                    assert re.search(words, told, re.DOTALL), (sock.instructions.setup, section.name, written.text)
