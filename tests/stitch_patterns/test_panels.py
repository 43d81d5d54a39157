"""Stitch patterns over a part of the round: centred, never cut by a needle, measured in their own gauge."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK

from grader.inspection.measures import width_after
from grader.notation.counting import SplitError, resolve, split, takes
from grader.notation.multiples import clean_cuts, line_of
from grader.notation.tree import Line
from grader.pipeline import Checked

from .socks import errors, made, sock_parts, tube

FRONT = "      - rounds: {heel: K, instep: in motif}\n        times: 4"
LOOP, FIVE = "long circular (magic loop)", "double-pointed, set of 5"


def texts(checked: Checked, setup: str) -> list[str]:
    """The lines of the tube in one setup, each as often as it is worked, without its beginning and end."""
    assert errors(checked) == []
    sock = next(each for each in checked.socks if each.instructions.setup == setup)
    return [line.text for line in sock.record.in_order() if line.kind == "round" for _ in range(line.times)]


def numbers(instep: int) -> str:
    """64 stitches, so many of them for the instep."""
    return f"{{cast_on: {{exactly: 64}}, half: {{exactly: {64 - instep}}}}}"


@pytest.mark.parametrize(
    ("motif", "instep", "line"),
    [
        ("{sides: K, rounds: ['P2, K4, P2']}", 32, "K12, P2, K4, P2, K12"),
        ("{sides: K, rounds: ['P2, K4, P2']}", 33, "K12, P2, K4, P2, K13"),
        ("{sides: P, rounds: ['P2, K4, P2']}", 32, "P14, K4, P14"),
        ("{sides: K, rounds: ['P2, K4, P2']}", 8, "P2, K4, P2"),
        ("{sides: K, rounds: ['*K3, P3* to end']}", 32, "K1, *K3, P3; rep from * to last st, K1"),
        ("{sides: K, rounds: ['*K3, P3* to end']}", 30, "*K3, P3; rep from * to end"),
        ("{sides: P, rounds: ['K1, *K4, P2* to end']}", 32, "K1, *K4, P2; rep from * to last st, P1"),
        ("{sides: K, rounds: ['*P5, K1* to last 2 sts, P2']}", 32, "*P5, K1; rep from * to last 2 sts, P2"),
        ("{sides: K, rounds: ['*P5, K1* to last 2 sts, P2']}", 35, "K1, *P5, K1; rep from * to last 4 sts, P2, K2"),
        ("{sides: K, rounds: ['P2, K4, P2', K]}", 32, "K12, P2, K4, P2, K12"),
    ],
)
def test_what_whole_repeats_leave_over_is_worked_at_both_sides(motif: str, instep: int, line: str) -> None:
    told = texts(tube(FRONT, motif, numbers=numbers(instep)), LOOP)
    assert told[0] == f"Needle 1 (heel): K. Needle 2 (instep): {line}"


def test_a_plain_round_of_a_panel_may_be_written_as_k() -> None:
    told = texts(tube(FRONT, "{sides: P, rounds: ['P2, K4, P2', K]}"), LOOP)
    assert told[1] == "Needle 1 (heel): K. Needle 2 (instep): P12, K8, P12"


@pytest.mark.parametrize(
    ("motif", "message"),
    [
        ("{label: wide rope, sides: K, rounds: ['P15, K4, P15']}", "wide rope asks for 34 sts where there are 32"),
        ("{rounds: ['*K5, P2* to end']}", "asks for 28 sts where there are 32 (heel 32 sts, instep 32 sts)"),
    ],
)
def test_what_does_not_go_in_is_told_and_not_filled_up(motif: str, message: str) -> None:
    """A panel that is too wide; and without `sides` nobody has said what is to be done with stitches left over."""
    assert {finding.message for finding in errors(tube(FRONT, motif))} == {message}


def test_the_needles_of_a_half_meet_beside_the_cable() -> None:
    told = texts(tube(FRONT, "{sides: K, rounds: ['P2, K4, P2', 'P2, 2/2 LC, P2']}"), FIVE)
    assert told[1] == "Needles 1 and 2 (heel): K. Needle 3: K12, P2. Needle 4: 2/2 LC, P2, K12"


def test_the_needles_of_a_half_meet_between_two_repeats() -> None:
    told = texts(tube(FRONT, "{sides: K, rounds: ['*K1, yo, k2tog, K3* to end', K]}"), FIVE)
    part = "*K1, yo, k2tog, K3; rep from * to"
    assert told[0] == f"Needles 1 and 2 (heel): K. Needle 3: K1, {part} end. Needle 4: {part} last st, K1"


def test_after_a_stitch_pattern_the_stitches_lie_evenly_again() -> None:
    """14 and 18 beside the cable; 16 and 16 before the first round that is shaped."""
    shaped = """
      - rounds: {heel: K, instep: in motif}
        times: 3
      - round: {heel: "K1, ssk, K to last 3 sts, k2tog, K1", instep: "K1, ssk, K to last 3 sts, k2tog, K1"}"""
    checked = tube(shaped, "{sides: K, rounds: ['P2, K4, P2', 'P2, 2/2 LC, P2']}")
    assert errors(checked) == []
    sock = next(each for each in checked.socks if each.instructions.setup == FIVE)
    moved = [line.needles for line in sock.record.lines if line.kind == "arrange"]
    assert moved == [(16, 16, 14, 18), (16, 16, 16, 16)]


_items = st.sampled_from(
    ["K1", "P2", "K3", "k2tog, yo", "yo, ssk", "2/2 LC", "(k2tog) 2 times, (yo, K1) 2 times", "cdd"]
)


@settings(QUICK, max_examples=80)
@given(st.lists(_items, min_size=1, max_size=6), st.integers(1, 4))
def test_a_clean_cut_leaves_both_needles_what_they_had(items: list[str], times: int) -> None:
    """Split at any clean cut, each needle leaves as many stitches as it took; elsewhere it may not."""
    line = line_of(f"({', '.join(items)}) {times} times")
    assert line is not None
    count = _width(line)
    cuts = clean_cuts([line], count)
    for cut in range(1, count):
        try:
            pieces = split(resolve(line, count), (cut,))
        except SplitError:
            assert cut not in cuts
            continue
        if cut in cuts:
            first = pieces[0]
            assert sum(each.takes for each in first) == cut
            assert sum(each.leaves for each in first) == cut


def _width(line: Line) -> int:
    return sum(takes(item) for item in line.items)


# -- measures


def test_the_width_is_measured_fabric_by_fabric() -> None:
    """64 stitches at 32, 8 of them at 40 to 10 cm: 17.5 cm and 2 cm."""
    motif = "{sides: K, gauge: {stitches: 40, rounds: 44, per: 10 cm}, rounds: ['P2, K4, P2']}"
    around = "finished: {foot_circumference: {is: 19.5 cm, around: Tube}}"
    checked = tube(FRONT, motif, finished=around)
    assert errors(checked) == []
    widths = {width_after(checked.pattern, sock.record, "Tube") for sock in checked.socks}
    assert widths == {Fraction(39, 2)}
    wrong = tube(FRONT, motif, finished=around.replace("19.5", "21"))
    assert "measure" in {finding.code for finding in errors(wrong)}


def test_a_repeat_at_the_sides_of_which_is_plain_counts_for_its_own_stitches() -> None:
    """30 of the 32 instep stitches are in the pattern, at half the gauge: 34 / 3.2 + 30 / 1.6 cm."""
    motif = "{sides: K, gauge: {stitches: 50 %, rounds: 100 %}, rounds: ['*K3, P3* to end']}"
    checked = tube(FRONT, motif)
    widths = {width_after(checked.pattern, sock.record, "Tube") for sock in checked.socks}
    assert widths == {34 / Fraction(16, 5) + 30 / Fraction(8, 5)}


def test_rounds_all_in_a_stitch_pattern_count_at_its_own_gauge() -> None:
    """5 cm at 50 rounds to 10 cm are 25 rounds; 5 cm more, plain, are 22."""
    steps = "      - rounds: in motif\n        for: 5 cm\n      - rounds: K\n        for: 5 cm"
    motif = "{gauge: {stitches: 32, rounds: 50, per: 10 cm}, rounds: ['*K2, P2* to end']}"
    checked = tube(steps, motif, finished="finished: {leg_length: {is: 10 cm, along: [Tube]}}")
    assert errors(checked) == []
    told = texts(checked, LOOP)
    assert [told.count("*K2, P2; rep from * to end"), told.count("K")] == [25, 22]


def test_a_foot_with_a_panel_is_as_wide_as_the_table_says() -> None:
    checked = made(
        sock_parts("stitch-braid-panel", "leg-front", ("heel-flap-slipped", "turn-round", "gusset-motif"), "toe-wedge")
    )
    assert errors(checked) == []
    for sock in checked.socks:
        count, gauge = sock.graded.count("cast_on"), checked.pattern.gauge.stitches
        width = width_after(checked.pattern, sock.record, "Foot")
        assert (
            width == (count - 10) / gauge + 10 / (gauge * Fraction(5, 4)) == sock.graded.finished["foot_circumference"]
        )


# -- where a stitch pattern may end, and whether its columns go on


def test_a_stitch_pattern_ends_only_where_it_may() -> None:
    motif = "{label: waves, stops: [2, 4], rounds: ['*K2, P2* to end', K, '*P2, K2* to end', K]}"
    steps = "      - rounds: in motif\n        times: {times}"
    for times in (2, 4, 6, 8):
        assert errors(tube(steps.format(times=times), motif)) == []
    for times, last in ((3, 3), (5, 1)):
        (finding, *_) = errors(tube(steps.format(times=times), motif))
        assert (finding.code, finding.message) == (
            "stops",
            f"waves ends after round {last}; it may end after round 2 or 4",
        )
        assert finding.mend == "say how many rounds in a number, and make it a multiple of motif.rounds"
        assert finding.span is not None
        assert finding.span.line > 12


def test_columns_that_do_not_go_on_are_told() -> None:
    steps = """
      - rounds: in motif
        times: 4
      - rounds: {heel: K, instep: in motif}
        times: 4"""
    motif = "{label: squares, sides: K, rounds: ['*K4, P4* to end']}"
    assert errors(tube(steps, motif)) == []
    told = {(each.code, each.message) for each in errors(tube(steps, motif, numbers=numbers(30)))}
    assert told == {
        ("shifted", "the repeats of squares lie 5 sts beside those above them when the instep goes on"),
    }
