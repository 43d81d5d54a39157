"""What an editor sees in the record: shaping that balances, a plain fabric, true measures, sizes that grow."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from strategies import NUMBERS, START, codes, feet_of, knitted_by_hand, loaded, pattern_text

from grader.inspection.balance import check_balance
from grader.inspection.fabric import check_fabric, check_same_fabric, courses
from grader.inspection.samples import counts_in
from grader.inspection.spread import check_spread
from grader.models.record import Record
from grader.pipeline import Checked, check
from grader.vocabulary.findings import Ledger

TOE = """
    = Toe
    cast_on | Cast on 24 sts: 12 and 12 sts on needles 1 and 2. Join in the round | front 12, back 12
    round | {line}
    + round | K
    bind_off | Cast off all sts
"""


def record_of(text: str) -> Record:
    """The record of a sock by hand that the test-knit has nothing to say about."""
    record, findings = knitted_by_hand(text)
    assert findings == []
    return record


def balance(line: str) -> list[str]:
    """The messages about the balance of one round of a toe over two needles of 12."""
    ledger = Ledger()
    check_balance(record_of(TOE.format(line=line)), ledger)
    assert set(codes(ledger.entries)) <= {"balance"}
    return [entry.message for entry in ledger.entries]


@pytest.mark.parametrize(
    "line",
    [
        "Each needle: K1, ssk, K to last 3 sts, k2tog, K1",
        "Each needle: ssk, K to last 2 sts, k2tog",
        "Each needle: K1, k2tog, K to last 3 sts, ssk, K1",
        "Needle 1: K1, ssk, K to last 3 sts, k2tog, K1. Needle 2: K",
        "Each needle: K2, sssk, K to last 5 sts, k3tog, K2",
        "Each needle: K4, cdd, K5",
        "(k2tog, K4) 4 times",
        "(ssk, K2) 6 times",
        "*K3, kfb; rep from * to end",
    ],
)
def test_shaping_that_balances_is_let_pass(line: str) -> None:
    """Pairs equally far from both ends of a region, a centred decrease, decreases evenly spaced round the tube."""
    assert balance(line) == []


@pytest.mark.parametrize(
    "line",
    [
        "Each needle: K1, ssk, K to last 4 sts, k2tog, K2",
        "Each needle: K1, ssk, K to last 3 sts, ssk, K1",
        "Needle 1: K1, ssk, K to end. Needle 2: K to last 3 sts, k2tog, K1",
        "Each needle: K1, sssk, K to last 3 sts, k2tog, K1",
        "Each needle: K2, cdd, K7",
    ],
)
def test_shaping_that_does_not_balance_is_found(line: str) -> None:
    """One end nearer than the other, two that lean alike, one thicker than the other, one on each region alone."""
    told = balance(line)
    assert told
    assert "does not balance" in told[0]


def test_a_stitch_pattern_may_shape_as_it_likes_in_its_region() -> None:
    """Lace on the front need not balance; the back beside it must."""
    found = {}
    for back in ("K1, ssk, K to last 3 sts, k2tog, K1", "K1, ssk, K to end"):
        ledger = Ledger()
        text = TOE.format(line=f"Needle 1: k2tog, yo, K to end. Needle 2: {back}")
        check_balance(record_of(text.replace("round | Needle", "round in:lace(front) | Needle")), ledger)
        plain = Ledger()
        check_balance(record_of(text), plain)
        found[back] = [len(ledger.entries), len(plain.entries)]
    assert list(found.values()) == [[0, 1], [1, 2]]


def test_rows_balance_over_their_section() -> None:
    """As many left as right decreases in all rows of a turn; seen from the right side, whatever side they are on."""
    turn = """
        = Turn
        cast_on | Cast on 12 sts: 8 and 4 sts on needles 1 and 2. Join in the round | heel 8, instep 4
        rest | Leave the last 4 sts of the round on hold for the instep; the heel is worked on the first 8
        row RS over:heel | Sl1, K4, ssk, turn
        row WS over:heel | Sl1, P2, {wrong}, turn
        row RS over:heel | Sl1, K to 1 st before gap, ssk, turn
        row WS over:heel | Sl1, P to 1 st before gap, {wrong}, turn
        rejoin | Take the 4 instep sts back into the work
        bind_off | Cast off all sts
    """
    found = {}
    for wrong in ("p2tog", "ssp"):
        ledger = Ledger()
        check_balance(record_of(turn.format(wrong=wrong)), ledger)
        found[wrong] = [(entry.expected, entry.found) for entry in ledger.entries]
    assert found == {"p2tog": [], "ssp": [("4 each", "0")]}


def fabric(text: str) -> list[str]:
    """The codes of what is wrong with a fabric."""
    ledger = Ledger()
    check_fabric(record_of(text), ledger)
    return codes(ledger.entries)


def test_a_purl_in_a_plain_fabric_is_found_and_one_in_a_pattern_is_not() -> None:
    """A round of P shows purl on the right side; in a rib it is meant."""
    plain = TOE.format(line="P")
    assert fabric(plain) == ["stray-purl"]
    assert fabric(plain.replace("round | P", "round in:garter | P")) == []


def test_a_slip_in_a_plain_round_is_found() -> None:
    """In plain rounds nothing is slipped."""
    assert fabric(TOE.format(line="K11, sl1, K12")) == ["stray-slip"]


def test_two_names_of_one_lean_are_told() -> None:
    """A page that has both ssk and skp has one too many."""
    mixed = TOE.format(line="Each needle: ssk, K2, skp, K2, k2tog, K to last 2 sts, k2tog")
    assert "mixed-decreases" in fabric(mixed)
    assert fabric(mixed.replace("skp", "ssk")) == []


def test_setups_that_make_other_socks_are_told_apart() -> None:
    """The setup that is not as the others is named, with the first course that differs."""
    records = [replace(record_of(TOE.format(line="K")), setup=name) for name in ("one", "two", "three")]
    ledger = Ledger()
    check_same_fabric(records, ledger)
    assert not ledger
    purled = TOE.format(line="K").replace("+ round | K", "+ round | K\n    round in:purl | P")
    odd = replace(record_of(purled), setup="odd")
    check_same_fabric([*records, odd], ledger)
    assert codes(ledger.entries) == ["setups-differ"]
    assert ledger.entries[0].setups == ("odd",)


def test_a_course_is_the_same_wherever_its_round_starts() -> None:
    """Rounds are seen from one place of the foot: a sock that starts mid-sole makes the courses of one that doesn't."""
    from_side = """
        = Foot
        cast_on | Cast on 24 sts: 12 and 12 sts on needles 1 and 2. Join in the round | front 12, sole 12
        round in:x | Needle 1: K. Needle 2: K2, P3, K to end
        bind_off | Cast off all sts
    """
    from_middle = """
        = Foot
        cast_on | Cast on 24 sts: 6, 12 and 6 sts on needles 1 to 3. Join in the round | sole 6, front 12, sole 6
        round in:x | Needles 1 and 2: K. Needle 3: K2, P3, K1
        bind_off | Cast off all sts
    """
    first, second = (courses(record_of(text)) for text in (from_side, from_middle))
    assert [each[:3] for each in first] == [each[:3] for each in second]


