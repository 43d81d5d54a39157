"""Steps of small patterns, written out in each setup: what is left out, what a setup says for itself, what goes on."""

from __future__ import annotations

import pytest
from strategies import NUMBERS, START, loaded, pattern_text

from grader.models.instructions import Block, Instructions
from grader.pipeline import Checked, check
from grader.setups import setup_names

END = "      - bind_off: all\n"
RIB = 'cuff: {rounds: ["*K2, P2* to end"]}'
WAVE = 'wave: {rounds: ["*K2, P2* to end", "*K1, P3* to end", "K", "*K3, P1* to end"]}'
LOOP, SHORT = "long circular (magic loop)", "short circular"


def worked(steps: str, *, numbers: str = NUMBERS, patterns: str = RIB, more: str = "", start: str = START) -> Checked:
    """A small pattern with these steps after its cast-on, checked in all setups."""
    return check(loaded(pattern_text(start + steps, numbers=numbers, patterns=patterns, more=more)))


def sound(steps: str, **parts: str) -> dict[str, Instructions]:
    """The socks of a pattern that must have no finding, by setup."""
    checked = worked(steps, **parts)
    assert [finding for finding in checked.findings if finding.is_error] == []
    return {sock.instructions.setup: sock.instructions for sock in checked.socks}


def blocks(instructions: Instructions) -> list[Block]:
    """All blocks that are worked."""
    return [block for section in instructions.sections for block in section.blocks if block.lines]


def texts(instructions: Instructions) -> list[str]:
    """Every line as often as it is worked, without the cast-on and the end."""
    told = [line.text for block in blocks(instructions) for _ in range(block.times) for line in block.lines]
    return told[1:-1]


def test_a_step_worked_no_times_is_left_out() -> None:
    """`times: 0` prints nothing, whether rounds, rows of a pattern or a repeat."""
    steps = f"""
      - rounds: in cuff
        times: 2
      - rounds: K
        times: "{{heel - 32}}"
      - rounds: in cuff
        times: "{{heel - 32}}"
      - repeat:
          - round: K
        times: "{{heel - 32}}"
{END}"""
    for instructions in sound(steps).values():
        assert texts(instructions) == ["*K2, P2; rep from * to end"] * 2


def test_a_step_holds_only_where_its_condition_does() -> None:
    """`when` compares two numbers of the size; a step that doesn't hold is not printed."""
    told = ((1, "=", 32), (2, "!=", 32), (4, ">", 31), (8, ">=", 33), (16, "<", 33), (32, "<=", 31), (64, "<=", 32))
    steps = "".join(
        f'      - rounds: in cuff\n        times: {times}\n        when: "heel {sign} {number}"\n'
        for times, sign, number in told
    )
    for instructions in sound(steps + END).values():
        assert [block.times for block in blocks(instructions)[1:-1]] == [1, 4, 16, 64]


def test_a_setup_may_say_its_own_words() -> None:
    """What is said for one setup is printed there, after what is said for all; "double-pointed" means both sets."""
    steps = f"""
      - rounds: in cuff
        times: 2
        say: Keep it loose.
        setups:
          short circular: Slip the marker.
          double-pointed: Mind the joins.
{END}"""
    said = {setup: blocks(each)[1].say for setup, each in sound(steps).items()}
    assert said == {
        SHORT: "Keep it loose. Slip the marker.",
        LOOP: "Keep it loose.",
        "double-pointed, set of 5": "Keep it loose. Mind the joins.",
        "double-pointed, set of 4": "Keep it loose. Mind the joins.",
    }


def test_a_setup_may_work_its_own_lines() -> None:
    """Lines of one setup replace the others there; they must make the same fabric, or the odd setup is named."""
    own = f"""
      - round: "*K2, P2* to end"
        setups:
          long circular: {{round: "(K2, P2) 16 times"}}
      - round: in cuff
{END}"""
    checked = worked(own)
    lines = {sock.instructions.setup: blocks(sock.instructions)[1].lines[0].text for sock in checked.socks}
    assert lines.pop(LOOP) == "(K2, P2) 16 times"
    assert set(lines.values()) == {"*K2, P2; rep from * to end"}
    assert "setups-differ" not in {finding.code for finding in checked.findings}

    other = worked(own.replace("(K2, P2) 16 times", "(P2, K2) 16 times"))
    differ = [finding for finding in other.findings if finding.code == "setups-differ"]
    assert [finding.setups for finding in differ] == [(LOOP,)]


@pytest.mark.parametrize("first", range(1, 7))
def test_a_stitch_pattern_goes_on_where_it_was_left(first: int) -> None:
    """After so many rounds of a pattern of four, on the next step it is the next round's turn."""
    steps = f"""
      - rounds: in wave
        times: {first}
      - rounds: K
        times: 2
      - rounds: in wave
        times: 5
{END}"""
    rounds = ["*K2, P2; rep from * to end", "*K1, P3; rep from * to end", "K", "*K3, P1; rep from * to end"]
    for instructions in sound(steps, patterns=WAVE).values():
        told = texts(instructions)
        assert told[:first] == [rounds[place % 4] for place in range(first)]
        assert told[first : first + 2] == ["K", "K"]
        assert told[first + 2 :] == [rounds[(first + place) % 4] for place in range(5)]


