"""Parts that ship fit each other: any cuff, heel and toe make a sock that knits up."""

from __future__ import annotations

import pytest

from grader.loading import load_text
from grader.pipeline import Checked, Wanted, check
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart

from .combining import CUFFS, HEELS, TOES, combinations, pattern_of

HERE = str(folder("patterns") / "put_together.yaml")


def made(parts: tuple[str, ...], chart: str = "adult-feet", own: str = "") -> Checked:
    pattern, findings = load_text(pattern_of(parts, chart, own), HERE, read_chart)
    assert findings == []
    assert pattern is not None
    return check(pattern, Wanted())


@pytest.mark.parametrize("parts", list(combinations())[::6], ids=", ".join)
def test_a_combination_knits_up_in_every_size_and_setup(parts: tuple[str, ...]) -> None:
    """Every sixth combination; the bench `tests.bench.combinations` knits them all in 14 sizes."""
    checked = made(parts)
    assert not [finding for finding in checked.findings if finding.is_error]
    assert len(checked.socks) == 6 * 4


def test_there_are_as_many_combinations_as_cuffs_heels_and_toes() -> None:
    assert len(list(combinations())) == len(CUFFS) * len(HEELS) * len(TOES) == 132


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
    checked = made(
        ("cuff-2x2-rib", "leg-straight", "heel-flap-slipped", "turn-band", "gusset", "foot-plain", "toe-wedge"),
        "all-feet",
    )
    size = next(each for each in checked.sizes if each.count("cast_on") == cast_on)
    assert (size.count("heel_side"), size.count("band"), size.count("heel_left")) == (side, band, band)
    sock = next(each for each in checked.socks if each.graded is size)
    turn = [line for line in sock.record.lines if line.section == "Heel turn"]
    assert turn[0].before == cast_on // 2
    assert turn[-1].after == band