def test_stitches_spread_unevenly_are_told() -> None:
    """Needles of one region hold as many stitches each, or one more."""
    text = """
        = Leg
        cast_on | Cast on 16 sts: {spread} sts on needles 1 to 3. Join in the round | front 8, back 8
        round | K
        bind_off | Cast off all sts
    """
    found = {}
    for spread in ("4, 4 and 8", "5, 3 and 8", "6, 2 and 8", "3, 5 and 8"):
        ledger = Ledger()
        check_spread(record_of(text.format(spread=spread)), ledger)
        found[spread] = codes(ledger.entries)
    assert found == {"4, 4 and 8": [], "5, 3 and 8": ["uneven"], "6, 2 and 8": ["uneven"], "3, 5 and 8": ["uneven"]}


TUBE = START + "      - rounds: in cuff\n        for: 4 cm\n      - bind_off: all\n"


def checked(**parts: str) -> Checked:
    """A tube of 4 cm in rib, checked."""
    return check(loaded(pattern_text(TUBE, **parts)))


def errors(found: Checked) -> set[str]:
    """The codes of what stops publication."""
    return {finding.code for finding in found.findings if finding.is_error}


def test_a_measure_that_is_knitted_as_stated_is_let_pass() -> None:
    """20 cm round from 64 stitches, 4 cm along from 18 rounds to within half a round."""
    two = "foot_circumference: {is: cast_on / gauge.stitches, around: Leg}\n  leg_length: {is: 4 cm, along: [Leg]}"
    assert errors(checked(finished=two)) == set()


