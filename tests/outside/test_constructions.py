"""Published heels, toes, legs and whole socks, put together from the parts that ship and knitted through."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from grader.resources import folder

from .engine import FIVE, section, turn_of
from .published import Row, cases, published
from .put_together import (
    TOE_UP,
    Foot,
    Made,
    cuff_down,
    pattern_text,
    put_together,
    rounds_of,
    short_row_parts,
    stitches_in,
    told,
)
from .readings import read, slack

SHORT_ROWS = ("heel-german-short-row", "heel-wrapped-short-row")
HALF_CM = Fraction(1, 2)


def figure(name: str, made: Made) -> Any:
    """One figure of a sock by its name."""
    return read(name, made.checked, made.sock)


@pytest.mark.parametrize("row", cases("whole_socks"))
def test_a_whole_sock_from_its_foot(row: Row) -> None:
    foot = Foot(f"{row['foot_circumference_cm']} cm", f"{row['foot_length_cm']} cm")
    made = put_together(cuff_down(), foot=foot)
    assert {name: figure(name, made) for name in row["figures"]} == row["figures"]
    graded = made.sock.graded
    assert float(graded.finished["foot_circumference"]) == row["finished_cm"]
    assert round(100 * float(graded.ease["foot_circumference"]), 1) == row["ease"]
    assert figure("sock_foot_cm", made) == pytest.approx(row["sock_foot_cm"], abs=slack("sock_foot_cm", made.checked))
    starts, toe_rounds = graded.names["toe_start"].amount, graded.count("toe_rounds")
    assert round(starts / HALF_CM) * HALF_CM == Fraction(str(row["toe_starts_cm"]))
    assert round(toe_rounds / made.checked.pattern.gauge.rounds / HALF_CM) * HALF_CM == Fraction(str(row["toe_cm"]))


@pytest.mark.parametrize("row", cases("band_turns"))
def test_a_band_turn_splits_the_heel_in_three(row: Row) -> None:
    parts = cuff_down("heel-flap-slipped", "turn-band", "gusset")
    made = put_together(parts, cast_on=f"exactly: {2 * row['heel']}")
    side, band, _ = row["parts"]
    turn = turn_of(made.sock.record)
    assert (figure("heel_side", made), figure("band", made)) == (side, band)
    assert (turn.left, turn.rows) == (band, 2 * side)
    assert turn.rs_plain_sequence == (row["first"], *(row["then"] + 1,) * (side - 1))
    assert turn.ws_plain_sequence == (row["then"] + 1,) * side


@pytest.mark.parametrize("heel", SHORT_ROWS)
@pytest.mark.parametrize("row", cases("short_row_heels"))
def test_short_rows_split_the_heel_as_the_size_table_does(row: Row, heel: str) -> None:
    # no number is given but the cast-on: the split is the part's own
    made = put_together(cuff_down(heel), cast_on=f"exactly: {row['cast_on']}")
    assert short_row_parts(made) == (row["side"], row["middle"], row["side"])
    assert figure("heel", made) == row["heel"]


@pytest.mark.parametrize("heel", SHORT_ROWS)
@pytest.mark.parametrize("row", cases("short_row_heels_of_designers"))
def test_short_rows_split_the_heel_as_a_designer_does(row: Row, heel: str) -> None:
    made = put_together(cuff_down(heel), cast_on=f"exactly: {row['cast_on']}", short_side=f"exactly: {row['side']}")
    assert short_row_parts(made) == (row["side"], row["middle"], row["side"])


@pytest.mark.parametrize("row", cases("short_row_heels_of_designers"))
def test_short_rows_split_the_toe_as_a_designer_does(row: Row) -> None:
    parts = cuff_down("heel-german-short-row", toe="toe-short-row")
    made = put_together(parts, cast_on=f"exactly: {row['cast_on']}", toe_side=f"exactly: {row['side']}")
    assert short_row_parts(made, "Toe") == (row["side"], row["middle"], row["side"])


@pytest.mark.parametrize("heel", SHORT_ROWS)
@pytest.mark.parametrize("row", cases("short_row_share"))
def test_a_fifth_of_the_stitches_at_the_point_of_the_heel(row: Row, heel: str) -> None:
    share = "nearest: (heel - cast_on * 20 %) / 2"
    made = put_together(cuff_down(heel), cast_on=f"exactly: {row['stitches']}", short_side=share)
    assert short_row_parts(made) == (row["side"], row["middle"], row["side"])
    assert figure("heel", made) == row["heel"]


@pytest.mark.parametrize("row", cases("star_toes"))
def test_a_star_toe(row: Row) -> None:
    made = put_together(cuff_down(toe="toe-star"), cast_on=f"exactly: {row['stitches']}")
    shaped = [line for line in rounds_of(made, "Toe") if line.shaping]
    assert {len(line.shaping) for line in shaped} == {row["sections"]}
    assert figure("toe_steps", made) == [[row["alternate"], 2], [row["every"], 1]]
    assert shaped[row["alternate"] - 1].after == row["half"]
    assert shaped[-1].after == row["left"]
    end = section(made.sock.record, "Toe")[-1]
    assert (end.kind, end.after) == ("gather", 0)


@pytest.mark.parametrize("row", cases("wedge_toes"))
def test_a_wedge_toe(row: Row) -> None:
    for stitches in row["stitches"]:
        made = put_together(cuff_down(), cast_on=f"exactly: {stitches}")
        shaped = [line for line in rounds_of(made, "Toe") if line.shaping]
        assert {len(line.shaping) for line in shaped} == {row["a_round"]}
        (alternate, every), (_, then) = figure("toe_steps", made)
        assert (every, then) == (2, 1)
        assert abs((shaped[alternate - 1].after or 0) - stitches / 2) <= 2
        assert row["left_from"] <= (shaped[-1].after or 0) <= row["left_to"]


@pytest.mark.parametrize("row", cases("round_toes"))
def test_a_round_toe(row: Row) -> None:
    made = put_together(cuff_down(toe="toe-round"), cast_on=f"exactly: {row['stitches']}")
    rounds = list(rounds_of(made, "Toe"))
    at = [place for place, line in enumerate(rounds) if line.shaping]
    assert {len(rounds[place].shaping) for place in at} == {row["sections"]}
    assert [rounds[place].shaping[0].before for place in at] == row["knitted"]
    assert [second - first - 1 for first, second in zip(at, [*at[1:], len(rounds)], strict=True)] == row["plain"]
    assert rounds[-1].after == row["left"]


@pytest.mark.parametrize("row", cases("afterthought_heels"))
def test_waste_yarn_yields_one_stitch_fewer_below(row: Row) -> None:
    made = put_together(cuff_down("heel-afterthought"), cast_on=f"exactly: {row['stitches']}")
    opened = next(line for line in made.sock.record.lines if line.kind == "open")
    assert dict(opened.regions) == {"back": row["above"], "sole": row["below"]}
    assert opened.after == row["above"] + row["below"]
    assert figure("heel", made) == row["heel"]


@pytest.mark.parametrize("row", cases("afterthought_heels"))
def test_waste_yarn_does_not_yield_as_many_below(row: Row, tmp_path: Path) -> None:
    part = (folder("patterns") / "parts" / "heel-afterthought.yaml").read_text(encoding="utf-8")
    assert part.count("heel - 1") == 2
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "heel-afterthought.yaml").write_text(part.replace("heel - 1", "heel"), encoding="utf-8")
    text = pattern_text(cuff_down("heel-afterthought"), cast_on=f"exactly: {row['stitches']}")
    assert not told(text)
    assert told(text, file=str(tmp_path / "sock.yaml"))


@pytest.mark.parametrize("row", cases("toe_up_cast_ons"))
def test_a_sock_from_the_toe_starts_with_a_quarter(row: Row) -> None:
    made = put_together(TOE_UP, cast_on=f"exactly: {row['stitches']}")
    assert figure("stitches_cast_on", made) == row["quarter"]
    assert list(rounds_of(made, "Foot"))[-1].after == row["stitches"]
    assert list(rounds_of(made, "Leg"))[-1].after == row["stitches"]
    assert figure("heel", made) == row["half"]


@pytest.mark.parametrize("row", cases("toe_up_gussets"))
def test_a_gusset_from_the_toe_takes_a_sixth_at_each_side(row: Row) -> None:
    made = put_together(TOE_UP, cast_on=f"exactly: {row['stitches']}")
    end = list(rounds_of(made, "Gusset"))[-1]
    assert end.after == row["stitches"] + 2 * row["each_side"]


@pytest.mark.parametrize("row", cases("toe_up_gusset_starts"))
def test_where_a_gusset_from_the_toe_starts(row: Row) -> None:
    """Two published rules contradict each other; ours lies between them, nearer to the percentage system."""
    made = put_together(TOE_UP, cast_on=f"exactly: {row['stitches']}", sock_length=f"exactly: {row['sock_foot_cm']} cm")
    before = [*rounds_of(made, "Toe"), *rounds_of(made, "Foot")]
    starts = float(len(before) / made.checked.pattern.gauge.rounds)
    assert len(list(rounds_of(made, "Gusset"))) == row["gusset_rounds"]
    assert row["by_percentage_cm"] < starts < row["starts_cm"]
    assert starts - row["by_percentage_cm"] < (row["starts_cm"] - row["by_percentage_cm"]) / 2


@pytest.mark.parametrize("row", cases("calves"))
def test_a_calf_narrows_in_pairs_at_the_centre_of_the_back(row: Row) -> None:
    foot = Foot("20.8 cm", more=", calf: 27.8 cm, knee_height: 48 cm")
    calf, ankle = f"exactly: {row['calf']}", f"exactly: {row['ankle']}"
    made = put_together(cuff_down(leg="leg-calf"), foot=foot, cast_on=ankle, calf_cast_on=calf)
    shaped = [line for line in rounds_of(made, "Leg") if line.shaping]
    assert figure("stitches_cast_on", made) == row["calf"]
    assert {len(line.shaping) for line in shaped} == {row["pair"]}
    assert len(shaped) == row["decrease_rounds"]
    assert figure("stitches_after_the_leg", made) == row["ankle"]


@pytest.mark.parametrize("row", cases("high_insteps"))
def test_a_longer_flap_gives_a_high_instep_its_stitches(row: Row) -> None:
    cast_on, rows = f"exactly: {row['stitches']}", f"exactly: heel + {row['more']} sts, unit: rows"
    usual = put_together(cuff_down(), cast_on=cast_on)
    longer = put_together(cuff_down(), cast_on=cast_on, heel_rows=rows)
    assert figure("stitches_after_pick_up", usual) == row["usual"]
    assert figure("stitches_after_pick_up", longer) == row["usual"] + row["more"]
    assert figure("decreased_to", longer) == row["stitches"]


@pytest.mark.parametrize("row", cases("thick_socks"))
def test_a_thicker_yarn_reruns_every_formula(row: Row) -> None:
    made = put_together(
        cuff_down(), foot=Foot(f"{row['girth_cm']} cm"), gauge=f"stitches: {row['gauge']}, rounds: 30, per: 10 cm"
    )
    assert figure("stitches_cast_on", made) == row["stitches"]
    assert made.sock.graded.finished["foot_circumference"] == row["finished_cm"]


@pytest.mark.parametrize("row", cases("usual_counts"))
def test_an_average_foot_has_the_usual_count(row: Row) -> None:
    girth = next(
        each["mean"] for each in published("foot_means") if (each["sex"], each["measure"]) == (row["sex"], "ball_girth")
    )
    made = put_together(cuff_down(), foot=Foot(f"{girth / 10:.2f} cm", "26 cm"))
    assert row["from"] <= figure("stitches_cast_on", made) <= row["to"]


@pytest.mark.parametrize("row", cases("pattern_multiples"))
def test_a_stitch_pattern_suits_the_multiples_of_its_repeat(row: Row) -> None:
    rib = f'stitch_patterns:\n  cuff: {{label: wide rib, rounds: ["*K{row["multiple"] - 2}, P2* to end"]}}\n'
    text = pattern_text(cuff_down(), cast_on=f"exactly: {row['stitches']}", patterns=rib)
    assert ("misfit" not in told(text, FIVE)) == row["suits"]


@pytest.mark.parametrize("row", cases("rib_on_needles"))
def test_every_needle_begins_with_a_knit_stitch(row: Row) -> None:
    made = put_together(cuff_down(), FIVE, cast_on=f"exactly: {row['stitches']}")
    needles = next(line.needles for line in made.sock.record.lines if line.kind == "cast_on")
    assert sorted(needles, reverse=True) == row["needles"]


@pytest.mark.parametrize("row", cases("yarn_guides"))
def test_a_pair_takes_no_more_than_the_guide_says(row: Row) -> None:
    gauge = f"stitches: {row['gauge']}, rounds: {row['rounds']}, per: 10 cm"
    foot = Foot(f"{row['stitches'] / row['gauge'] * 10 / 0.9:.1f} cm")
    made = put_together(cuff_down(), foot=foot, gauge=gauge, cast_on=f"exactly: {row['stitches']}")
    metres = figure("grams_at_most", made) * 4.2  # the pattern's yarn runs 420 m to 100 g
    assert metres < row["yards"] * 0.9144


@pytest.mark.parametrize("row", cases("contrast_shares"))
def test_what_a_contrast_takes_of_the_sock(row: Row) -> None:
    foot = Foot(f"{row['girth_cm']} cm", f"{row['length_cm']} cm", "20 cm")
    made = put_together(cuff_down(), foot=foot, cuff_length="exactly: 16 rounds / gauge.rounds, unit: cm")
    assert [len(list(rounds_of(made, name))) for name in ("Cuff", "Leg")] == [16, 72]
    shares = {"cuff": "Cuff", "toe": "Toe"}
    found = {part: round(100 * stitches_in(made, name) / stitches_in(made)) for part, name in shares.items()}
    assert found == {part: row[part] for part in shares}