@pytest.mark.parametrize("times", [1, 3, 4, 7, 8, 13])
def test_a_region_goes_on_in_the_pattern_of_the_leg(times: int) -> None:
    """The instep takes up the round after the leg's last one, whatever the other stitches do, in every setup."""
    steps = f"""
      - rounds: in wave
        times: 6
      - rounds: {{instep: in wave, heel: K}}
        times: {times}
      - rounds: in wave
        times: 1
{END}"""
    patches = ["*K2, P2", "*K1, P3", "K", "*K3, P1"]
    checked = worked(steps, patterns=WAVE)
    assert [finding for finding in checked.findings if finding.is_error] == []
    for sock in checked.socks:
        lines = [line for line in sock.record.lines for _ in range(line.times * line.block_times)]
        assert sum(line.kind == "round" for line in lines) == 7 + times
        told = texts(sock.instructions)
        told = [text for text in told if not text.startswith("Rearrange")]
        for place, text in enumerate(told[6 : 6 + times]):
            patch = patches[(6 + place) % 4]
            assert patch in text or (f"({patch[1:]}) 8 times" in text and "pm" in text), text
        assert told[-1].startswith(patches[(6 + times) % 4])


def test_markers_are_placed_once() -> None:
    """With one circular the first round by regions places the marker between them; the others slip it."""
    steps = f"""
      - rounds: {{instep: in wave, heel: K}}
        times: 12
{END}"""
    told = texts(sound(steps, patterns=WAVE)[SHORT])
    assert [text for text in told if "pm" in text] == [told[0]]
    assert sum("sm" in text for text in told) == 9  # three of twelve are K throughout


def test_regions_that_need_other_needles_are_arranged_first() -> None:
    """Where the rib lies over the halves, a step moves the stitches before a round by regions, and says so."""
    numbers = NUMBERS.replace("multiple_of: 4", "multiple_of: 4, at_most: 60")
    steps = f"""
      - rounds: in cuff
        times: 2
      - round: {{instep: "K1, ssk, K to last 3 sts, k2tog, K1", heel: K}}
{END}"""
    for setup, instructions in sound(steps, numbers=numbers).items():
        told = [block.lines[0] for block in blocks(instructions)]
        moved = [line.text for line in told if line.kind == "arrange"]
        rounds = [line for line in told if line.kind == "round"]
        assert rounds[0].text == "*K2, P2; rep from * to end"
        needs = {SHORT: 0, LOOP: 1, "double-pointed, set of 5": 1, "double-pointed, set of 4": 1}
        assert len(moved) == needs[setup], (setup, moved)


def test_a_part_round_moves_the_start() -> None:
    """`part_round` works its stitches; they join the last needle, and the round starts after them."""
    steps = f"""
      - part_round: K8
      - rounds: K
        times: 2
{END}"""
    checked = worked(steps, patterns=RIB)
    moved = {
        sock.instructions.setup: next(line for line in sock.record.lines if line.kind == "part_round").needles
        for sock in checked.socks
        if len(sock.record.lines) > 2
    }
    assert moved[LOOP] == (24, 40)
    assert moved["double-pointed, set of 5"] == (8, 16, 16, 24)
    assert moved["double-pointed, set of 4"] == (8, 16, 40)


LEG = START + "      - rounds: in cuff\n        times: 2\n"
FLAP = """
  - name: Flap
    over: heel
    steps:
      - rest: instep
      - rows: {RS: "Sl1, K to end", WS: "Sl1, P to end"}
        times: 8
  - name: Gusset
    steps:
      - pick_up:
          - heel: K
          - left edge: "9"
          - instep: K
          - right edge: "9"
        regions: [[instep, "{instep}"], [sole, "{heel + 18}"]]
        START
      - round: {instep: K, sole: "K1, ssk, K to last 3 sts, k2tog, K1"}
      - bind_off: all
"""


def after_pick_up(start: str) -> dict[str, list[str]]:
    """The lines after the pick-up, by setup, where the round starts as said."""
    checked = worked("", start=LEG + FLAP.replace("START", start))
    assert [finding for finding in checked.findings if finding.is_error] == []
    return {
        sock.instructions.setup: [line.text for line in sock.record.lines if line.section == "Gusset"][1:-1]
        for sock in checked.socks
    }


def test_the_round_starts_where_the_setup_likes_it() -> None:
    """Unsaid, it starts with the instep on one or two needles, in the middle of the sole on more."""
    found = after_pick_up("")
    assert found[SHORT][0] == "K to marker"
    assert found[LOOP] == [
        "K41 to the start of the instep",
        "Needle 1 (instep): K. Needle 2 (sole): K1, ssk, K to last 3 sts, k2tog, K1",
    ]
    assert found["double-pointed, set of 5"] == [
        "K16 to the centre of the sole",
        "Needle 1: K to last 3 sts, k2tog, K1. Needles 2 and 3 (instep): K. Needle 4: K1, ssk, K to end",
    ]