@pytest.mark.parametrize(
    "finished",
    [
        "foot_circumference: {is: (cast_on + 4) / gauge.stitches, around: Leg}",
        "foot_circumference: {is: cast_on / gauge.stitches, around: Leg}\n  leg_length: {is: 4.4 cm, along: [Leg]}",
    ],
)
def test_a_measure_that_is_not_knitted_is_found(finished: str) -> None:
    """More than half a repeat round, or half a round along, is told with both lengths."""
    found = checked(finished=finished)
    assert errors(found) == {"measure"}
    told = next(finding for finding in found.findings if finding.code == "measure")
    assert told.expected.endswith("cm")
    assert told.found.endswith("cm")
    assert told.expected != told.found


def test_two_sizes_that_are_the_same_sock_are_found() -> None:
    """Feet too near each other get the same stitches: one of them is too many."""
    found = checked(feet=feet_of(A="22.4 cm", B="22.5 cm"))
    assert errors(found) == {"same-sock"}
    told = next(finding for finding in found.findings if finding.code == "same-sock")
    assert told.sizes == ("A", "B")
    assert errors(checked(feet=feet_of(A="20 cm", B="22.5 cm"))) == set()


def test_a_sock_that_shrinks_with_the_foot_is_found() -> None:
    """A rule that works backwards makes the bigger foot the smaller sock."""
    numbers = NUMBERS.replace("foot_circumference * (1 + fit.foot_circumference)", "(42 cm - foot_circumference)")
    assert "sizes-grow" in errors(checked(numbers=numbers, feet=feet_of(A="20 cm", B="22.5 cm")))


def test_ease_outside_the_allowed_range_is_found_in_what_is_knitted() -> None:
    """The range is checked on the stitches on the needles too, not only on the numbers of the table."""
    sound = checked()
    narrow = replace(sound.pattern, fit=replace(sound.pattern.fit, allowed=(Fraction(-5, 100), Fraction(0))))
    from grader.inspection import Run, inspect

    told = inspect(narrow, [Run(sock.graded, sock.record) for sock in sound.socks])
    assert {finding.code for finding in told} == {"ease"}
    assert told[0].found == "-11.1 %"


SAMPLE = """sample:
  - size: M
    numbers: {{cast_on: {cast_on}}}
    counts: {{Leg: [{counts}]}}
"""


@pytest.mark.parametrize(
    ("cast_on", "counts", "found"),
    [(64, "64 x 18", set()), (60, "64 x 18", {"sample"}), (64, "64 x 17, 60", {"sample"}), (64, "64 x 17", {"sample"})],
)
def test_the_designers_sample_must_come_out_again(cast_on: int, counts: str, found: set[str]) -> None:
    """Its numbers, and its counts round by round."""
    assert errors(checked(more=SAMPLE.format(cast_on=cast_on, counts=counts))) == found


def test_counts_of_a_section_follow_its_blocks() -> None:
    """Repeats are told round by round in working order."""
    text = """
        = Toe
        cast_on | Cast on 16 sts: 8 and 8 sts on needles 1 and 2. Join in the round | front 8, back 8
        round x:2 | Each needle: ssk, K to last 2 sts, k2tog
        + round | K
        round x:2 | K
        graft | Graft 4 sts to 4 sts
    """
    assert counts_in(record_of(text), "Toe") == [12, 12, 8, 8, 8, 8]
