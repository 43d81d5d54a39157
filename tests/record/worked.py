"""A right record of one sock in four needle setups, told in the varied words of other pages, as instructions."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from grader.models.instructions import Block, Instructions, PrintedLine, Regions, SectionLines
from grader.models.record import Record, WorkedLine
from grader.vocabulary.findings import Span

RECORD = Path(__file__).parents[1] / "data" / "worked_record.json"
Step = dict[str, Any]


def worked_runs() -> list[dict[str, Any]]:
    """The runs of the record, one a setup."""
    runs: list[dict[str, Any]] = json.loads(RECORD.read_text(encoding="utf-8"))["runs"]
    return runs


def regions_of(run: dict[str, Any], step: Step) -> Regions:
    """The stretches of the round as the page gives them: at the cast-on, and anew after the pick-up."""
    heel, instep = run["numbers"]["heel"], run["numbers"]["instep"]
    from_centre = run["setup"].startswith("double-pointed")
    if step["kind"] == "cast_on":
        start_in_heel = run["setup"].endswith("4")  # the quarter, the half and the quarter of a set of four
        return (
            (("heel", heel // 2), ("instep", instep), ("heel", heel // 2))
            if start_in_heel
            else (
                ("heel", heel),
                ("instep", instep),
            )
        )
    if step["section"] == "Gusset" and step["kind"] == "round":
        sole = step["before"] - instep
        halves = (("sole", sole // 2), ("instep", instep), ("sole", sole // 2))
        return halves if from_centre else (("instep", instep), ("sole", sole))
    return ()


def instructions_of(run: dict[str, Any]) -> Instructions:
    """A run as instructions: steps of one block together, `times` as they stand."""
    sections = []
    for place, (name, steps) in enumerate(groupby(run["steps"], key=lambda step: str(step["section"]))):
        blocks = []
        for number, group in enumerate(blocks_of(list(steps))):
            lines = tuple(_printed(run, step) for step in group)
            blocks.append(Block((place, number), lines, times=group[0]["times"]))
        sections.append(SectionLines(name, "", tuple(blocks)))
    return Instructions(run["size"], 0, run["setup"], run["terms"], tuple(sections))


def blocks_of(steps: list[Step]) -> Iterator[list[Step]]:
    """Steps that share a block id together, every other one by itself."""
    group: list[Step] = []
    for step in steps:
        if group and step.get("block", "") and step.get("block") == group[0].get("block"):
            group.append(step)
            continue
        if group:
            yield group
        group = [step]
    if group:
        yield group


def _printed(run: dict[str, Any], step: Step) -> PrintedLine:
    return PrintedLine(
        step["line"],
        step["kind"],
        Span("worked_record.json", 1, 1),
        side=step.get("side", ""),
        over=step.get("over", ""),
        regions=regions_of(run, step),
        fabric={"Cuff": "rib", "Heel flap": "flap"}.get(step["section"], ""),
    )


def passes(record: Record) -> Iterator[WorkedLine]:
    """Every line as often as it was worked, in working order."""
    at = 0
    while at < len(record.lines):
        block = [line for line in record.lines[at:] if record.lines[at].block and line.block == record.lines[at].block]
        block = block or [record.lines[at]]
        for _ in range(block[0].block_times):
            for line in block:
                for _ in range(line.times):
                    yield line
        at += len(block)


def expected_passes(run: dict[str, Any]) -> Iterator[tuple[Step, bool, bool]]:
    """Every step as often as it is worked, with whether this is its first and its last pass."""
    for _, steps in groupby(run["steps"], key=lambda step: str(step["section"])):
        for group in blocks_of(list(steps)):
            times = group[0]["times"]
            for each in range(times):
                for step in group:
                    yield step, each == 0, each == times - 1
