"""The stripes of a sock: laws of the yarn for any repeat, worked examples, contrast heels and the second sock."""

from __future__ import annotations

import bisect
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grader.models.stripes import Ask, Stripe
from grader.striping import stripe_pair

from .socks import AFTERTHOUGHT, COLOURED, FOUR, PAIR, PATTERNS, PLAIN, TOE_UP, Ball, repeats, sock, striped

SOCKS = st.sampled_from([PLAIN, TOE_UP, COLOURED, PAIR, AFTERTHOUGHT])
CONTRASTS = {
    PLAIN: ("Heel flap", "Heel turn"),
    TOE_UP: ("Heel",),
    COLOURED: ("Heel flap", "Heel turn"),
    PAIR: ("Heel",),
}


@settings(max_examples=15, deadline=None)
@given(SOCKS, repeats(), st.fractions(0, 200, max_denominator=1000))
def test_the_yarn_of_all_stitches_is_the_yarn_of_the_sock(
    name: str, repeat: tuple[Stripe, ...], start: Fraction
) -> None:
    pair = striped(name, Ask(repeat, start))
    records = sock(name).records
    for each, record in zip((pair.first, pair.second), (records[0], records[-1]), strict=True):
        others = sum(one.other for one in each.passes)
        assert each.metres == (record.stitches - others) * pair.metres_per_stitch
        assert sum(laid.metres for laid in each.stripes) == each.metres
        assert sum(one.loops + one.other for one in each.passes) == record.stitches


@settings(max_examples=15, deadline=None)
@given(SOCKS, repeats(), st.fractions(0, 200, max_denominator=1000))
def test_rounds_of_a_stripe_times_metres_of_a_round_are_its_metres(
    name: str, repeat: tuple[Stripe, ...], start: Fraction
) -> None:
    pair = striped(name, Ask(repeat, start))
    for each in (pair.first, pair.second):
        for laid in each.stripes:
            taken = (
                (share.end - share.begin) * each.passes[share.at].loops * pair.metres_per_stitch
                for share in laid.shares
            )
            assert sum(taken) == laid.metres
        for laid in each.stripes[1:-1]:
            assert laid.metres == repeat[laid.index].metres
        shares = {at: Fraction(0) for at, one in enumerate(each.passes) if one.loops}
        for laid in each.stripes:
            for share in laid.shares:
                shares[share.at] += share.end - share.begin
        assert set(shares.values()) == {1}


@settings(max_examples=15, deadline=None)
@given(
    st.sampled_from([PLAIN, TOE_UP, COLOURED, AFTERTHOUGHT]),
    repeats(),
    st.fractions(0, 1, max_denominator=50),
    st.one_of(st.none(), st.fractions(0, 3, max_denominator=100)),
)
def test_a_second_sock_begun_at_the_place_found_has_the_same_colour_at_every_line(
    name: str, repeat: tuple[Stripe, ...], share: Fraction, tail: Fraction | None
) -> None:
    length = sum(each.metres for each in repeat)
    start = share * length % length
    pair = striped(name, Ask(repeat, start, tail=tail))
    assert 0 <= pair.wound_off < length
    begun = start + pair.first.metres + pair.closing + pair.wound_off + pair.tail  # metres from where sock one began
    ball = Ball(repeat, begun + pair.second.metres + length)
    ends, colours = zip(*((laid.end, repeat[laid.index].colour) for laid in pair.first.stripes), strict=True)
    for one, two in zip(pair.first.passes, pair.second.passes, strict=True):
        if one.loops:
            colour = ball.colour_at(start + one.begin)
            assert ball.colour_at(begun + two.begin) == colour
            assert colours[bisect.bisect_right(ends, one.begin)] == colour


@settings(max_examples=12, deadline=None)
@given(st.sampled_from(sorted(CONTRASTS, key=str)), repeats(), st.fractions(0, 30, max_denominator=100))
def test_with_a_contrast_heel_the_stripes_run_on_over_the_instep(
    name: str, repeat: tuple[Stripe, ...], start: Fraction
) -> None:
    pair = striped(name, Ask(repeat, start, contrast=CONTRASTS[name]))
    for each in (pair.first, pair.second):
        assert each.instep_gap == 0
        heel = [at for at, one in enumerate(each.passes) if one.part == "heel"]
        before, after = each.passes[heel[0] - 1], each.passes[heel[-1] + 1]
        assert before.end == after.begin
    worked = sum(one.other for one in (*pair.first.passes, *pair.second.passes))
    assert pair.other == worked * pair.metres_per_stitch > 0


def test_without_one_the_instep_lacks_what_the_heel_takes() -> None:
    pair = striped(PLAIN, Ask(FOUR))
    heel = sum(
        line.loops * line.times * line.block_times
        for line in sock(PLAIN).record.lines
        if line.section in ("Heel flap", "Heel turn")
    )
    assert pair.first.instep_gap == heel * pair.metres_per_stitch > 11


def test_a_heel_put_in_last_leaves_the_instep_alone() -> None:
    assert striped(AFTERTHOUGHT, Ask(FOUR)).first.instep_gap is None


