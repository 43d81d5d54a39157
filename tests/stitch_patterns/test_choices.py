"""Numbers that must suit a repeat and a half, and what to choose from where a repeat suits no foot."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grader.loading import load_text
from grader.pipeline import check, grade_all
from grader.vocabulary.size_charts import read_chart

from .socks import HERE, errors, loaded, made, small, sock_parts, text_of

HEEL = ("heel-flap-slipped", "turn-round", "gusset")


def all_round(motif: str) -> tuple[str, ...]:
    return sock_parts(motif, "leg-motif", HEEL, "toe-wedge", "foot-plain")


def test_a_repeat_of_twelve_leaves_three_feet_without_a_sock() -> None:
    checked = made(all_round("stitch-feather-and-fan"))
    told = {finding.sizes[0]: finding for finding in errors(checked)}
    assert {finding.code for finding in told.values()} == {"ease"}
    assert set(told) == {"XS", "M", "XXL"}
    assert told["M"].message == "foot_circumference comes out -16.7 % beside the foot, 0.38 cm outside what is allowed"
    assert told["M"].mend == (
        "60 sts would be -16.7 % and fit a foot of 20.83 cm; 72 sts would be 0.0 % and fit a foot of 25 cm;"
        " on the instep only, 3 repeats of feather and fan (36 sts) leave 28 of 64 sts to the sole (-11.1 %);"
        " in the middle of 32 instep sts, 2 repeats of feather and fan (24 sts) leave 8 beside them"
    )


def test_repeats_with_an_edge_never_go_all_round_in_fours() -> None:
    checked = made(all_round("stitch-arrowhead-lace"))
    told = {finding.sizes[0]: finding for finding in errors(checked)}
    assert set(told) == {"XS", "S", "M", "L", "XL", "XXL"}
    assert told["M"].message == (
        "cast_on has to be a multiple of 4 and a multiple of 6 plus 1, and no number is all of these"
    )
    assert told["M"].mend == (
        "on the instep only, 5 repeats of arrowhead lace (31 sts) leave 33 of 64 sts to the sole (-11.1 %);"
        " in the middle of 32 instep sts, 5 repeats of arrowhead lace (31 sts) leave 1 beside them"
    )


def test_a_choice_that_is_taken_makes_a_sock() -> None:
    """The middle of the instep, as the mend offers it: 24 of 32 stitches, and no finding."""
    checked = made(sock_parts("stitch-feather-and-fan", "leg-front", (*HEEL[:2], "gusset-motif"), "toe-wedge"))
    assert errors(checked) == []
    medium = next(size for size in checked.sizes if size.body.name == "M")
    assert (medium.count("cast_on"), medium.count("instep"), medium.count("motif_width")) == (64, 32, 24)


def test_the_instep_only_makes_a_sock_too() -> None:
    """36 of 64 stitches on the instep and 28 on the sole, as the mend offers: the toe goes round all of them."""
    own = """  instep: {nearest: cast_on / 2, multiple_of: motif.repeat, plus: motif.edge}
  heel: {exactly: cast_on - instep}
"""
    parts = sock_parts("stitch-feather-and-fan", "leg-front", ("heel-german-short-row",), "toe-star")
    checked = made(parts, own)
    assert errors(checked) == []
    medium = next(size for size in checked.sizes if size.body.name == "M")
    assert [medium.count(name) for name in ("cast_on", "instep", "heel", "motif_width")] == [64, 36, 28, 36]


def test_a_rule_that_is_coarse_by_itself_keeps_its_own_mend() -> None:
    """Only where a stitch pattern leaves so few numbers are its repeats to blame; a cuff of 4 beside 16 is not."""
    parts = sock_parts("stitch-moss", "leg-halves", HEEL, "toe-wedge", "foot-plain")
    checked = made(parts, multiple="cuff.repeat, 16")
    assert {finding.code for finding in errors(checked)} == {"ease"}
    assert all(finding.mend and "repeats of" not in finding.mend for finding in errors(checked))


@pytest.mark.parametrize(
    ("multiple", "right"),
    [
        ("[{of: motif.repeat, plus: motif.edge}, {of: 2, plus: 1}]", 61),
        ("[{of: motif.repeat, plus: motif.edge}, {of: 5, plus: 2}]", 67),
        ("{of: motif.repeat, plus: motif.edge}", 61),
        ("[4, {of: motif.repeat, plus: motif.edge + 3}]", 64),
        ("[4, {of: motif.repeat}]", 60),
    ],
)
def test_several_remainders_are_met_together(multiple: str, right: int) -> None:
    numbers = f"{{cast_on: {{nearest: 64, multiple_of: {multiple}}}, half: {{exactly: 20}}}}"
    text = small("      - rounds: K\n        times: 2", '{rounds: ["K1, *K4, yo, k2tog* to end"]}', numbers)
    (size,), findings = grade_all(loaded(text))
    assert findings == []
    assert size.count("cast_on") == right


def test_the_names_of_a_stitch_pattern_are_numbers_of_its_own() -> None:
    numbers = (
        "{cast_on: {exactly: 64}, half: {exactly: cast_on / 2}, wide: {exactly: motif.width},"
        " over: {exactly: motif.edge}, again: {exactly: motif.repeat}, high_rounds: {exactly: motif.rounds},"
        " across_length: {exactly: motif.width / motif.gauge.stitches}, up_length: {exactly: motif.rounds /"
        " motif.gauge.rounds}}"
    )
    motif = "{sides: K, gauge: {stitches: 40, rounds: 50, per: 10 cm}, rounds: ['P2, K4, P2', 'P2, 2/2 LC, P2']}"
    pattern = loaded(small("      - round: {instep: in motif}", motif, numbers))
    (size,), _ = grade_all(pattern)
    assert [size.count(name) for name in ("wide", "over", "again", "high_rounds")] == [8, 0, 1, 2]
    assert [size.names[name].amount for name in ("across_length", "up_length")] == [2, Fraction(2, 5)]


def test_a_need_with_a_remainder_joins_the_rule_of_the_number() -> None:
    pattern, findings = load_text(text_of(all_round("stitch-moss")), HERE, read_chart)
    assert findings == []
    assert pattern is not None
    rule = next(each for each in pattern.rules if each.name == "cast_on")
    assert [(of.text, plus.text if plus else "") for of, plus in rule.also] == [("motif.repeat", "motif.edge")]
    assert check(pattern).is_sound
