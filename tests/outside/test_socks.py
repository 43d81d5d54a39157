"""Heels, gussets, toes and cast-ons of published socks, knitted through by the engine."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grader.sizing.rounding import Lattice
from grader.vocabulary.formulas import read_formula
from grader.vocabulary.quantities import Quantity, cm, read_quantity, rounds

from .engine import FIVE, LOOP, Sock, band_turn, gusset, heel_stitches, heel_turn, knits_up, shares, toe
from .published import Row, cases, published


@pytest.mark.parametrize("row", cases("heel_turns_published"))
def test_a_published_heel_turns_as_written(row: Row) -> None:
    turn = heel_turn(row["heel"], row["first_plain"])
    assert turn.rs_plain_sequence[0] == row["first_plain"]
    told = {field: row[field] for field in ("left", "rows") if field in row}
    assert {field: getattr(turn, field) for field in told} == told
    if "second_plain" in row:
        assert turn.ws_plain_sequence[0] == row["second_plain"]
    for field in ("rs_plain_sequence", "ws_plain_sequence"):
        if field in row:
            assert getattr(turn, field) == tuple(row[field]), field


@pytest.mark.parametrize("row", cases("heel_turns_by_rule"))
def test_a_heel_turns_by_the_handbook_rule(row: Row) -> None:
    turn = heel_turn(row["heel"], row["first_plain"])
    assert (turn.left, turn.rows) == (row["left"], row["rows"])
    assert (turn.rs_plain_sequence[0], turn.ws_plain_sequence[0]) == (row["heel"] // 2 + 2, 6)


@pytest.mark.parametrize("row", cases("heel_left_by_gauge"))
def test_a_heel_of_every_size_in_the_handbook_can_be_left(row: Row) -> None:
    # the handbook prints no heel beside its table: each count must be what some even heel leaves
    heels = [each["heel"] for each in published("heel_turns_by_rule")]
    leaves = {heel_turn(heel, heel // 2 + 2).left for heel in heels}
    assert set(row["left"]) <= leaves


@pytest.mark.parametrize("row", cases("band_heels_published"))
def test_a_square_heel_keeps_its_middle(row: Row) -> None:
    side, middle, _ = row["parts"]
    turn = band_turn(row["heel"], middle)
    assert (turn.left, turn.rows) == (middle, 2 * side)  # one stitch of the sides goes in each row


@pytest.mark.parametrize("row", cases("band_heel_left"))
def test_a_square_heel_leaves_its_band(row: Row) -> None:
    assert band_turn(row["heel"], row["left"]).left == row["left"]


@pytest.mark.parametrize("row", cases("short_row_heels"))
def test_a_short_row_heel_is_half_of_the_sock(row: Row) -> None:
    assert shares(row["cast_on"], FIVE, rib=False) == (row["needle"],) * 4
    assert heel_stitches(row["cast_on"]) == row["heel"] == 2 * row["side"] + row["middle"]


@pytest.mark.parametrize("row", cases("short_row_heels_of_designers"))
def test_a_designers_short_row_heel_is_half_of_the_sock(row: Row) -> None:
    assert heel_stitches(row["cast_on"]) == 2 * row["side"] + row["middle"]


@pytest.mark.parametrize("row", cases("flap_socks"))
def test_a_sock_of_the_size_table_knits_up(row: Row) -> None:
    steps = ((row["toe_every_2nd"], 2), (row["toe_every"], 1))
    sock = Sock(row["cast_on"], heel_rows=row["heel_rows"], pick_up=row["pick_up"], slipped=False, toe=steps)
    assert heel_stitches(row["cast_on"]) == row["heel"]
    assert knits_up(sock)
    ending = toe(row["cast_on"], steps)
    assert ending.left == row["toe_end"]
    assert ending.rounds == 2 * row["toe_every_2nd"] + row["toe_every"]


def test_the_size_table_grows_from_row_to_row() -> None:
    rows = published("flap_socks")
    for column in ("cast_on", "heel", "heel_rows", "heel_height_cm", "pick_up", "to_toe_cm", "foot_cm", "leg_cm"):
        assert [row[column] for row in rows] == sorted(row[column] for row in rows), column


@pytest.mark.parametrize("row", cases("gussets"))
def test_a_published_gusset(row: Row) -> None:
    turn = {"first_plain": row["heel"] // 2 + 2} if row["heel"] <= 32 else {"band": row["left"]}
    rows = 2 * (row["pick_up"] - 1)  # a chain for two rows, and the corner
    found = gusset(Sock(row["cast_on"], pick_up=row["pick_up"], heel_rows=rows, **turn))
    sole = row["left"] + 2 * row["pick_up"]
    assert found.total == row.get("total", sole + row["cast_on"] - row["heel"])
    assert found.sole == row.get("sole", sole)
    if "needles" in row:
        assert found.needles == tuple(row["needles"])
    assert found.decrease_rounds == row.get("decrease_rounds", (sole - row["heel"]) // 2)
    if "stitches_to_lose" in row:
        assert 2 * found.decrease_rounds == row["stitches_to_lose"]
    assert found.decreased_to == row.get("decreased_to", row["cast_on"])
    if "foot_needles" in row:
        assert found.foot_needles == tuple(row["foot_needles"])


@pytest.mark.parametrize("row", cases("toes"))
def test_a_published_toe(row: Row) -> None:
    steps = tuple((times, every) for times, every in row["steps"])
    found = toe(row["cast_on"], steps)
    assert (found.rounds, found.left) == (row["rounds"], row["left"])
    if "half" in row:
        assert toe(row["cast_on"], steps[:1]).left == row["half"]


@pytest.mark.parametrize("row", cases("toe_lengths"))
def test_where_the_toe_starts(row: Row) -> None:
    names = {
        "toe_rounds": rounds(row["toe_rounds"]),
        "sock_foot": cm(str(row["sock_foot_cm"])),
        "per_cm": Quantity(Fraction(row["rounds_per_10cm"], 10), (0, 1, -1)),
    }
    half = Lattice(Fraction(1, 2))
    assert half.nearest(read_formula("toe_rounds / per_cm").value(names).amount) == Fraction(str(row["toe_cm"]))
    start = read_formula("sock_foot - toe_rounds / per_cm").value(names)
    assert half.nearest(start.amount) == Fraction(str(row["toe_starts_cm"]))


@pytest.mark.parametrize("row", cases("toe_shares"))
def test_the_share_left_at_the_toe(row: Row) -> None:
    fifth = read_formula("stitches * 20 %").value({"stitches": Quantity(Fraction(row["stitches"]), (1, 0, 0))})
    assert Lattice(Fraction(2)).nearest(fifth.amount) == row["toe_end"]
    assert heel_stitches(row["stitches"]) == row["heel"]


@pytest.mark.parametrize("row", cases("flap_edges"))
def test_a_slipped_edge_offers_a_stitch_for_two_rows_and_a_corner(row: Row) -> None:
    heel = row["rows"]
    offers = [
        count
        for count in range(row["pick_up"], row["pick_up"] + 4)
        if knits_up(Sock(2 * heel, heel_rows=heel, pick_up=count))
    ]
    assert offers == [row["pick_up"], row["pick_up"] + 1]


@pytest.mark.parametrize("row", cases("flap_edge_plain"))
def test_an_edge_without_slips_offers_about_three_stitches_for_four_rows(row: Row) -> None:
    heel = row["rows"]
    most = max(
        count for count in range(20, 36) if knits_up(Sock(2 * heel, heel_rows=heel, pick_up=count, slipped=False))
    )
    assert row["pick_up"] <= most <= row["pick_up"] + 2


@pytest.mark.parametrize("row", cases("square_flaps"))
def test_a_square_flap_has_as_many_rows_as_stitches(row: Row) -> None:
    assert Lattice(Fraction(2)).nearest(Fraction(row["heel"])) == row["rows"]
    assert knits_up(Sock(2 * row["heel"], heel_rows=row["rows"]))


@pytest.mark.parametrize("row", cases("needle_shares"))
def test_the_needles_share_the_stitches(row: Row) -> None:
    setup = FIVE if len(row["needles"]) == 4 else LOOP
    assert shares(row["stitches"], setup, rib=row["rib"] == 4) == tuple(row["needles"])


@pytest.mark.parametrize("row", cases("cast_ons"))
def test_a_cast_on_from_a_foot(row: Row) -> None:
    raw = Fraction(str(row.get("raw", 0)))
    if "ease" in row:
        unit = "in" if "girth_in" in row else "cm"
        per = read_quantity("1 in" if "gauge_per_in" in row else "10 cm")
        per_width = Quantity(Fraction(str(row.get("gauge_per_in", row.get("gauge_per_10cm", 0)))), (1, 0, 0))
        names = {
            "girth": read_quantity(f"{row[f'girth_{unit}']} {unit}"),
            "ease": read_quantity(f"{row['ease']} %"),
            "gauge": per_width / per,
        }
        if f"eased_girth_{unit}" in row:
            eased = read_formula("girth * (1 + ease)").value(names)
            assert eased == read_quantity(f"{row[f'eased_girth_{unit}']} {unit}")
        stitches = read_formula("girth * (1 + ease) * gauge").value(names)
        assert "raw" not in row or float(stitches.amount) == pytest.approx(float(raw), abs=0.00501)
        raw = stitches.amount if "raw" in row else raw
    if "cast_on" in row:
        assert Lattice(Fraction(row.get("multiple", 4))).nearest(raw) == row["cast_on"]
