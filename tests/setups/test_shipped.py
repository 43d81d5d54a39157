"""The pattern that ships, at three gauges and in every setup: what the hands hold can be held, and is told."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from record.worked import passes

from grader.models.pattern import Pattern
from grader.models.record import WorkedLine
from grader.pipeline import Checked, Sock, check, open_pattern
from grader.setups import setup_names
from grader.vocabulary.findings import Finding

SHIPPED = Path(__file__).parents[2] / "patterns" / "ninepenny_bridge.yaml"
GAUGES = ((28, 40), (32, 44), (36, 50))
MOVES = ("cast_on", "part_round", "pick_up", "arrange")


@cache
def _worked(gauge: tuple[int, int]) -> Checked:
    pattern, _ = open_pattern(str(SHIPPED))
    assert pattern is not None
    return check(at_gauge(pattern, gauge))


def at_gauge(pattern: Pattern, gauge: tuple[int, int]) -> Pattern:
    """The same pattern for every second of its sizes, at another gauge to 10 cm."""
    counted = replace(pattern.gauge, stitches=Fraction(gauge[0], 10), rounds=Fraction(gauge[1], 10))
    return replace(pattern, gauge=counted, bodies=pattern.bodies[::2], samples=(), gauge_changed=True)


@pytest.fixture(params=GAUGES, ids=[f"{sts} x {rounds}" for sts, rounds in GAUGES])
def worked(request: pytest.FixtureRequest) -> Checked:
    """The pattern worked at one gauge."""
    return _worked(request.param)


def _socks(worked: Checked, setup: str = "") -> list[Sock]:
    return [sock for sock in worked.socks if setup in sock.instructions.setup]


def _needled(sock: Sock) -> list[WorkedLine]:
    return [line for line in sock.record.lines if line.needles]


def test_every_sock_knits_up_but_those_whose_foot_is_too_short(worked: Checked) -> None:
    """What was written out in a setup was knitted to its last stitch; what was not has a finding that says why."""
    assert all(sock.record.left_on_needles == 0 for sock in worked.socks)
    wrong = {finding.code for finding in worked.findings if finding.is_error}
    assert wrong <= {"no-legal-number", "ease"}
    told = {(size, setup) for each in worked.findings for size in each.sizes for setup in each.setups or setup_names()}
    for body, setup in itertools.product(worked.pattern.bodies, setup_names()):
        written = any((s.graded.body, s.instructions.setup) == (body, setup) for s in worked.socks)
        assert written or (body.name, setup) in told


def test_each_needle_of_the_rib_holds_whole_repeats(worked: Checked) -> None:
    """K2, P2 is never cut by the join of two needles: every needle's count divides by four."""
    seen = 0
    for sock in worked.socks:
        for line in _needled(sock):
            if line.fabric == "cuff":
                seen += 1
                assert [count % 4 for count in line.needles] == [0] * len(line.needles), line
    assert seen >= 20


def test_where_a_line_speaks_of_regions_they_begin_with_needles(worked: Checked) -> None:
    """Before every round told needle by needle, each region begins and ends at a join."""
    seen = 0
    for sock in worked.socks:
        if sock.instructions.setup == "short circular":
            continue
        for before, line in itertools.pairwise(_needled(sock)):
            if line.kind == "round" and "(" in line.text.split(":")[0]:
                seen += 1
                joins = set(itertools.accumulate(before.needles))
                assert {*itertools.accumulate(count for _, count in line.regions)} <= joins, line
    assert seen >= 10


def test_stitches_change_needle_only_where_a_step_says_so(worked: Checked) -> None:
    """A round leaves the stitches where they are; a cast-on, pick-up, part-round or arrange step moves them."""
    for sock in worked.socks:
        for before, line in itertools.pairwise(_needled(sock)):
            if line.kind in MOVES or sock.instructions.setup == "short circular":
                continue
            assert len(line.needles) == len(before.needles), line
            if not line.shaping:
                assert line.needles == before.needles, line


def test_no_needle_holds_fewer_than_two_stitches(worked: Checked) -> None:
    """A needle with one stitch or none falls out; there is none in any round of any sock."""
    least = min(count for sock in worked.socks for line in _needled(sock) for count in line.needles)
    assert least >= 2