def test_the_start_can_be_said_for_all_setups_or_for_each() -> None:
    """`start` alone holds for all; with names it holds for those. Needles that don't suit it are arranged anew."""
    everywhere = after_pick_up("start: start of instep")
    assert everywhere["double-pointed, set of 5"] == [
        "K41 to the start of the instep",
        "Rearrange the sts: 16, 16, 25 and 25 sts on needles 1 to 4",
        "Needles 1 and 2 (instep): K. Needle 3: K1, ssk, K to end. Needle 4: K to last 3 sts, k2tog, K1",
    ]
    assert everywhere[LOOP] == after_pick_up("")[LOOP]
    each = after_pick_up("start: {long circular: start of sole, double-pointed: start of instep}")
    assert each["double-pointed, set of 5"] == everywhere["double-pointed, set of 5"]
    assert each[SHORT] == everywhere[SHORT]
    assert each[LOOP] == [
        "K73 to the start of the sole",
        "Needle 1 (sole): K1, ssk, K to last 3 sts, k2tog, K1. Needle 2 (instep): K",
    ]


def test_a_start_that_a_setup_cannot_have_is_refused() -> None:
    """A long circular has its start between the halves, a short one at the marker before the instep."""
    checked = worked("", start=LEG + FLAP.replace("START", "start: centre of sole"))
    told = {finding.setups[0]: finding for finding in checked.findings if finding.code == "start"}
    assert set(told) == {LOOP, SHORT}
    assert "between the halves" in told[LOOP].message
    assert "the marker before the instep" in told[SHORT].message
    assert {sock.instructions.setup for sock in checked.socks} == set(setup_names()) - {LOOP, SHORT}


SHORT_ROWS = """
  - name: Heel
    over: heel
    steps:
      - rest: instep
      - row: {RS: "K to last FIRST, TURN"}
      - row: {WS: "OPENP to last FIRST, TURN"}
      - rows: {RS: "OPENK to 1 st before MARK, TURN", WS: "OPENP to 1 st before MARK, TURN"}
        times: 9
      - rows: {RS: "OPENK to end", WS: "P"}
      - rejoin: instep
  - name: Foot
    steps:
      - rounds: K
        times: 2
      - bind_off: all
"""


@pytest.mark.parametrize(
    ("turn", "opened", "mark", "first", "fewest"),
    [("w&t", "", "wrapped st", "st", 12), ("turn", "DS, ", "DS", "2 sts", 0)],
    ids=["wrapped", "double stitches"],
)
def test_a_short_row_heel_is_data_like_any_other(turn: str, opened: str, mark: str, first: str, fewest: int) -> None:
    """Wrapped stitches or double stitches: worked to and fro, taken back into the round, in every setup."""
    heel = SHORT_ROWS.replace("FIRST", first).replace("MARK", mark).replace("TURN", turn).replace("OPEN", opened)
    if turn == "turn":  # a double stitch lies before its gap: stop right before it
        heel = heel.replace("to 1 st before DS", "to DS")
    checked = worked("", start=LEG + heel)
    assert [finding for finding in checked.findings if finding.is_error] == []
    for sock in checked.socks:
        assert sock.record.left_on_needles == 0
        rows = [line for line in sock.record.lines if line.kind == "row"]
        assert {line.after for line in rows} == {32}
        worked_in = [sum(count for _, count in line.made) for line in rows]
        assert worked_in[:4] == sorted(worked_in[:4], reverse=True)
        assert min(worked_in) >= fewest


def test_a_double_stitch_lies_before_its_gap() -> None:
    """Stopping before the double stitch leaves it waiting too, so that a row of fixed counts fits just so."""
    heel = """
  - name: Heel
    over: heel
    steps:
      - rest: instep
      - row: {RS: "K to last 2 sts, turn"}
      - row: {WS: "DS, P to last 2 sts, turn"}
      - row: {RS: "DS, K to DS, turn"}
      - row: {WS: "DS, P to DS, turn"}
      - row: {RS: "DS, K28"}
      - row: {WS: "P32"}
      - rejoin: instep
      - bind_off: all
"""
    for instructions in sound("", start=LEG + heel).values():
        assert "DS, K28" in texts(instructions)
    checked = worked("", start=LEG + heel.replace("K28", "K29"))
    told = [finding for finding in checked.findings if finding.code == "misfit"]
    assert {finding.expected for finding in told} == {"29"}


def test_a_line_that_does_not_fit_is_told_at_its_place() -> None:
    """A region line asking for more than there is names the file's line, the size and the stitches there are."""
    checked = worked(f'      - round: {{instep: "K40", heel: K}}\n{END}')
    told = [finding for finding in checked.findings if finding.code == "misfit"]
    assert told
    assert "asks for 40 sts where there are 32" in told[0].message
    assert told[0].sizes == ("M",)
    assert told[0].span is not None
    assert checked.socks == ()
