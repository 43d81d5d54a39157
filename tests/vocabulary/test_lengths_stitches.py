"""Lengths as they are printed, and what each stitch takes and leaves."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK

from grader.vocabulary.findings import Finding, Ledger, Severity, Span
from grader.vocabulary.lengths import print_cm, print_inches, print_length, print_quantity
from grader.vocabulary.quantities import CM_PER_INCH, cm, rounds, stitches
from grader.vocabulary.stitches import mirrored, stitch_named
from grader.vocabulary.wording import counted, joined, times

_QUARTERS = {"¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4), "": Fraction(0)}


@settings(QUICK)
@given(st.fractions(0, 120, max_denominator=400))
def test_lengths_print_to_the_nearest_half_centimetre_and_quarter_inch(amount: Fraction) -> None:
    """Both from the one value: neither is ever further off than half of its step."""
    assert abs(Fraction(print_cm(amount)) - amount) <= Fraction(1, 4)
    text = print_inches(amount)
    part = text[-1] if text[-1] in _QUARTERS else ""
    inches = Fraction(text.removesuffix(part) or "0") + _QUARTERS[part]
    assert abs(inches * CM_PER_INCH - amount) <= CM_PER_INCH / 8


@pytest.mark.parametrize(
    ("amount", "in_cm", "inches"),
    [("4.6", "4.5", "1¾"), ("0", "0", "0"), ("20", "20", "7¾"), ("22.25", "22.5", "8¾"), ("2.54", "2.5", "1")],
)
def test_lengths_as_a_page_has_them(amount: str, in_cm: str, inches: str) -> None:
    """Centimetres, inches, or both beside one another."""
    exact = Fraction(amount)
    assert print_length(exact, "cm") == f"{in_cm} cm"
    assert print_length(exact, "in") == f"{inches} in"
    assert print_length(exact, "both") == f"{in_cm} cm / {inches} in"


def test_a_count_prints_as_it_is_and_a_length_in_its_units() -> None:
    """Stitches and rounds have no unit in prose; lengths do."""
    assert print_quantity(stitches(64)) == "64"
    assert print_quantity(rounds(Fraction(5, 2))) == "2.5"
    assert print_quantity(cm(20), "in") == "7¾ in"


@pytest.mark.parametrize(
    ("name", "takes", "leaves", "lean"),
    [
        *(("k", 1, 1, ""), ("P", 1, 1, ""), ("sl", 1, 1, ""), ("Slip", 1, 1, ""), ("DS", 1, 1, "")),
        *(("k2tog", 2, 1, "right"), ("K2TOG", 2, 1, "right"), ("ssk", 2, 1, "left"), ("skp", 2, 1, "left")),
        *(("p2tog", 2, 1, "left"), ("ssp", 2, 1, "right"), ("p2tog tbl", 2, 1, "right")),
        *(("k3tog", 3, 1, "right"), ("sssk", 3, 1, "left"), ("sk2p", 3, 1, "left"), ("s2kp", 3, 1, "centre")),
        *(("yo", 0, 1, ""), ("m1", 0, 1, ""), ("m1l", 0, 1, "left"), ("M1R", 0, 1, "right"), ("m1p", 0, 1, "")),
        *(("kfb", 1, 2, ""), ("pfb", 1, 2, ""), ("kyok", 1, 3, ""), ("(k1, p1, k1) into one", 1, 3, "")),
        *(("2/2 LC", 4, 4, ""), ("3/1 rpc", 4, 4, ""), ("c4f", 4, 4, ""), ("C6B", 6, 6, ""), ("RT", 2, 2, "")),
    ],
)
def test_each_stitch_takes_and_leaves_what_it_does(name: str, takes: int, leaves: int, lean: str) -> None:
    """In any case of letters; a decrease has its lean as seen from the side it is worked on."""
    stitch = stitch_named(name)
    assert stitch is not None
    assert (stitch.takes, stitch.leaves, stitch.lean) == (takes, leaves, lean)
    assert stitch.change == leaves - takes


@pytest.mark.parametrize("name", ["", "foo", "c3f", "c0f", "0/2 lc", "2/2 xc", "k2", "ssk2"])
def test_what_is_no_stitch_has_no_name(name: str) -> None:
    """An odd crossing, a crossing of nothing, a count: none of them is a stitch."""
    assert stitch_named(name) is None


def test_only_a_slip_and_a_double_stitch_make_no_loop() -> None:
    """Slipping uses no yarn; every other stitch makes as many loops as it leaves, at the least one."""
    for name in ("k", "p", "k2tog", "sssk", "yo", "kfb", "kyok", "2/2 LC"):
        stitch = stitch_named(name)
        assert stitch is not None
        assert stitch.loops == stitch.leaves
    assert [stitch.loops for name in ("sl", "DS") if (stitch := stitch_named(name))] == [0, 0]


def test_cables_know_what_crosses_over_what() -> None:
    """C6F is three over three to the left; the short and the long name are one."""
    assert stitch_named("C6F") == stitch_named("3/3 LC")
    stitch = stitch_named("1/2 RPC")
    assert stitch is not None
    assert stitch.crossing == (1, 2, "R")
    assert stitch.face == "mixed"


def test_a_lean_turns_over_with_the_fabric() -> None:
    """From the other side left is right; the centre stays."""
    assert [mirrored(each) for each in ("left", "right", "centre", "")] == ["right", "left", "centre", ""]


def test_words_agree_with_their_numbers() -> None:
    """1 st, 2 sts; once, twice, 3 times; a, b and c."""
    assert (counted(1, "st"), counted(2, "st"), counted(0, "foot", "feet")) == ("1 st", "2 sts", "0 feet")
    assert (times(1), times(2), times(3)) == ("once", "twice", "3 times")
    assert joined([]) == ""
    assert joined(["a"]) == "a"
    assert joined(["a", "b", "c"], "or") == "a, b or c"


def test_a_finding_says_where_and_how_much_it_weighs() -> None:
    """A place is file:line:column; only errors stop publication; a ledger is true once it holds something."""
    place = Span("socks.yaml", 3, 5)
    assert str(place.shifted(4)) == "socks.yaml:3:9"
    ledger = Ledger()
    assert not ledger
    ledger.add("count", "wrong", place, found="7")
    ledger.add("small", "worth knowing", severity=Severity.REMARK)
    assert ledger
    assert [entry.is_error for entry in ledger.entries] == [True, False]
    assert ledger.entries[0] == Finding("count", "wrong", place, found="7")
