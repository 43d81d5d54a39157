"""What a pair takes: the laws of its parts, what single kinds of stitch take, edges, ends and floats."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from colours.socks import FLAP, SHORT_ROWS, STRANDED
from colours.socks import text_of as coloured
from constructions.socks import AFTERTHOUGHT, CONSTRUCTIONS, checked_text, loaded
from hypothesis import given, settings
from hypothesis import strategies as st
from parts.combining import pattern_of
from shipped import NAMES as SHIPPED

from grader.models.record import Record
from grader.models.yarn import Amount, YarnUse, balls_to_buy
from grader.pipeline import Checked, Wanted, check
from grader.publishing import yarn_uses
from grader.vocabulary.yarn_factors import beside, factor, hand, kind_of, stitch_cm
from grader.yarn_use import contrast_for, with_contrast, yarn_for_pair
from grader.yarn_use.lines import Gauged, length_of, new_loops
from grader.yarn_use.pairs import part_of

from .socks import LOOP, at_gauge, knitted, pattern_named, text_of, with_foot, worked

QUICK = settings(max_examples=12, deadline=None, derandomize=True, database=None)


SOCKS = (*SHIPPED, *CONSTRUCTIONS)


def socks_of(name: str) -> Checked:
    """A pattern that ships, or a construction put together of parts, by magic loop; each is knitted once."""
    return knitted(name) if name in SHIPPED else checked_text(pattern_of(CONSTRUCTIONS[name]), setups=(LOOP,))


@pytest.mark.parametrize("name", SOCKS)
def test_every_loop_of_the_test_knit_is_of_some_kind(name: str) -> None:
    looked_at = 0
    for sock in socks_of(name).socks:
        for record in sock.records:
            assert [line.text for line in record.lines if new_loops(line) != line.loops] == []
            looked_at += len(record.lines)
    assert looked_at > 30


@pytest.mark.parametrize("name", SOCKS)
def test_parts_ends_and_swatch_are_the_whole(name: str) -> None:
    for size, use in yarn_uses(socks_of(name).socks, socks_of(name)).items():
        for each in (use, *use.by_colour.values()):
            whole = each.knitted + each.ends + each.swatch
            assert whole.metres == pytest.approx(each.metres_pair), size
            assert whole.grams == pytest.approx(each.grams_pair), size
        low, high = use.metres_range
        assert (low + high) / 2 == pytest.approx(use.metres_pair)
        assert 0.03 < use.give < 0.1
        assert set(use.parts) <= {"cuff", "leg", "heel", "foot", "toe"}
        assert all(amount.metres > 0 for amount in use.parts.values())


@pytest.mark.parametrize("name", SOCKS)
def test_larger_sizes_take_more(name: str) -> None:
    taken = [use.metres_pair for use in yarn_uses(socks_of(name).socks, socks_of(name)).values()]
    assert len(taken) >= 2
    assert taken == sorted(taken)


@QUICK
@given(st.integers(20, 40), st.sampled_from([16, 18, 20, 24]))
def test_longer_legs_take_more_and_only_in_cuff_and_leg(stitches: int, leg: int) -> None:
    pattern = at_gauge(pattern_named("ninepenny_bridge"), (stitches, stitches * 1.4), 420, 100)
    _, _, short = worked(with_foot(pattern, 22.5, 25, leg))
    _, _, long = worked(with_foot(pattern, 22.5, 25, leg + 2))
    assert long.part("leg").metres > short.part("leg").metres
    for part in ("heel", "foot", "toe"):
        assert long.part(part) == short.part(part)


@QUICK
@given(st.floats(0.5, 2))
def test_the_same_stitches_in_yarn_twice_as_thick_take_twice_as_much(times: float) -> None:
    """Lengths go with the size of the fabric: one gauge, all else equal, in print twice as large."""
    pattern = pattern_named("lantern_lane")
    _, record, use = worked(with_foot(pattern, 22.5, 25, 18))
    stitches, rounds = pattern.gauge.per_stated
    other = yarn_for_pair(at_gauge(pattern, (float(stitches) / times, float(rounds) / times), 400, 100), record)
    for part in use.parts:
        assert other.part(part).metres == pytest.approx(use.part(part).metres * times, rel=1e-6)
    assert other.ends.metres == pytest.approx(use.ends.metres)


def test_plain_rounds_take_the_loops_of_the_geometry() -> None:
    """64 stitches at 32 x 44: 64 loops of sqrt(21.6 / (3.2 x 4.4)) cm each, times 1.07 for the hand."""
    _, record, use = worked(with_foot(pattern_named("ninepenny_bridge"), 22.5, 25, 18))
    plain = next(line for line in record.lines if line.section == "Leg")
    gauged = Gauged(stitch_cm(3.2, 4.4), 1 / 3.2)
    assert length_of(plain, gauged, False)[""].cm == pytest.approx(64 * 1.07 * math.sqrt(21.6 / (3.2 * 4.4)))
    rounds = sum(line.times * line.block_times for line in record.lines if line.section == "Leg")
    assert use.part("leg").metres == pytest.approx(2 * rounds * 64 * gauged.loop / 100)


def test_a_slipped_stitch_takes_a_strand_and_no_loop() -> None:
    slipped = worked(with_foot(pattern_named("ninepenny_bridge"), 22.5, 25, 18))
    knit = worked(
        with_foot(
            text_of("ninepenny_bridge", ('{RS: "*Sl1, K1* to end", WS', '{RS: "Sl1, K to end", WS')), 22.5, 25, 18
        )
    )
    loop, width = stitch_cm(3.2, 4.4), 1 / 3.2
    more = 2 * 16 * 15 * (loop - width) / 100  # two socks, 16 RS rows, 15 stitches that are knitted instead
    assert knit[2].part("heel").metres - slipped[2].part("heel").metres == pytest.approx(more)


@pytest.mark.parametrize(
    ("made", "kind"),
    [("k", "plain"), ("p", "plain"), ("k tbl", "twisted"), ("sl wyif", "slip"), ("sl pwise wyib", "slip"),
     ("yo", "yarn over"), ("ssk", "decrease"), ("p2tog tbl", "decrease"), ("cdd", "decrease"), ("m1L", "increase"),
     ("kfb", "increase"), ("2/2 LC", "cable"), ("2/1 RPC", "cable"), ("DS", "double"), ("pick up", "pick up")],
)  # fmt: skip
def test_stitches_have_their_kind(made: str, kind: str) -> None:
    assert kind_of(made) == kind
    assert factor(kind).status in ("geometry", "computed", "estimate")


def test_what_is_no_stitch_has_no_kind() -> None:
    with pytest.raises(KeyError):
        kind_of("k2tog sideways")


def test_cables_take_more_than_the_same_stitches_knitted() -> None:
    pattern = pattern_named("high_moor")
    _, record, _ = worked(with_foot(pattern, 22.5, 25, 18))
    crossed = next(line for line in record.lines if any("/" in name for name, _ in line.made))
    plain = next(
        line
        for line in record.lines
        if line.section == crossed.section and line.after == crossed.after and line.kind == "round" and line != crossed
        and not line.shaping and not any("/" in name for name, _ in line.made)
    )  # fmt: skip
    gauged = Gauged(1.4, 0.35)
    more = length_of(crossed, gauged, False)[""].cm - length_of(plain, gauged, False)[""].cm
    cabled = sum(4 * count for name, count in crossed.made if "/" in name)
    assert more == pytest.approx(cabled * 0.05 * 1.4)


def test_edges_take_their_tails() -> None:
    """A cast-on has a loop and the thread below it; one for a toe has no thread; a bound-off edge a loop each."""
    gauged = Gauged(1.2, 0.3)
    for name, loops in (("ninepenny_bridge", 2.0), ("toe-up", 1.0)):
        checked = socks_of(name)
        record = checked.socks[0].record
        line = next(line for line in record.lines if line.kind == "cast_on")
        taken = length_of(line, gauged, closed=name == "toe-up")[""]
        assert taken.cm == pytest.approx((line.after or 0) * loops * 1.2)
    record = socks_of("toe-up").socks[0].record
    off = next(line for line in record.lines if line.kind == "bind_off")
    assert length_of(off, gauged, True)[""].cm == pytest.approx((off.before or 0) * 1.2)
    graft = next(line for line in socks_of("ninepenny_bridge").socks[0].record.lines if line.kind == "graft")
    assert length_of(graft, gauged, False)[""].cm == pytest.approx((graft.before or 0) / 2 * 1.2)


def test_a_toe_up_sock_uses_the_factor_of_a_closed_cast_on() -> None:
    """The stage finds out by itself that the cast-on is closed: its toe takes one loop a stitch less."""
    checked = socks_of("toe-up")
    sock = checked.socks[0]
    open_pattern, _ = loaded(pattern_of(CONSTRUCTIONS["toe-up"]))
    assert open_pattern is not None
    sections = tuple(
        replace(section, steps=tuple(replace(step, by="") for step in section.steps))
        for section in open_pattern.sections
    )
    as_open = yarn_for_pair(replace(open_pattern, sections=sections), sock.record)
    as_closed = yarn_for_pair(checked.pattern, sock.record)
    cast_on = next(line for line in sock.record.lines if line.kind == "cast_on").after or 0
    loop = stitch_cm(float(checked.pattern.gauge.stitches), float(checked.pattern.gauge.rounds))
    assert as_open.part("toe").metres - as_closed.part("toe").metres == pytest.approx(2 * cast_on * loop / 100)


def test_ends_are_two_for_each_stretch_of_a_yarn() -> None:
    one = beside("end_cm") / 100
    assert _uses(pattern_of(FLAP))["M"].ends.metres == pytest.approx(2 * 2 * one)  # a pair, begin and end
    assert _uses(pattern_of(AFTERTHOUGHT))["M"].ends.metres == pytest.approx(2 * 4 * one)  # the heel is begun anew
    contrast = "colours: {MC: {}, CC: {sections: [Cuff, Heel flap, Heel turn, Toe]}}"
    use = _uses(coloured(FLAP, contrast))["M"]
    assert use.by_colour["MC"].ends.metres == pytest.approx(2 * 4 * one)  # leg; gusset and foot
    assert use.by_colour["CC"].ends.metres == pytest.approx(2 * 6 * one)  # cuff, heel, toe
    assert use.by_colour["CC"].swatch == Amount()
    assert set(use.by_colour["CC"].parts) == {"cuff", "heel", "toe"}


def test_a_yarn_carried_along_is_counted_behind_the_stitches_of_the_other() -> None:
    text = coloured(SHORT_ROWS, "colours: {MC: {}, CC: {}}", STRANDED)
    checked = checked_text(text, ("M",), (LOOP,))
    record: Record = checked.socks[0].record
    gauged = Gauged(1.3, 0.33)
    line = next(each for each in record.lines if each.text.startswith("*K3 MC, K1 CC"))
    count = line.after or 0
    told = length_of(line, gauged, False)
    assert told["MC"].cm == pytest.approx(count * (0.75 * 1.3 + 0.25 * 0.33))
    assert told["CC"].cm == pytest.approx(count * (0.25 * 1.3 + 0.75 * 0.33))


def test_the_colours_add_up_to_the_whole() -> None:
    for size, use in yarn_uses(socks_of("first_steps").socks, socks_of("first_steps")).items():
        assert sum(each.metres_pair for each in use.by_colour.values()) == pytest.approx(use.metres_pair), size
        for part, amount in use.parts.items():
            shares = sum((each.part(part) for each in use.by_colour.values()), Amount())
            assert (shares.metres, shares.grams) == pytest.approx((amount.metres, amount.grams)), part


@pytest.mark.parametrize(
    ("section", "part"),
    [("Cuff", "cuff"), ("Ribbed leg", "leg"), ("Leg", "leg"), ("Heel flap", "heel"), ("Heel turn", "heel"),
     ("Gusset", "foot"), ("Top of the foot", "foot"), ("Toe", "toe"), ("Place for the heel", "heel"), ("Bow", "bow"),
     ("Turned hem", "cuff"), ("Left toe", "toe"), ("Calf", "leg")],
)  # fmt: skip
def test_sections_belong_to_parts(section: str, part: str) -> None:
    assert part_of(section) == part


@given(st.floats(10, 2000), st.floats(50, 500), st.floats(0, 0.2), st.floats(0.8, 1))
def test_balls_hold_what_the_pair_takes_and_none_is_too_many(
    metres: float, ball: float, give: float, light: float
) -> None:
    use = YarnUse(metres, metres / 4, {}, Amount(), Amount(), give)
    balls = balls_to_buy(use, ball, light)
    slack = 1e-6
    assert balls.expected * ball >= metres - slack > (balls.expected - 1) * ball - 2 * slack
    assert balls.safe >= balls.expected
    assert balls.safe * ball * light >= metres * (1 + give) - slack * balls.safe * ball


@given(st.sampled_from(SHIPPED[1:]), st.floats(0.3, 1.1))
@QUICK
def test_a_contrast_leaves_what_is_there_for_the_main_yarn(name: str, share: float) -> None:
    use = next(iter(yarn_uses(socks_of(name).socks, socks_of(name)).values()))
    have = use.metres_pair * share
    found = contrast_for(use, have)
    for parts in (("toe",), ("heel", "toe"), ("cuff", "heel", "toe")):
        tried = with_contrast(use, parts)
        ends = 2 * 4 * len(parts) * beside("end_cm") / 100
        assert tried.main.metres + tried.contrast.metres == pytest.approx(use.metres_pair + ends)
        fits = tried.main.metres * (1 + use.give) <= have
        if found is not None and parts == found.parts:
            assert fits
            break
        assert not fits
    else:
        assert found is None


def _uses(text: str) -> dict[str, YarnUse]:
    pattern, findings = loaded(text)
    assert pattern is not None, findings
    checked = check(pattern, Wanted((LOOP,)))
    return yarn_uses(checked.socks, checked)


def test_the_range_holds_the_gauge_the_washing_the_hand_and_the_estimates() -> None:
    """Half a stitch and half a round in 10 cm, and half way from dry to fully relaxed, beside what is estimated."""
    _, record, use = worked(with_foot(pattern_named("ninepenny_bridge"), 22.5, 25, 18))
    washing = (math.sqrt(23.1) - math.sqrt(19.0)) / 2 / math.sqrt(21.6)
    gauge = math.sqrt(3.2 * 4.4 / (3.15 * 4.35)) - 1
    gauged = Gauged(stitch_cm(3.2, 4.4), 1 / 3.2)
    guessed = sum(length_of(line, gauged, False)[""].give * line.times * line.block_times for line in record.lines)
    assert guessed > 0
    estimates = 2 * guessed / 100 / use.metres_pair
    assert use.give == pytest.approx(math.sqrt(washing**2 + gauge**2 + hand().give ** 2 + estimates**2), rel=1e-9)


def test_all_of_a_rib_is_estimated_and_nothing_of_plain_rounds() -> None:
    _, record, _ = worked(with_foot(pattern_named("ninepenny_bridge"), 22.5, 25, 18))
    gauged = Gauged(1.2, 0.3)
    rib = next(line for line in record.lines if line.section == "Cuff" and line.kind == "round")
    plain = next(line for line in record.lines if line.section == "Leg")
    assert length_of(rib, gauged, False)[""].give == pytest.approx((rib.after or 0) * 0.06 * 1.2)
    assert length_of(plain, gauged, False)[""].give == 0


def test_an_edge_is_in_the_yarn_in_hand_and_weighed_as_that_yarn() -> None:
    """The toe is grafted in the contrast: nothing of it is in the main yarn."""
    contrast = "colours: {MC: {}, CC: {metres: 150, per: 50 g, sections: [Cuff, Heel flap, Heel turn, Toe]}}"
    use = _uses(coloured(FLAP, contrast))["M"]
    main, other = use.by_colour["MC"], use.by_colour["CC"]
    assert set(main.parts) == {"leg", "foot"}
    assert other.grams_pair == pytest.approx(other.metres_pair / 3)
    assert main.grams_pair < main.metres_pair / 3.5
    assert use.grams_pair == pytest.approx(main.grams_pair + other.grams_pair)