@pytest.mark.parametrize(
    ("metres", "stitches", "rounds"),
    [(4, 64, 4.716), (2, 64, 2.358), (4, 32, 9.432), (12, 60, 15.091)],
    ids=[f"the trade's rule, stripe metres / (N x metres per stitch): {each}" for each in "1234"],
)
def test_rounds_in_a_stripe_worked_by_hand(metres: int, stitches: int, rounds: float) -> None:
    pair = striped(PLAIN, Ask(FOUR))
    gauge = PATTERNS[PLAIN].gauge
    assert (gauge.stitches, gauge.rounds) == (Fraction(32, 10), Fraction(44, 10))
    # sqrt(21.6 / (3.2 x 4.4)) = 1.2386 cm, and 7 % for the hand; 64 of these are 84.8 cm: 4.716 rounds of 4 m
    assert float(pair.metres_per_stitch) == pytest.approx(0.013253, rel=1e-4)
    assert float(pair.rounds(Stripe("blue", Fraction(metres)), Fraction(stitches))) == pytest.approx(rounds, rel=5e-4)


def test_the_parts_of_a_sock_have_the_stitches_of_their_lines() -> None:
    parts = {each.section: each for each in striped(PLAIN, Ask(FOUR)).parts}
    assert (parts["Leg"].count, parts["Leg"].fewest, parts["Leg"].most, parts["Leg"].rows) == (60, 64, 64, False)
    # 16 stitches knitted in a RS row, where every other is slipped, and 31 in the WS row that follows
    assert (parts["Heel flap"].count, parts["Heel flap"].most, parts["Heel flap"].rows) == (32, Fraction(47, 2), True)
    assert (parts["Gusset"].fewest, parts["Gusset"].most) == (64, 82)


def test_a_stripe_in_the_heel_flap_has_more_rows_since_slipped_stitches_take_no_yarn() -> None:
    pair = striped(PLAIN, Ask((Stripe("blue", Fraction(1)), Stripe("red", Fraction(1)))))
    within = [
        sum(share.end - share.begin for share in laid.shares)
        for laid in pair.first.stripes
        if {pair.first.passes[share.at].section for share in laid.shares} == {"Heel flap"}
    ]
    assert within
    expected = 1 / (Fraction(47, 2) * pair.metres_per_stitch)
    assert all(abs(rows - expected) < 1 for rows in within)


def test_a_stripe_of_whole_rounds_of_the_swatch_is_that_many_rounds_of_a_leg_as_wide() -> None:
    one = striped(PLAIN, Ask(FOUR)).metres_per_stitch
    repeat = (Stripe("blue", 6 * 64 * one), Stripe("cream", 3 * 64 * one))
    first = striped(PLAIN, Ask(repeat)).first
    leg = [
        sum(share.end - share.begin for share in laid.shares)
        for laid in first.stripes
        if {first.passes[share.at].section for share in laid.shares} == {"Leg"}
    ]
    assert set(leg) == {6, 3}


def test_the_tail_is_the_patterns_own_and_else_three_widths_and_an_end() -> None:
    assert striped(PLAIN, Ask(FOUR)).tail == Fraction(80, 100)
    made = sock(PLAIN)
    names = {name: value for name, value in made.graded.names.items() if name != "tail"}
    pair = stripe_pair(PATTERNS[PLAIN], replace(made.graded, names=names), made.records, Ask(FOUR))
    assert pair.tail == 3 * Fraction(64) / Fraction(32, 10) / 100 + Fraction(15, 100)


@pytest.mark.parametrize("published", [0.93], ids=["a knitting magazine, 2018: 93 cm for a cast-on"])
def test_the_tail_agrees_with_a_published_one(published: float) -> None:
    assert abs(float(striped(PLAIN, Ask(FOUR)).tail) - published) < 0.25


def test_in_contrast_the_first_and_the_last_part_leave_only_an_end() -> None:
    pair = striped(PLAIN, Ask(FOUR, contrast=("Cuff", "Toe")))
    assert pair.tail == pair.closing == Fraction(15, 100)


def test_a_colour_of_the_pattern_is_no_stripe() -> None:
    pair = striped(COLOURED, Ask(FOUR))
    in_stripes = {pair.first.passes[share.at].section for laid in pair.first.stripes for share in laid.shares}
    assert in_stripes == {"Leg", "Gusset", "Foot"}  # cuff, heel and toe are worked in the contrast colour


def test_what_the_ball_gives_is_added_up() -> None:
    pair = striped(PLAIN, Ask(FOUR, ball=Fraction(282)))
    assert pair.needed == 2 * (pair.tail + pair.first.metres + pair.closing) + pair.wound_off
    assert pair.at_most == pair.needed + 12
    assert pair.ball == 282
    assert striped(PLAIN, Ask(FOUR)).ball == 420


def test_left_and_right_of_a_pair_that_differs_are_laid_out_each_by_itself() -> None:
    pair = striped(PAIR, Ask(FOUR))
    assert any("left" in each.section for each in pair.first.passes)
    assert any("right" in each.section for each in pair.second.passes)
    assert pair.second.start == pair.first.start
