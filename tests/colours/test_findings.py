"""Wrong colours are found: in the pattern file, in the hands, across the setups, and where a float is too long."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK, codes, sock

from grader.inspection import Run, inspect
from grader.inspection.colours import floats
from grader.testknit import knit
from grader.vocabulary.findings import Severity

from .socks import FLAP, SHORT_ROWS, STRANDED, STRIPES, checked, loaded, text_of, wrong_colours

TWO = "colours: {MC: {}, CC: {}}"


@pytest.mark.parametrize(
    ("first", "second", "code"),
    [
        ("note | Begin with CC2", "", "colour"),
        ("note | Change to MC", "", "colour"),
        ("", "", "colour"),
        ("note | Begin with MC", "note | Begin with CC", "colour"),
        ("note | Begin with MC", "note | Change to MC", "colour"),
        ("note | Begin with MC", "round | *K1 MC, K1 CC3; rep from * to end", "colour"),
        ("note | Begin with MC", "round | K in MC", ""),
        ("note | With MC", "note | With MC", ""),
        ("note | Begin with MC", "note | Change to CC", ""),
    ],
)
def test_the_hands_work_only_with_a_yarn_that_is_there(first: str, second: str, code: str) -> None:
    text = f"""
        = Tube
        {first}
        cast_on | Cast on 8 sts: 2, 2, 2 and 2 sts on needles 1 to 4. Join in the round | back 8
        {second}
        round | K
        bind_off | Cast off all sts
    """
    record, findings = knit(replace(sock(text), colours=("MC", "CC")))
    assert codes(findings) == ([code] if code else [])
    assert record.complete == (not code)


def test_a_colour_in_a_sock_of_one_yarn_is_not_there() -> None:
    text = """
        = Tube
        cast_on | Cast on 8 sts: 2, 2, 2 and 2 sts on needles 1 to 4. Join in the round | back 8
        round | *K1 MC, K1 CC; rep from * to end
    """
    assert codes(knit(sock(text))[1]) == ["colour"]


@pytest.mark.parametrize(
    ("colours", "own"),
    [
        ("colours: {MC: {}, CC: {sections: [Cuff, Heel, Toe]}}", ""),
        ("colours: {MC: {}, CC: {}}", STRANDED),
        ("colours: {MC: {}, CC1: {}, CC2: {}}", STRIPES),
    ],
)
def test_a_colour_misprinted_in_one_setup_is_found(colours: str, own: str) -> None:
    """Every colour word and every change of one sock, wrong one by one, beside the other setups as they are."""
    socks = checked(text_of(SHORT_ROWS, colours, own), ("M",))
    assert [finding for finding in socks.findings if finding.is_error] == []
    first, *others = socks.socks
    missed, tried = [], 0
    for told, wrong in wrong_colours(first.instructions):
        tried += 1
        record, findings = knit(wrong)
        runs = [Run(first.graded, record), *(Run(each.graded, each.record) for each in others)]
        findings += inspect(socks.pattern, runs if record.complete else [])
        if not any(finding.is_error for finding in findings):
            missed.append(told)
    assert tried >= 8
    assert missed == []


def test_a_colour_that_is_never_worked_is_a_finding() -> None:
    socks = checked(text_of(SHORT_ROWS, "colours: {MC: {}, CC: {sections: [Toe]}, CC2: {}}"), ("M",))
    (finding,) = (each for each in socks.findings if each.is_error)
    assert (finding.code, finding.message) == ("unworked-colour", "the colour CC2 is declared and never worked")


def test_two_yarns_side_by_side_are_not_one_stretch_in_two_pieces() -> None:
    """K3 MC, K1 CC is no K4, while K1 MC, K2 MC is told in two pieces."""
    told = STRANDED.replace('"*K3 MC, K1 CC* to end"', '"*K1 MC, K2 MC, K1 CC* to end"')
    assert "two-pieces" not in codes(list(checked(text_of(SHORT_ROWS, TWO, STRANDED), ("M",)).findings))
    assert "two-pieces" in codes(list(checked(text_of(SHORT_ROWS, TWO, told), ("M",)).findings))


@pytest.mark.parametrize(
    ("rounds", "message"),
    [
        ('"*K6 MC, K2 CC* to end"', "CC passes over 6 sts"),
        ('"*K2 MC, K6 CC* to end"', "MC passes over 6 sts"),
        ('"*K5 MC, K3 CC* to end"', ""),
        ('"*K4 MC, K1 CC, K3 MC* to end"', "CC passes over 7 sts, across the end of the round"),
    ],
)
def test_a_float_over_more_than_five_stitches_is_told(rounds: str, message: str) -> None:
    own = f"""
