"""What the record says of needles and markers holds together from line to line, in every pattern and many combinations.

Rules of the notation: stitches change needle only where a line says so, each round, part of a round, pick-up and
arrangement tells what every needle holds, and a marker is there only after it was placed.
"""

from __future__ import annotations

import itertools
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest
import shipped

from grader.loading import load_text
from grader.models.record import Record, WorkedLine
from grader.pipeline import Checked, Wanted, check
from grader.reporting import record_json
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart
from tests.parts.combining import combinations, pattern_of

_TELLS_NEEDLES = ("cast_on", "round", "part_round", "pick_up", "arrange", "waste_yarn", "open")
_SAMPLE = random.Random(10).sample(tuple(combinations()), 12)
_WHICH = (*shipped.NAMES, *range(len(_SAMPLE)))


@cache
def _checked(which: str | int) -> Checked:
    """A pattern that ships, or two sizes of a combination of parts."""
    if isinstance(which, str):
        return shipped.knitted_whole(which)
    parts = _SAMPLE[which]
    text = pattern_of(parts, "legs" if "leg-calf" in parts else "all-feet")
    pattern, findings = load_text(text, str(folder("patterns") / "combined.yaml"), read_chart)
    assert pattern is not None, findings
    bodies = pattern.bodies[which % 5 :: 7]
    return check(replace(pattern, bodies=bodies[:2]), Wanted())


def _records(which: str | int) -> Iterator[Record]:
    yield from (record for sock in _checked(which).socks for record in sock.records)


def _worked(record: Record) -> list[WorkedLine]:
    return [line for line in record.lines if line.before is not None]


@pytest.mark.parametrize("which", _WHICH)
def test_no_stitches_are_moved_in_vain(which: str | int) -> None:
    """Between two moves of stitches something is worked, and a move moves something."""
    for record in _records(which):
        lines = _worked(record)
        for one, other in itertools.pairwise(lines):
            assert (one.kind, other.kind) != ("arrange", "arrange"), (record.setup, one.text, other.text)
            if other.kind == "arrange" and one.needles:
                assert one.needles != other.needles or other.text.startswith(("Change to", "Take off")), other.text


@pytest.mark.parametrize("which", _WHICH)
def test_every_line_tells_what_each_needle_holds(which: str | int) -> None:
    """No needle is told empty, none forgotten; a part of a round leaves as many in use as there were."""
    for record in _records(which):
        held: tuple[int, ...] = ()
        for line in _worked(record):
            if line.kind not in _TELLS_NEEDLES:
                continue
            assert sum(line.needles) == line.after, (record.setup, line)
            assert all(line.needles) or not line.after
            if line.kind == "part_round" and record.setup != "short circular":
                assert len(line.needles) in (len(held), len(held) - 1), (record.setup, line.text, held, line.needles)
                assert len(line.needles) > 1, (record.setup, line.text, held, line.needles)
            held = line.needles


@pytest.mark.parametrize("which", _WHICH)
def test_markers_come_and_go_where_a_line_says_so(which: str | int) -> None:
    """On one circular needle: stretches between markers are more after pm, fewer after they are taken off."""
    for record in _records(which):
        if record.setup != "short circular":
            continue
        stretches = 1
        for line in _worked(record):
            if line.kind == "rest":
                assert stretches == 1, f"{record.size}: {stretches - 1} markers lie within the round: {line.text}"
            if line.kind not in _TELLS_NEEDLES:
                continue
            now = len(line.needles)
            if line.kind == "arrange" and "Change to double-pointed" in line.text:
                break
            placed = len(re.findall(r"\bpm\b(?! for start)", line.text))
            if "Take off" in line.text:
                assert now == 1
            elif line.kind in ("round", "part_round"):
                assert now == stretches + placed, (record.size, line.text, line.needles)
            stretches = now


def test_the_record_says_what_is_cast_on() -> None:
    """A knee sock casts on more than its foot has, a sock from the toe up fewer; both are told by their own names."""
    told = {}
    for name in shipped.NAMES:
        checked = shipped.knitted_whole(name)
        socks = [(sock.graded, record, 0.0, 0.0) for sock in checked.socks for record in sock.records]
        for run in record_json(checked.pattern, socks)["runs"]:
            first = next(step for step in run["steps"] if step["kind"] == "cast_on")
            assert run["numbers"]["cast_on"] == first["after"], (name, run["size"])
            told[name] = "foot_stitches" in run["numbers"]
    assert told["high_moor"]
    assert not told["ninepenny_bridge"]
