"""The test-knit works a right record in the trade's varied words, in four setups, to the very counts it states."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from grader.inspection.balance import check_balance
from grader.inspection.fabric import check_fabric
from grader.models.instructions import Instructions
from grader.testknit import knit
from grader.vocabulary.findings import Ledger

from .worked import expected_passes, instructions_of, passes, worked_runs

RUNS = worked_runs()
SETUPS = [run["setup"] for run in RUNS]


def differences(run: dict[str, Any], instructions: Instructions) -> list[str]:
    """Where a knitted sock is not as its record says, or not as an editor wants it."""
    record, findings = knit(instructions, house_style=False)
    ledger = Ledger()
    check_balance(record, ledger)
    check_fabric(record, ledger)
    wrong = [f"{finding.code}: {finding.line}: {finding.message}" for finding in (*findings, *ledger.entries)]
    worked, expected = list(passes(record)), list(expected_passes(run))
    if len(worked) != len(expected):
        wrong.append(f"{len(worked)} lines worked, {len(expected)} on record")
    for line, (step, first, last) in zip(worked, expected, strict=False):
        # `times` of one line gives what is after all of them; a block gives what is after each line of its first pass
        stated = first if "block" in step else last
        if first and line.before != step["before"]:
            wrong.append(f"{step['line']}: before {line.before}, not {step['before']}")
        if stated and line.after != step["after"]:
            wrong.append(f"{step['line']}: after {line.after}, not {step['after']}")
        if stated and list(line.needles) != step.get("needles", list(line.needles)):
            wrong.append(f"{step['line']}: needles {line.needles}, not {step['needles']}")
    return wrong


@pytest.mark.parametrize("run", RUNS, ids=SETUPS)
def test_every_step_has_the_counts_on_record(run: dict[str, Any]) -> None:
    """Stitches before and after, and on each needle, agree at every step; the last stitch is grafted."""
    instructions = instructions_of(run)
    assert differences(run, instructions) == []
    assert knit(instructions, house_style=False)[0].left_on_needles == 0


@pytest.mark.parametrize("run", RUNS, ids=SETUPS)
def test_a_number_of_a_line_that_is_one_too_many_shows(run: dict[str, Any]) -> None:
    """Each number of each wording, raised by one wherever that line stands, gives a finding or another count."""
    survivors = []
    for text in dict.fromkeys(step["line"] for step in run["steps"] if "a tail of" not in step["line"]):
        for match in re.finditer(r"\d+", text):
            wrong = f"{text[: match.start()]}{int(match[0]) + 1}{text[match.end() :]}"
            steps = [{**each, "line": wrong} if each["line"] == text else each for each in run["steps"]]
            if not differences(run, instructions_of({**run, "steps": steps})):
                survivors.append(wrong)
    assert survivors == []


def test_the_house_style_is_asked_for_unless_other_words_are_allowed() -> None:
    """Our own pages must print as they read, so that other words on them are a finding."""
    record, findings = knit(instructions_of(RUNS[1]))
    assert [finding.code for finding in findings] == ["unread"]
    assert record.lines == ()


def test_a_bare_cast_on_is_spread_as_the_setup_usually_is() -> None:
    """A quarter on each of four needles; a quarter, a half and a quarter on three; halves on a long circular."""
    spread = {run["setup"]: knit(instructions_of(run), house_style=False)[0].lines[0].needles for run in RUNS}
    assert spread == {
        "short circular": (64,),
        "long circular (magic loop)": (32, 32),
        "double-pointed, set of 5": (16, 16, 16, 16),
        "double-pointed, set of 4": (16, 32, 16),
    }


def test_a_turn_within_a_round_must_be_followed_by_a_row() -> None:
    """After "K16, turn" a wrong-side row goes back; a round there is a finding."""
    run = next(each for each in RUNS if each["setup"].endswith("4"))
    instructions = instructions_of(run)
    at = next(i for i, step in enumerate(run["steps"]) if step["line"] == "K16, turn")
    assert run["steps"][at + 1]["side"] == "WS"
    sections = list(instructions.sections)
    leg, flap = sections[1], sections[2]
    sections[2] = replace(flap, blocks=(flap.blocks[0], leg.blocks[0]))
    codes = [each.code for each in knit(replace(instructions, sections=tuple(sections)), house_style=False)[1]]
    assert codes == ["turn"]
