"""Parts that ship fit each other: any cuff, heel and toe make a sock that knits up."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grader.loading import load_text
from grader.pipeline import Checked, Wanted, check
from grader.resources import folder
from grader.setups import setup_names
from grader.vocabulary.size_charts import read_chart

from .combining import CUFFS, HEELS, LEGS, TOES, UP_CUFFS, UP_HEELS, UP_TOES, combinations, pattern_of
from .test_order import assert_in_order

HERE = str(folder("patterns") / "put_together.yaml")


def made(
    parts: tuple[str, ...], chart: str = "adult-feet", some: slice = slice(None), setups: tuple[str, ...] = ()
) -> Checked:
    """The socks of these parts in some of the sizes of a chart and of the setups."""
    pattern, findings = load_text(pattern_of(parts, chart), HERE, read_chart)
    assert findings == []
    assert pattern is not None
    return check(replace(pattern, bodies=pattern.bodies[some]), Wanted(setups))


EVERY = list(combinations())
SAMPLED = [*(parts for parts in EVERY if "foot-plain" in parts)][::23] + [
    *(parts for parts in EVERY if "toe-up-foot" in parts)
][::7]


@pytest.mark.parametrize(("place", "parts"), list(enumerate(SAMPLED)), ids=[", ".join(parts) for parts in SAMPLED])
def test_a_combination_knits_up(place: int, parts: tuple[str, ...]) -> None:
    """Some of the combinations, in every third size and every second setup, each in turn.

    The bench `tests.bench.combinations` knits them all, in twelve sizes or more.
    """
    checked = made(parts, some=slice(place % 3, None, 3), setups=setup_names()[place % 2 :: 2])
    assert not [finding for finding in checked.findings if finding.is_error]
    assert len(checked.socks) == 2 * 2
    assert_in_order(checked)


def test_the_sample_has_every_part() -> None:
    assert {part for parts in SAMPLED for part in parts} == {part for parts in combinations() for part in parts}


def test_there_are_as_many_combinations_as_parts_to_combine() -> None:
    down, up = len(CUFFS) * len(LEGS) * len(HEELS) * len(TOES), len(UP_TOES) * len(UP_HEELS) * len(UP_CUFFS)
    assert (down, up) == (1080, 60)
    assert len(list(combinations())) == down + up


# Talu, a German craft magazine's size table of the short-row heel (looked up): cast-on, side, middle.
SHORT_ROWS = [(44, 7, 8), (48, 8, 8), (52, 8, 10), (56, 9, 10), (60, 10, 10), (64, 10, 12), (68, 11, 12), (72, 12, 12)]


@pytest.mark.parametrize(("cast_on", "side", "middle"), SHORT_ROWS)
@pytest.mark.parametrize("heel", ["heel-german-short-row", "heel-wrapped-short-row"])
def test_the_short_row_heel_is_split_as_published(heel: str, cast_on: int, side: int, middle: int) -> None:
    own = "  cast_on_2: {exactly: 0}\n"
    text = pattern_of(("cuff-2x2-rib", "leg-straight", heel, "foot-plain", "toe-wedge"), own=own)
    text = text.replace(
        "{chart: adult-feet}",
        "{own: [{name: A, foot_circumference: %s cm, foot_length: 26 cm, leg_length: 18 cm}]}" % (cast_on / 2.88),
    )
    pattern, findings = load_text(text, HERE, read_chart)
    assert findings == []
    assert pattern is not None
    checked = check(pattern, Wanted())
    assert checked.is_sound
    (size,) = checked.sizes
    assert (size.count("cast_on"), size.count("short_side"), size.count("short_middle")) == (cast_on, side, middle)
    worked = [line for line in checked.socks[0].record.lines if line.section == "Heel" and line.kind == "row"]
    assert sum(line.times * line.block_times for line in worked) == 4 * side


# Heels with a centre band of constant width, from published pages (looked up): heel, side, band.
@pytest.mark.parametrize(("cast_on", "side", "band"), [(60, 10, 10), (56, 9, 10)])
def test_the_band_heel_is_split_as_published(cast_on: int, side: int, band: int) -> None:
    parts = ("cuff-2x2-rib", "leg-straight", "heel-flap-slipped", "turn-band", "gusset", "foot-plain", "toe-wedge")
    checked = made(parts, "all-feet", slice(5, 7))
    size = next(each for each in checked.sizes if each.count("cast_on") == cast_on)
    assert (size.count("heel_side"), size.count("band"), size.count("heel_left")) == (side, band, band)
    sock = next(each for each in checked.socks if each.graded is size)
    turn = [line for line in sock.record.lines if line.section == "Heel turn"]
    assert turn[0].before == cast_on // 2
    assert turn[-1].after == band
