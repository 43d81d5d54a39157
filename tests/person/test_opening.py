"""The leg and its edge must go over heel and ankle bend; where they don't, a remark says so and what to do."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from colours.socks import FLAP, STRANDED, text_of
from hypothesis import given, settings
from hypothesis import strategies as st
from parts.combining import pattern_of

from grader.inspection import Run, inspect
from grader.inspection.opening import fabric_of
from grader.models.pattern import Pattern
from grader.pipeline import Wanted, check, for_one
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Finding, Severity
from grader.vocabulary.stretch import stretch_of

from .people import FLAPPED, opened, person

SETUP = Wanted(("double-pointed, set of 5",))
SHORT = ("leg-ankle", "heel-german-short-row", "foot-plain", "toe-star")


def openings(pattern: Pattern, body: Body) -> list[Finding]:
    return [each for each in check(for_one(pattern, body), SETUP).findings if each.code == "opening"]


def with_heel(pattern: Pattern, heel: Fraction, estimated: bool = False) -> Body:
    body = person(pattern)
    names = frozenset({"heel_diagonal"}) if estimated else frozenset()
    return replace(body, measures={**body.measures, "heel_diagonal": heel}, usual={}, estimated=names)


@pytest.fixture
def plain(tmp_path: Path) -> Pattern:
    return opened(tmp_path, pattern_of(FLAPPED))


def test_the_remark_names_the_round_the_reach_and_what_it_takes(plain: Pattern) -> None:
    """Sixty stitches at 32 to 10 cm are 18.75 cm, and stretch 1.7 times to 31.9 cm."""
    (found,) = openings(plain, with_heel(plain, Fraction(34)))
    assert found.message == "60 sts of plain knitting stretch to about 31.9 cm, and the heel is 34.0 cm round"
    assert found.severity is Severity.REMARK
    assert found.expected == "34.0 cm or more, which takes 64 sts"
    assert found.mend == "knit the leg with more stitches, in rib, or on larger needles"
    assert (found.section, found.setups) == ("Leg", SETUP.setups)


def test_an_estimated_heel_is_called_one(plain: Pattern) -> None:
    (found,) = openings(plain, with_heel(plain, Fraction(34), estimated=True))
    assert found.message.endswith("the heel is 34.0 cm round, estimated from the foot")


def test_nothing_is_said_where_the_heel_is_not_known_or_goes_through(plain: Pattern, ninepenny: Pattern) -> None:
    assert openings(plain, with_heel(plain, Fraction(31))) == []
    some = check(replace(ninepenny, bodies=ninepenny.bodies[:2]))
    assert "opening" not in {each.code for each in some.findings}


@pytest.mark.parametrize(
    ("cuff", "fabric", "stretch"),  # the ribs as a craft page tested them, the plain one an estimate
    [
        ("cuff-1x1-rib", "1 x 1 rib", "1.96"),
        ("cuff-2x2-rib", "2 x 2 rib", "2.23"),
        (
            "cuff-3x1-rib",
            "plain knitting",
            "1.7",
        ),  # a rib of unknown stretch: the careful figure
        ("cuff-rolled", "plain knitting", "1.7"),
    ],
)
def test_each_cuff_is_known_by_its_fabric(cuff: str, fabric: str, stretch: str, tmp_path: Path) -> None:
    pattern = opened(tmp_path, pattern_of((cuff, *SHORT)))
    checked = check(for_one(pattern, person(pattern)), SETUP)
    rounds = [line for line in checked.socks[0].record.lines if line.section == "Cuff" and line.kind == "round"]
    assert fabric_of(rounds[-1]) == (fabric, Fraction(stretch))


def test_floats_hardly_stretch(tmp_path: Path) -> None:
    """60 stitches are 18.75 cm, and with floats stretch 1.45 times to 27.2 cm."""
    pattern = opened(tmp_path, text_of(FLAP, "colours: {MC: {label: slate}, CC: {label: oat}}", STRANDED))
    (found,) = openings(pattern, with_heel(pattern, Fraction(28)))
    assert found.message == "60 sts of stranded knitting stretch to about 27.2 cm, and the heel is 28.0 cm round"
    assert found.mend == "knit the leg with more stitches or on larger needles: floats hardly stretch"
    assert openings(pattern, with_heel(pattern, Fraction(27))) == []


@settings(max_examples=10, deadline=None)
@given(st.integers(min_value=260, max_value=440))
def test_the_stitches_it_takes_are_enough_and_four_fewer_are_not(
    tmp_path_factory: pytest.TempPathFactory, mm: int
) -> None:
    pattern = opened(tmp_path_factory.mktemp("heel"), pattern_of(FLAPPED))
    heel = Fraction(mm, 10)
    found = openings(pattern, with_heel(pattern, heel))
    reach = Fraction(60) / pattern.gauge.stitches * Fraction(17, 10)
    assert bool(found) == (reach < heel * Fraction(999, 1000))
    for each in found:
        needed = int(each.expected.split()[-2])
        assert needed * Fraction(17, 10) / pattern.gauge.stitches >= heel
        assert (needed - 4) * Fraction(17, 10) / pattern.gauge.stitches < heel


def loose(pattern: Pattern, body: Body) -> list[Finding]:
    return [each for each in check(for_one(pattern, body), SETUP).findings if each.code == "loose"]


def with_ankle(pattern: Pattern, ankle: Fraction, estimated: bool = False) -> Body:
    body = person(pattern)
    names = frozenset({"ankle"}) if estimated else frozenset()
    return replace(body, measures={**body.measures, "ankle": ankle}, usual={"ankle": Fraction(20)}, estimated=names)


def test_a_leg_wider_than_a_measured_ankle_hangs_loose(plain: Pattern) -> None:
    """Sixty stitches at 32 to 10 cm are 18.75 cm."""
    (found,) = loose(plain, with_ankle(plain, Fraction(17)))
    assert found.message == "60 sts at the ankle are 18.8 cm round, and the ankle is 17.0 cm: the leg will hang loose"
    assert found.severity is Severity.REMARK
    assert found.expected == "17.0 cm or less, which 52 sts make"
    assert (found.section, found.setups) == ("Leg", SETUP.setups)
    assert loose(plain, with_ankle(plain, Fraction(19))) == []


def test_an_ankle_that_nobody_measured_may_be_any_of_nine_in_ten(plain: Pattern) -> None:
    """Beside a foot of 21 by 24 cm ankles have 20.3 cm, and spread by 1.2 cm."""
    assert loose(plain, with_ankle(plain, Fraction(17), estimated=True)) == []
    (found,) = loose(plain, with_ankle(plain, Fraction(16), estimated=True))
    assert "of ankles beside such a foot nine in ten are at the most 1" in found.message


@pytest.mark.parametrize(("stitches", "sizes"), [(32, set()), (26, {"6", "7"})])
def test_sizes_of_a_range_are_held_against_the_ankles_of_such_feet(
    ninepenny: Pattern, stitches: int, sizes: set[str]
) -> None:
    """Nobody said what ankles the sizes have; the legs are knitted as they are, or come out a fifth wider."""
    some = replace(ninepenny, bodies=ninepenny.bodies[5:7])
    runs = [Run(sock.graded, sock.record) for sock in check(some, SETUP).socks]
    as_wide = replace(some, gauge=replace(some.gauge, stitches=Fraction(stitches, 10)))
    found = [each for each in inspect(as_wide, runs) if each.code == "loose"]
    assert {size for each in found for size in each.sizes} == sizes


def test_a_leg_in_rib_closes_round_any_ankle(tmp_path: Path) -> None:
    pattern = opened(tmp_path, pattern_of(("cuff-2x2-rib", "leg-motif", *FLAPPED[2:], "stitch-rib-2x1")))
    assert loose(pattern, with_ankle(pattern, Fraction(15))) == []


def test_an_ordinary_sock_goes_over_an_ordinary_heel() -> None:
    """A designer's guide: the heel is 130 to 140 % of the foot; a sock a tenth smaller must reach so far."""
    for fabric in ("1 x 1 rib", "2 x 2 rib", "plain knitting"):
        assert stretch_of(fabric)[1] * Fraction(9, 10) >= Fraction(140, 100)
    assert stretch_of("stranded knitting")[1] * Fraction(95, 100) >= Fraction(136, 100)


def test_a_fabric_without_a_figure_is_a_mistake() -> None:
    with pytest.raises(KeyError):
        stretch_of("felt")
