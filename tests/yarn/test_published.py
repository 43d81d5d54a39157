"""The yarn of whole socks beside what others have weighed, sold and advised."""

from __future__ import annotations

import math
import statistics
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from history.socks import knitted as of_history

from grader.cli.yarn import ball_of
from grader.models.yarn import YarnUse, balls_to_buy
from grader.vocabulary.loop_length import loop_length_cm, relaxation_state
from grader.vocabulary.yarn_factors import ball_weights, hand
from grader.yarn_use import yarn_for_pair

from .socks import at_gauge, pattern_named, text_of, with_foot, worked

Row = dict[str, Any]


@cache
def tables() -> dict[str, dict[str, Any]]:
    contents: dict[str, dict[str, Any]] = yaml.safe_load(
        Path(__file__).with_name("published.yaml").read_text(encoding="utf-8")
    )
    return contents


def cases(name: str) -> list[Any]:
    """The rows of a table; the id names the source."""
    table = tables()[name]
    rows = [{"source": table["source"], **row} for row in table["rows"]]
    return [pytest.param(row, id=f"{name} {number} [{row['source']}]") for number, row in enumerate(rows, 1)]


def told(row: Row) -> YarnUse:
    """What the grader tells of a weighed pair; a scale tells of no swatch."""
    pattern = at_gauge(pattern_named("ninepenny_bridge"), row["gauge"], row["metres"], row["per"])
    graded, _, use = worked(with_foot(pattern, row["foot"], row["length"], row["leg"]))
    if "cast_on" in row:
        assert graded.count("cast_on") == row["cast_on"]
    return use


def by_hand() -> dict[str, float]:
    """The weighed pairs that were knitted by hand: how many times what is told each took, by its source."""
    rows = [row for row in tables()["weighed"]["rows"] if row.get("by") != "machine"]
    return {row["source"]: row["grams"] / (use.knitted + use.ends).grams for row in rows for use in (told(row),)}


@pytest.mark.parametrize("row", [each for each in cases("weighed") if each.values[0].get("by") != "machine"])
def test_a_pair_weighs_what_the_range_holds(row: Row) -> None:
    use = told(row)
    alone = (use.knitted + use.ends).grams
    assert alone * (1 - use.give) <= row["grams"] <= alone * (1 + use.give)


def test_the_weighed_pairs_take_neither_more_nor_less_in_the_mean() -> None:
    ratios = by_hand()
    assert len(ratios) == 4
    assert statistics.mean(ratios.values()) == pytest.approx(1, abs=0.01)


def test_the_calibration_is_what_the_weighed_pairs_come_to() -> None:
    """Their mean beside the geometry, to the hundredth, from as many pairs as it says."""
    beside = [ratio * hand().takes for ratio in by_hand().values()]
    assert hand().pairs == len(beside)
    assert hand().takes == pytest.approx(statistics.mean(beside), abs=0.005)
    assert statistics.stdev(beside) / math.sqrt(len(beside)) == pytest.approx(0.03, abs=0.005)  # as its row says


def test_each_weighed_pair_is_told_from_the_others() -> None:
    """The range would hold a pair that the calibration had never seen."""
    ratios, give = by_hand(), told(tables()["weighed"]["rows"][0]).give
    for source, ratio in ratios.items():
        others = statistics.mean(each for name, each in ratios.items() if name != source)
        assert ratio / others == pytest.approx(1, abs=give), source


def test_a_machine_knit_pair_weighs_what_the_geometry_gives() -> None:
    """Within 15 %: the geometry is that of machines, and the calibration that of hands."""
    (row,) = [each for each in tables()["weighed"]["rows"] if each.get("by") == "machine"]
    assert told(row).knitted.grams / hand().takes == pytest.approx(row["grams"], rel=0.15)


@pytest.mark.parametrize("row", cases("advice"))
def test_a_pair_takes_no_more_than_is_advised_and_not_much_less(row: Row) -> None:
    """Advice is for the pair, without a swatch, and leaves something over; a `tight` one holds the least likely."""
    pattern = at_gauge(pattern_named("ninepenny_bridge"), row["gauge"], 400, 100)
    graded, _, use = worked(with_foot(pattern, row["foot"], row["length"], row["leg"]))
    assert graded.count("cast_on") == row["cast_on"]
    taken = use.knitted.metres + use.ends.metres
    assert row["most"] / 2 < taken
    assert taken * (1 - use.give if row.get("tight") else 1) <= row["most"]