def test_needles_hold_all_the_stitches(worked: Checked) -> None:
    """At every step that tells its needles they add up to all live stitches."""
    for sock in worked.socks:
        for line in _needled(sock):
            assert sum(line.needles) == line.after, line


def test_the_small_circular_is_left_at_the_first_round_that_would_not_reach(worked: Checked) -> None:
    """Up to the change every round reaches round the needle; the first pass after it would not have."""
    fewest = worked.pattern.fewest_on_circular
    changed = 0
    for sock in _socks(worked, "short circular"):
        lines = [line for line in sock.record.lines if line.kind in ("round", "arrange")]
        at = next(place for place, line in enumerate(lines) if line.text.startswith("Change to"))
        changed += 1
        assert all((line.after or 0) >= fewest for line in lines[:at])
        following = next(line for line in lines[at:] if line.shaping)
        assert (following.after or 0) < fewest
        assert [line.text for line in lines].count(lines[at].text) == 1
    assert changed >= 4


def test_a_sock_too_small_for_the_circular_is_left_out_with_a_remark(worked: Checked) -> None:
    """The remark names the size, the setup and how many stitches it would take; it stops nothing else."""
    remarks = [each for each in worked.findings if each.code == "too-small-for-circular"]
    written = {sock.graded.body.name for sock in _socks(worked, "short circular")}
    graded = {each.body.name for each in worked.sizes}
    assert {size for each in remarks for size in each.sizes} == graded - written
    for each in remarks:
        assert not each.is_error
        assert each.setups == ("short circular",)
        assert _number(each.found) < _number(each.expected)
        assert "double-pointed" in each.mend


def _number(text: str) -> int:
    return int(text.split()[0])


def test_moving_the_start_of_the_round_is_printed(worked: Checked) -> None:
    """After the pick-up a part-round leads to where the round starts, and a note says which needle is which."""
    for sock in worked.socks:
        gusset = next(each for each in sock.instructions.sections if each.name == "Gusset")
        kinds = [block.lines[0].kind for block in gusset.blocks if block.lines]
        assert kinds[:2] == ["pick_up", "part_round"]
        moved = next(block for block in gusset.blocks if block.lines and block.lines[0].kind == "part_round")
        assert "round" in moved.note.lower()
        if "needle 1 holds" in moved.note:
            told = [int(count) for count in re.findall(r"holds (\d+)", moved.note)]
            at = next(line for line in sock.record.lines if line.kind == "part_round")
            assert tuple(told) == at.needles


def test_a_heel_on_two_needles_is_slipped_onto_one_first(worked: Checked) -> None:
    """With double-pointed needles an arrange step stands before the flap, unless the heel is on one already."""
    for sock in _socks(worked, "double-pointed"):
        lines = [line for line in sock.record.lines if line.kind != "note"]
        at = next(place for place, line in enumerate(lines) if line.kind == "rest")
        held = next(line.needles for line in reversed(lines[:at]) if line.needles)
        assert held[0] == sock.graded.count("heel")


def test_all_setups_make_the_same_sock(worked: Checked) -> None:
    """Round for round they have the same stitches; only a part of a round is more or less, where the start moves."""
    by_size: dict[str, list[Sock]] = {}
    for sock in worked.socks:
        by_size.setdefault(sock.graded.body.name, []).append(sock)
    for socks in by_size.values():
        assert len(socks) >= 3
        rounds = {tuple(line.after for line in passes(sock.record) if line.kind in ("round", "row")) for sock in socks}
        assert len(rounds) == 1
        loops = [sock.record.stitches for sock in socks]
        assert max(loops) - min(loops) <= max(line.after or 0 for line in socks[0].record.lines) // 2  # the start moves


def test_the_setups_are_four() -> None:
    """In the order they are printed."""
    assert setup_names() == (
        "short circular",
        "long circular (magic loop)",
        "double-pointed, set of 5",
        "double-pointed, set of 4",
    )
    assert isinstance(_worked(GAUGES[1]).findings, tuple)
    assert all(isinstance(each, Finding) for each in _worked(GAUGES[1]).findings)
