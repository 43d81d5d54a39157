"""The record as JSON: the shape that other programs rely on, and sums that hold all through it."""

from __future__ import annotations

import itertools
import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from grader.pipeline import Wanted, check, open_pattern
from grader.reporting import print_findings, print_sizes, record_json
from grader.vocabulary.findings import Finding, Severity, Span

SHIPPED = Path(__file__).parents[2] / "patterns" / "ninepenny_bridge.yaml"
KINDS = {
    *("rounds", "rows", "round", "row", "part_round", "repeat", "pick_up", "arrange", "cast_on", "bind_off", "graft"),
    *("gather", "rest", "rejoin", "note"),
}
WITH_NEEDLES = {"cast_on", "round", "part_round", "pick_up", "arrange"}
RUN_KEYS = {"size", "setup", "terms", "units", "size_index", "numbers", "gauge", "foot", "finished", "yarn", "steps"}
STEP_KEYS = {"section", "kind", "line", "times"}
Step = dict[str, Any]


@cache
def _told(terms: str) -> dict[str, Any]:
    pattern, _ = open_pattern(str(SHIPPED))
    assert pattern is not None
    checked = check(replace(pattern, bodies=pattern.bodies[4:7]), Wanted((), (terms,), "cm"))
    assert checked.is_sound
    socks = [(sock.graded, sock.record, 262.04, 61.96) for sock in checked.socks]
    found: dict[str, Any] = json.loads(json.dumps(record_json(pattern, socks)))
    return found


@pytest.fixture(params=["UK", "US"])
def told(request: pytest.FixtureRequest) -> dict[str, Any]:
    """The record of three sizes of the shipped pattern in all setups, as it comes back out of a file."""
    return _told(request.param)


def _steps(told: dict[str, Any]) -> list[Step]:
    return [step for run in told["runs"] for step in run["steps"]]


def test_the_head_names_pattern_and_version(told: dict[str, Any]) -> None:
    """Title and version, and one run for each size in each setup."""
    assert set(told) >= {"pattern", "version", "runs"}
    assert told["pattern"] == "Ninepenny Bridge plain socks"
    assert isinstance(told["version"], str)
    runs = [(run["size"], run["setup"]) for run in told["runs"]]
    assert len(runs) == len(set(runs)) == 12


def test_every_run_has_its_numbers(told: dict[str, Any]) -> None:
    """Size, setup, terms, units, graded numbers, gauge, foot, finished measures in cm, yarn for a pair."""
    for run in told["runs"]:
        assert set(run) >= RUN_KEYS
        assert run["gauge"] == {"stitches": 32, "rounds": 44, "per_cm": 10}
        assert set(run["foot"]) >= {"foot_circumference_cm", "foot_length_cm"}
        assert set(run["finished"]) == {"foot_circumference_cm", "foot_length_cm", "leg_length_cm"}
        assert run["yarn"] == {"metres_pair": 262.0, "grams_pair": 62.0}
        numbers = run["numbers"]
        assert numbers["cast_on"] == numbers["heel"] + numbers["instep"]
        assert run["finished"]["foot_circumference_cm"] == pytest.approx(numbers["cast_on"] / 3.2, abs=0.001)
        assert all(isinstance(numbers[name], int) for name in ("cast_on", "heel", "heel_rows", "pick_up", "toe_end"))
        assert run["terms"] in ("UK", "US")
        assert run["units"] == "cm"
    assert {run["size_index"] for run in told["runs"]} == {0, 1, 2}


def test_every_step_has_the_keys_of_its_kind(told: dict[str, Any]) -> None:
    """Section, kind, line and times always; side and region on rows; edges on a pick-up; regions at the cast-on."""
    for step in _steps(told):
        assert set(step) >= STEP_KEYS, step
        assert step["kind"] in KINDS
        assert step["times"] >= 1
        assert step["line"] == step["line"].strip() != ""
        assert ("side" in step) == (step["kind"] == "row"), step
        assert ("over" in step) == (step["kind"] == "row"), step
        assert step.get("side", "RS") in ("RS", "WS")
        assert ("edge" in step) == (step["kind"] == "pick_up")
        assert step.get("edge", ["left", "right"]) == ["left", "right"]
        assert ("block" in step) == ("block_times" in step)
        assert step.get("block_times", 2) >= 2
    firsts = [run["steps"][0] for run in told["runs"]]
    assert all(step["kind"] == "cast_on" and step["before"] == 0 for step in firsts)
    assert all(sum(count for _, count in step["regions"]) == step["after"] for step in firsts)


def test_needles_stand_on_rounds_and_moves_and_never_on_rows(told: dict[str, Any]) -> None:
    """Where they stand they add up to the stitches after the line."""
    seen = set()
    for step in _steps(told):
        assert ("needles" in step) == (step["kind"] in WITH_NEEDLES), step
        if "needles" in step:
            seen.add(step["kind"])
            assert sum(step["needles"]) == step["after"], step
            assert all(count > 0 for count in step["needles"])
    assert seen == WITH_NEEDLES