stitch_patterns:
  seeds: {{label: seeds, rounds: [{rounds}]}}
sections:
  - name: Leg
    steps:
      - rounds: in seeds
        for: "{{leg_plain}}"
"""
    text = text_of(FLAP, TWO, own).replace("multiple_of: [cuff.repeat", "multiple_of: [8, cuff.repeat")
    found = [finding for finding in checked(text, ("M",)).findings if finding.code == "float"]
    if message.endswith("across the end of the round"):
        message = message.partition(",")[0]  # within the round it passes as far
    assert {finding.message.partition(",")[0] for finding in found} == ({message} if message else set())
    assert all(finding.severity is Severity.REMARK and finding.section == "Leg" for finding in found)


def test_a_float_across_the_end_of_the_round_is_told() -> None:
    """The strand runs on from the end of one round to the beginning of the next."""
    text = """
        = Tube
        note | Begin with MC
        cast_on | Cast on 12 sts: 3, 3, 3 and 3 sts on needles 1 to 4. Join in the round | back 12
        round x:2 | K3 MC, K1 CC, K2 MC, K1 CC, K5 MC | back 12
        bind_off | Cast off all sts
    """
    record, findings = knit(replace(sock(text), colours=("MC", "CC")))
    assert findings == []
    from grader.inspection.colours import check_floats
    from grader.vocabulary.findings import Ledger

    ledger = Ledger()
    check_floats(record, ledger)
    (finding,) = ledger.entries
    assert finding.message == "CC passes over 8 sts, across the end of the round"
    assert finding.line == "K3 MC, K1 CC, K2 MC, K1 CC, K5 MC"


@settings(QUICK)
@given(st.lists(st.sampled_from(("MC", "CC", "")), min_size=1, max_size=24))
def test_floats_are_measured_stitch_by_stitch(stitches: list[str]) -> None:
    """Against a count with a finger on every stitch; a slipped one ("") is passed over by every yarn."""
    runs: list[tuple[str, int]] = []
    for each in stitches:
        if runs and runs[-1][0] == each:
            runs[-1] = (each, runs[-1][1] + 1)
        else:
            runs.append((each, 1))
    found = floats(tuple(runs))
    assert set(found) == set(stitches) - {""}
    for colour, (head, inner, tail) in found.items():
        places = [place for place, each in enumerate(stitches) if each == colour]
        assert (head, tail) == (places[0], len(stitches) - 1 - places[-1])
        assert inner == max((b - a - 1 for a, b in itertools.pairwise(places)), default=0)


@pytest.mark.parametrize(
    ("colours", "message"),
    [
        ("colours: {MC: {}, CC: {sections: [Cuf]}}", "there is no section 'Cuf'"),
        ("colours: {MC: {sections: [Toe]}, CC: {sections: [Toe]}}", "the section Toe is worked in MC already"),
        ("colours: {MC: {}, CC: {metres: 200}}", "how far a ball goes is said by metres and per"),
        ("colours: {MC: {}, mc: {}}", "'mc' is no word for a colour"),
    ],
)
def test_mistakes_in_the_block_of_colours_are_told(colours: str, message: str) -> None:
    _, findings = loaded(text_of(SHORT_ROWS, colours))
    assert [finding.message for finding in findings] == [message]
    assert all(finding.span and finding.mend for finding in findings)