@pytest.mark.parametrize("row", cases("balls"))
def test_no_more_balls_than_the_table_says(row: Row) -> None:
    """The table is for the pair; a swatch of a twelfth of the yarn would be more than it reckons with."""
    checked = of_history(row["sock"])
    for sock in checked.socks:
        assert _balls(yarn_for_pair(checked.pattern, sock.record)) <= row["most"]


def _balls(use: YarnUse) -> int:
    """Balls of 205 m for the pair without its swatch."""
    alone = replace(use, metres_pair=use.metres_pair - use.swatch.metres)
    return balls_to_buy(alone, 205, 1).expected


def test_the_sizes_of_the_ball_table_are_not_all_alike() -> None:
    """The largest that could be read takes more balls than the smallest."""
    counts = []
    for row in tables()["balls"]["rows"]:
        checked = of_history(row["sock"])
        counts.append(_balls(yarn_for_pair(checked.pattern, checked.socks[0].record)))
    assert counts == sorted(counts)
    assert counts[0] == 1
    assert counts[-1] >= 2


@pytest.mark.parametrize("part", ["cuff", "toe"])
@pytest.mark.parametrize("row", cases("shares"))
def test_the_shares_of_contrast_parts(row: Row, part: str) -> None:
    """Counted in stitches within a hundredth."""
    pattern = text_of(
        "ninepenny_bridge",
        ("nearest: leg_length / 5\n    multiple_of: 0.5 cm", "exactly: 16 rounds / gauge.rounds"),
    )
    _, record, use = worked(with_foot(pattern, row["foot"], row["length"], 20))
    worked_lines = [line for line in record.lines if line.made]
    counts: dict[str, int] = {}
    for line in worked_lines:
        name = {"Heel flap": "heel", "Heel turn": "heel"}.get(line.section, line.section.lower())
        made = sum(count for _, count in line.made)
        counts[name] = counts.get(name, 0) + made * line.times * line.block_times
    assert next(iter(record.lines)).after == row["cast_on"]
    assert 100 * counts[part] / sum(counts.values()) == pytest.approx(row[part], abs=1)
    share = 100 * use.part(part).metres / use.knitted.metres
    assert share == pytest.approx(row[part], rel=0.15)


@pytest.mark.parametrize("row", cases("areal_mass"))
def test_a_swatch_weighs_what_its_area_does(row: Row) -> None:
    """The handbook's machine-knit fabric, times what hands take beyond it."""
    pattern = at_gauge(pattern_named("ninepenny_bridge"), row["gauge"], row["metres"], 100)
    _, _, use = worked(with_foot(pattern, 22.5, 25, 18))
    wales, courses = (each / 10 for each in row["gauge"])
    tex = 100 / row["metres"] * 1000
    mass = wales * courses * loop_length_cm(wales, courses) * 10 * tex / 100
    assert use.swatch.grams == pytest.approx(mass * 0.12**2 * hand().takes)


def test_a_fully_relaxed_loop_of_half_a_cm_lies_so_dense() -> None:
    """A textile examination of 2015: constants 4.2 and 5.5, 92.4 loops to a square centimetre."""
    state = relaxation_state("fully relaxed")
    assert state.k_c * state.k_w / 0.5**2 == pytest.approx(92.4)
    assert loop_length_cm(state.k_w / 0.5, state.k_c / 0.5, "fully relaxed") == pytest.approx(0.5, rel=0.001)


@pytest.mark.parametrize("row", cases("skeins"))
def test_a_ball_is_as_long_as_its_band_says(row: Row) -> None:
    assert ball_of(row["text"], pattern_named("ninepenny_bridge")).metres == pytest.approx(row["metres"], abs=0.1)


def test_balls_of_100_g_weighed_so_much() -> None:
    """A knitting blog: 92 to 104 g."""
    assert ball_weights() == (0.92, 1.04)
