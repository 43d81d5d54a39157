"""Alterations: what is worked otherwise for a person, told with its reason, and knitted through."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from parts.combining import CUFFS, FLAPS, TURNS, pattern_of

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import Wanted, check, for_one, grade_all, open_pattern, with_parts_for
from grader.sizing import alterations_for, grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.quantities import CM_PER_INCH

from .people import FLAPPED, opened, person

UP = ("toe-up-wedge", "toe-up-foot", "toe-up-heel-gusset", "toe-up-leg", "toe-up-cuff-2x2-rib")
HIGH = {"heel_diagonal": "1.0401"}


def graded(pattern: Pattern, body: Body) -> Graded:
    sock, findings = grade(pattern, body)
    assert sock is not None, findings
    return sock


def altered_for(pattern: Pattern, body: Body) -> tuple[Graded, Pattern, Body]:
    """The sock of a person with the parts that are taken for her."""
    other, told, findings = with_parts_for(pattern, body)
    assert other is not None, findings
    return graded(for_one(other, told), told), for_one(other, told), told


@pytest.fixture
def flapped(tmp_path: Path) -> Pattern:
    return opened(tmp_path, pattern_of(FLAPPED))


@pytest.mark.parametrize("measure", ["heel_diagonal", "instep_girth"])
def test_a_designers_blog_adds_four_gusset_stitches_for_a_high_instep(measure: str, flapped: Pattern) -> None:
    """Published: four stitches more in the gusset, or a longer flap. They are the same: two rows to an edge stitch."""
    usual, high = graded(flapped, person(flapped)), graded(flapped, person(flapped, {measure: "1.041"}))
    if measure == "instep_girth":  # a narrower girth, so that as large a share is less of it
        high = graded(flapped, person(flapped, {measure: "1.06"}))
    assert high.count("sole") - usual.count("sole") == 4
    assert high.count("heel_rows") - usual.count("heel_rows") == 4
    assert high.count("pick_up") - usual.count("pick_up") == 2
    assert high.count("gusset_decreases") - usual.count("gusset_decreases") == 2


def test_a_designers_blog_has_sixty_stitches_at_the_foot_and_eighty_at_the_calf(flapped: Pattern) -> None:
    body = person(flapped)
    wide = body.usual["calf"] + Fraction(20) / (Fraction(9, 10) * flapped.gauge.stitches)
    body = replace(body, measures={**body.measures, "calf": wide}, estimated=frozenset())
    sock, pattern, told = altered_for(flapped, body)
    assert (sock.count("cast_on"), sock.count("top"), sock.count("calf_decreases")) == (60, 80, 10)
    assert any(line.startswith("Wide calf: ") for line in told.told)
    checked = check(pattern)
    assert checked.is_sound, checked.findings


def test_what_was_altered_is_told_with_both_numbers_and_why(flapped: Pattern) -> None:
    assert graded(flapped, person(flapped)).altered == ()
    assert graded(flapped, person(flapped, HIGH)).altered == (
        "High instep, by the heel: rows of the heel flap 34 instead of 30. Heel and ankle bend are wider round than is"
        " usual for this foot. A longer flap gives more stitches to pick up, and the gusset more room.",
    )


@pytest.mark.parametrize(("share", "altered"), [("1.0399", False), ("1.04", False), ("1.0401", True), ("0.9", False)])
def test_an_alteration_begins_at_its_limit(share: str, altered: bool, flapped: Pattern) -> None:
    names = {each.name for each in alterations_for(flapped, person(flapped, {"heel_diagonal": share}))}
    assert ("High instep, by the heel" in names) == altered


def test_of_two_for_one_number_the_first_holds(flapped: Pattern) -> None:
    both = graded(flapped, person(flapped, {"heel_diagonal": "1.041", "instep_girth": "1.15"}))
    heel = graded(flapped, person(flapped, {"heel_diagonal": "1.041"}))
    assert both.count("heel_rows") == heel.count("heel_rows")


def test_a_longer_flap_stops_at_half_as_much_again(flapped: Pattern) -> None:
    sock = graded(flapped, person(flapped, {"heel_diagonal": "1.5"}))
    assert sock.count("heel_rows") == 44  # the even number below 45, which is half as much again as 30


def test_an_estimate_alters_nothing(flapped: Pattern) -> None:
    body = replace(person(flapped, HIGH), estimated=frozenset({"heel_diagonal"}))
    assert graded(flapped, body).altered == ()


@pytest.mark.parametrize("measure", ["foot_length", "foot_circumference"])
def test_nothing_is_unusual_beside_a_foot_that_is_only_estimated(measure: str, flapped: Pattern) -> None:
    body = person(flapped, HIGH)
    assert alterations_for(flapped, body)
    assert alterations_for(flapped, replace(body, estimated=frozenset({measure}))) == ()


def test_the_sizes_of_a_chart_are_never_altered(ninepenny: Pattern) -> None:
    assert ninepenny.alterations
    sizes, findings = grade_all(ninepenny)
    assert not findings
    assert all(each.altered == () for each in sizes)
    assert [alterations_for(ninepenny, each) for each in ninepenny.bodies] == [()] * len(ninepenny.bodies)


@pytest.mark.parametrize(
    ("shares", "girth", "instead"),
    [
        ({"heel_diagonal": "0.95"}, Fraction(21), {"Heel turn": "turn-band"}),
        ({}, Fraction(25), {"Toe": "toe-wide-wedge"}),
        ({"calf": "1.12"}, Fraction(21), {"Leg": "leg-tapered"}),
        ({"calf": "1.2", "heel_diagonal": "0.9"}, Fraction(25), {"Leg": "leg-tapered", "Heel turn": "turn-band"}),
        ({}, Fraction(21), {"Heel turn": "turn-round", "Toe": "toe-wedge", "Leg": "leg-straight"}),
    ],
    ids=["narrow heel", "broad toes", "wide calf", "several", "usual"],
)
def test_other_parts_are_taken_where_they_fit_better(
    shares: dict[str, str], girth: Fraction, instead: dict[str, str], flapped: Pattern
) -> None:
    _, pattern, _ = altered_for(flapped, person(flapped, shares, foot_circumference=girth))
    files = {section.name: Path(section.span.file).stem for section in pattern.sections}
    assert instead.items() <= files.items()
    checked = check(pattern)
    assert checked.is_sound, checked.findings


@pytest.mark.parametrize("flap", FLAPS)
@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("share", ["0.93", "1.05", "1.12"])
def test_altered_heels_knit_through_in_every_setup(flap: str, turn: str, share: str, tmp_path: Path) -> None:
    pattern = opened(tmp_path, pattern_of((FLAPPED[0], "leg-ankle", flap, turn, *FLAPPED[4:])))
    sock, altered, told = altered_for(pattern, person(pattern, {"heel_diagonal": share}))
    checked = check(altered)
    assert checked.is_sound, checked.findings
    assert len(checked.socks) == 4
    assert bool(sock.altered or told.told) == (share != "0.93" or turn != "turn-band")


def test_a_gusset_from_the_toe_up_grows_for_a_high_instep(tmp_path: Path) -> None:
    pattern = opened(tmp_path, pattern_of(UP))
    usual, high = (graded(pattern, person(pattern, shares)) for shares in ({}, HIGH))
    assert 2 * (high.count("gusset_side") - usual.count("gusset_side")) == 4
    checked = check(for_one(pattern, person(pattern, HIGH)), Wanted())
    assert checked.is_sound, checked.findings


@pytest.mark.parametrize("cuff", CUFFS)
def test_a_leg_that_narrows_is_sound_for_whole_charts_with_every_cuff(cuff: str, tmp_path: Path) -> None:
    """As a designer takes it, without anybody's measures."""
    parts = (cuff, "leg-tapered", "heel-german-short-row", "foot-plain", "toe-star")
    pattern = opened(tmp_path, pattern_of(parts, "all-feet"))
    checked = check(replace(pattern, bodies=pattern.bodies[::3]))
    assert [each.message for each in checked.findings if each.is_error] == []
    assert {sock.graded.count("top") - sock.graded.count("cast_on") >= 8 for sock in checked.socks} == {True}


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(min_value=80, max_value=140), st.integers(min_value=80, max_value=140))
def test_a_rounder_heel_never_gets_a_shorter_flap(flapped: Pattern, first: int, second: int) -> None:
    low, high = (
        graded(flapped, person(flapped, {"heel_diagonal": f"{share}/100"})).count("heel_rows")
        for share in sorted((first, second))
    )
    assert 30 <= low <= high <= 45


