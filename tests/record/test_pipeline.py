"""The stages in their order: what is sound goes all the way, what isn't stops where it should and says so."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from strategies import NUMBERS, START, feet_of, loaded, pattern_text

from grader.pipeline import Wanted, check, for_one, grade_all, open_pattern, work_one
from grader.setups import setup_names
from grader.vocabulary.bodies import Body

TUBE = START + "      - rounds: in cuff\n        times: 4\n      - bind_off: all\n"
FOOT = Body("Ada", {"foot_circumference": Fraction(22), "foot_length": Fraction(24), "leg_length": Fraction(17)})


def test_every_size_is_worked_in_every_setup_in_the_terms_asked_for() -> None:
    """Two terms double the socks; setups of the pattern come first, those asked for before them."""
    pattern = loaded(pattern_text(TUBE))
    assert {sock.instructions.setup for sock in check(pattern).socks} == set(setup_names())
    both = check(pattern, Wanted(terms=("UK", "US")))
    assert [sock.record.terms for sock in both.socks] == ["UK", "US"] * 4
    assert both.is_sound
    only = check(replace(pattern, setups=setup_names()[:2]))
    assert [sock.record.setup for sock in only.socks] == list(setup_names()[:2])
    asked = check(replace(pattern, setups=setup_names()[:2]), Wanted((setup_names()[3],)))
    assert [sock.record.setup for sock in asked.socks] == [setup_names()[3]]


def test_progress_is_told_for_each_sock() -> None:
    """How many are done, out of how many."""
    told: list[tuple[str, int, int]] = []
    check(loaded(pattern_text(TUBE)), progress=lambda *each: told.append(each))
    assert told == [("knitting", done, 4) for done in range(4)]


def test_a_size_that_cannot_be_graded_stops_only_itself() -> None:
    """Its finding names it; the other sizes are worked."""
    feet = feet_of(A="20 cm", B="22.5 cm")
    numbers = f"{NUMBERS}  odd: {{exactly: heel, at_least: 30}}"
    pattern = loaded(pattern_text(TUBE, numbers=numbers, feet=feet))
    sizes, findings = grade_all(pattern)
    assert [each.body.name for each in sizes] == ["B"]
    assert [each.sizes for each in findings] == [("A",)]
    checked = check(pattern)
    assert not checked.is_sound
    assert {sock.graded.body.name for sock in checked.socks} == {"B"}


def test_one_knitter_has_her_own_foot_and_gauge() -> None:
    """The pattern is cut to one body; the samples of its own sizes no longer hold."""
    sample = "sample:\n  - size: M\n    numbers: {cast_on: 64}"
    pattern = loaded(pattern_text(TUBE, more=sample))
    same = for_one(pattern, FOOT)
    assert [each.name for each in same.bodies] == ["Ada"]
    assert pattern.samples
    assert same.samples == ()
    assert not same.gauge_changed
    thick = for_one(pattern, FOOT, replace(pattern.gauge, stitches=Fraction(24, 10)))
    assert thick.samples == ()
    assert thick.gauge_changed
    assert check(thick).sizes[0].count("cast_on") == 48


def test_the_same_finding_in_two_terms_is_kept_once() -> None:
    """UK and US pages of one sock have the same mistake."""
    pattern = loaded(pattern_text(START + "      - rounds: in cuff\n        times: 2\n"))
    once, twice = (check(pattern, Wanted(terms=terms)).findings for terms in (("UK",), ("UK", "US")))
    assert {finding.code for finding in once} == {"left-over"}
    assert once == twice


@pytest.mark.parametrize("units", ["cm", "in", "both"])
def test_units_change_words_and_no_stitch(units: str) -> None:
    """Lengths in the prose follow the units; the lines and counts stay."""
    pattern = loaded(
        pattern_text(TUBE.replace("times: 4", "times: 4\n        say: It is {leg_length, of the section} long."))
    )
    sizes, _ = grade_all(pattern)
    sock, findings = work_one(pattern, sizes[0], setup_names()[1], units=units)
    assert findings == []
    assert sock is not None
    said = sock.instructions.sections[0].blocks[1].say
    assert said == {"cm": "It is 16 cm long.", "in": "It is 6¼ in long.", "both": "It is 16 cm / 6¼ in long."}[units]
    assert [line.after for line in sock.record.lines] == [64, 64, 0]


def test_a_file_that_is_not_there_is_a_finding() -> None:
    """Opening gives no pattern and says why; nothing is raised."""
    pattern, findings = open_pattern("no-such-pattern.yaml")
    assert pattern is None
    assert findings
    assert findings[0].is_error