def _worked(run: dict[str, Any]) -> list[Step]:
    """Every line as often as it is worked, in working order."""
    found: list[Step] = []
    for _, group in itertools.groupby(enumerate(run["steps"]), key=lambda each: each[1].get("block") or str(each[0])):
        steps = [step for _, step in group]
        for _ in range(steps[0].get("block_times", 1)):
            for step in steps:
                found.extend([step] * step["times"])
    return found


def test_what_is_after_one_line_is_before_the_next(told: dict[str, Any]) -> None:
    """Through the round, and within each piece worked to and fro; repeats change no count unless unrolled."""
    for run in told["runs"]:
        total, piece = 0, 0
        for step in _worked(run):
            if step["kind"] == "row":
                assert step["before"] == (piece or run["numbers"]["heel"])
                total += step["after"] - step["before"]
                piece = step["after"]
                continue
            assert step["before"] == total, step
            total = step["after"]
        assert total == 0


def test_a_line_repeated_without_change_keeps_its_count(told: dict[str, Any]) -> None:
    """A line with `times` above one, or in a repeated block, has the same counts in each pass."""
    for run in told["runs"]:
        for step in run["steps"]:
            if step["times"] > 1:
                assert step["before"] == step["after"]
        blocks = itertools.groupby((step for step in run["steps"] if "block" in step), key=lambda step: step["block"])
        for _, group in blocks:
            steps = list(group)
            assert steps[0]["before"] == steps[-1]["after"]


def test_the_gusset_and_the_turn_come_to_their_numbers(told: dict[str, Any]) -> None:
    """Heel left after the turn, sole after the pick-up, the cast-on again after the gusset, the graft at the end."""
    for run in told["runs"]:
        numbers = run["numbers"]
        turn = [step for step in run["steps"] if step["section"] == "Heel turn" and step["kind"] == "row"]
        assert turn[-1]["after"] == numbers["heel_left"]
        pick_up = next(step for step in run["steps"] if step["kind"] == "pick_up")
        assert pick_up["before"] == numbers["heel_left"] + numbers["instep"]
        assert pick_up["after"] == pick_up["before"] + 2 * numbers["pick_up"]
        gusset = [step for step in run["steps"] if step["section"] == "Gusset" and step["kind"] == "round"]
        assert gusset[-1]["after"] == numbers["cast_on"]
        last = run["steps"][-1]
        assert (last["kind"], last["before"], last["after"]) == ("graft", numbers["toe_end"], 0)


def test_terms_change_the_words_and_nothing_else(told: dict[str, Any]) -> None:
    """UK and US runs have the same counts, line for line."""
    counts = [
        [(step["kind"], step["times"], step["before"], step["after"], step.get("needles")) for step in _steps(each)]
        for each in (_told("UK"), _told("US"))
    ]
    assert counts[0] == counts[1]


def test_findings_alike_in_many_sizes_are_told_once() -> None:
    """One place, one message; the sizes and setups it holds for are put together, and remarks are called so."""
    place = Span("socks.yaml", 7, 3)
    told: dict[str, Any] = {"expected": "8", "found": "7", "mend": "mend it"}
    alike = [
        replace(Finding("count", "wrong count", place, section="Toe"), sizes=(size,), setups=(setup,), **told)
        for size in ("S", "M")
        for setup in ("short circular", "long circular (magic loop)")
    ]
    text = print_findings([*alike, Finding("small", "too small", place, severity=Severity.REMARK)])
    assert text.count("wrong count") == 1
    assert text.startswith("socks.yaml:7:3: wrong count")
    assert "sizes S and M" in text
    assert "short circular and long circular (magic loop); Toe" in text
    assert "expected: 8   found: 7" in text
    assert "to mend it: mend it" in text
    assert "socks.yaml:7:3: remark: too small" in text
    assert print_findings([]) == ""


def test_the_size_table_tells_sock_ease_and_reasons() -> None:
    """A row a size with foot, sock and ease after rounding; with `why`, each number's rule and what rounding did."""
    pattern, _ = open_pattern(str(SHIPPED))
    assert pattern is not None
    checked = check(replace(pattern, bodies=pattern.bodies[6:8]), Wanted(("long circular (magic loop)",)))
    plain = print_sizes(pattern, checked.sizes)
    rows = plain.splitlines()
    assert rows[0].split()[:3] == ["size", "foot", "round"]
    assert [row.split()[0] for row in rows[1:3]] == [graded.body.name for graded in checked.sizes]
    assert "%" in rows[1]
    assert "Measurements of feet from:" in plain
    why = print_sizes(pattern, checked.sizes, why=True)
    assert "cast_on = " in why
    assert "a multiple of 4" in why
    assert len(why) > len(plain)
