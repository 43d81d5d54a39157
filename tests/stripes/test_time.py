"""Hours of knitting: stitches of the record at a speed, by part, with rests."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grader.cli import main
from grader.timing import time_for_pair
from grader.vocabulary.knitting_speed import breaks, speeds_possible, usual_speed
from grader.vocabulary.reference import read_reference

from .socks import PAIR, PLAIN, TOE_UP, sock


@settings(deadline=None)
@given(st.sampled_from([PLAIN, TOE_UP, PAIR]), st.fractions(1, 120, max_denominator=100))
def test_stitches_and_minutes_add_up_and_rests_lie_between(name: str, speed: Fraction) -> None:
    records = sock(name).records
    time = time_for_pair(records, speed)
    assert time.stitches == records[0].stitches + records[-1].stitches
    assert time.minutes == time.stitches / speed
    assert time.rests * time.every < time.minutes <= (time.rests + 1) * time.every
    assert time.minutes_resting == 5 * time.rests


def test_a_pair_worked_by_hand() -> None:
    time = time_for_pair(sock(PLAIN).records, Fraction(20))
    leg = next(part for part in time.parts if part.section == "Leg")
    assert (leg.stitches, leg.minutes) == (2 * 60 * 64, Fraction(2 * 60 * 64, 20))
    assert time.rests == math.ceil(time.minutes / 30) - 1


def test_half_an_hour_needs_no_rest_and_a_stitch_more_needs_one() -> None:
    records = sock(PLAIN).records
    stitches = 2 * records[0].stitches
    assert time_for_pair(records, Fraction(stitches, 30)).rests == 0
    assert time_for_pair(records, Fraction(stitches, 30) * Fraction(999, 1000)).rests == 1


def test_no_speed_is_refused() -> None:
    with pytest.raises(ValueError, match="speed"):
        time_for_pair(sock(PLAIN).records, Fraction(0))


def test_the_speeds_say_that_they_are_estimates() -> None:
    contents = read_reference("knitting_speed")
    assert "estimate" in contents["source"]["status"]
    assert all("estimate" in row["status"] for row in contents["rows"])
    least, most = speeds_possible()
    paces = [row["stitches"] for row in contents["rows"]]
    assert least < min(paces) < usual_speed() < max(paces) < most
    assert breaks()[0] == 30  # as the caution of every document says


def test_the_command_has_a_row_for_each_size_and_a_column_for_each_part(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["time", PLAIN, "--sizes", "7-8", "--quiet"]) == 0
    head, seven, eight, *_ = capsys.readouterr().out.splitlines()
    assert "Heel flap" in head
    assert (seven.split()[0], eight.split()[:4]) == ("7", ["8", "21228", "1:42", "6:24"])
    assert eight.split()[-3:] == ["17:41", "35", "20:36"]


def test_twice_the_speed_is_half_the_time(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["time", PLAIN, "--sizes", "8", "--speed", "40"]) == 0
    told = capsys.readouterr().out
    assert "8:51" in told.splitlines()[1]
    assert "40 stitches a minute, an estimate" in told


@pytest.mark.parametrize("typed", ["0", "500", "-3", "fast", "", "2" * 60])
def test_a_speed_that_cant_be_is_refused(typed: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["time", PLAIN, "--speed", typed]) == 2
    assert "speed" in capsys.readouterr().err