def test_a_designer_writes_alterations_of_her_own(tmp_path: Path) -> None:
    own = """alterations:
  - name: Slim ankle
    when: ankle <= 20 cm
    numbers: {cuff_length: {exactly: leg_length / 3, unit: cm, why: It holds better.}}
    why: The ankle is slim, so that more rib holds the sock.
"""
    pattern = opened(tmp_path, pattern_of(FLAPPED, own=own))
    slim = person(pattern, {})
    slim = replace(slim, measures={**slim.measures, "ankle": Fraction(20)}, estimated=frozenset())
    told = graded(pattern, slim).altered
    assert [each.partition(":")[0] for each in told] == ["Slim ankle"]
    third = slim.measures["leg_length"] / 3
    assert graded(pattern, slim).names["cuff_length"].amount == third
    assert f"{float(round(third * 2) / 2):g} cm / {float(round(third / CM_PER_INCH * 4) / 4):.0f}" in told[0]


@pytest.mark.parametrize(
    ("swap", "message", "mend"),
    [
        ("turn-round: turn-bnad", "there is no part 'turn-bnad'", "did you mean 'turn-band'?"),
        ("turn-rond: turn-band", "the pattern has no part 'turn-rond'", "did you mean 'turn-round'?"),
    ],
)
def test_a_part_that_is_not_there_is_found_before_anybody_needs_it(
    swap: str, message: str, mend: str, tmp_path: Path
) -> None:
    own = f"alterations:\n  - {{name: Slim, when: ankle < 20 cm, parts: {{{swap}}}, why: It is slim.}}\n"
    path = tmp_path / "own.yaml"
    path.write_text(pattern_of(FLAPPED, own=own), encoding="utf-8")
    pattern, findings = open_pattern(str(path))
    assert pattern is None
    assert [(each.message, each.mend) for each in findings] == [(message, mend)]
    assert findings[0].span is not None
    assert findings[0].span.file == str(path)
