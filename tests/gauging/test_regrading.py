"""A whole pattern at another gauge: its materials, its sizes, and what can still be printed."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from grader.cli.arguments import chosen, parser
from grader.cli.gauging import at_gauge
from grader.cli.one_off import own_gauge
from grader.gauging import changes, suited
from grader.loading import load_text
from grader.models.pattern import Gauge, Pattern
from grader.models.regrade import KnitSize
from grader.pipeline import Wanted, check, for_one, open_pattern, regauged
from grader.vocabulary.bodies import Body
from grader.vocabulary.fabric import cover_of, tex_of
from grader.vocabulary.findings import Finding, Severity
from grader.vocabulary.size_charts import read_chart
from grader.yarn_use import yarn_for_pair

PATTERNS = Path(__file__).resolve().parents[2] / "patterns"
LOOP = Wanted(("long circular (magic loop)",))


@cache
def shipped(name: str) -> Pattern:
    pattern, _ = open_pattern(str(PATTERNS / f"{name}.yaml"))
    assert pattern is not None
    return pattern


def gauge(pattern: Pattern, stitches: int, rounds: int) -> Gauge:
    found = own_gauge(pattern, (Fraction(stitches), Fraction(rounds)))
    assert found is not None
    return found


def knit(pattern: Pattern) -> tuple[list[KnitSize], list[Finding]]:
    checked = check(pattern, LOOP)
    made = []
    for sock in checked.socks:
        use = yarn_for_pair(pattern, sock.record)
        made.append(KnitSize(sock.graded, sock.record, use.metres_pair, use.grams_pair))
    return made, list(checked.findings)


def test_a_gauge_near_by_keeps_needle_and_yarn(ninepenny: Pattern) -> None:
    new, yarn = suited(ninepenny, gauge(ninepenny, 31, 43))
    assert (new.needle_mm, yarn) == (Fraction("2.5"), ninepenny.yarn)


def test_a_gauge_further_off_keeps_a_yarn_that_still_makes_a_sock(ninepenny: Pattern) -> None:
    """36 by 50 is dense, and at 28 by 38 the council still names a super fine yarn."""
    for stitches, rounds in ((36, 50), (28, 38)):
        new, yarn = suited(ninepenny, gauge(ninepenny, stitches, rounds))
        assert (new.needle_mm, yarn) == (None, ninepenny.yarn)


@pytest.mark.parametrize(("stitches", "rounds", "weight"), [(26, 36, "fine"), (22, 30, "light"), (18, 25, "medium")])
def test_thicker_yarn_makes_as_dense_a_fabric(ninepenny: Pattern, stitches: int, rounds: int, weight: str) -> None:
    new, yarn = suited(ninepenny, gauge(ninepenny, stitches, rounds))
    assert (new.needle_mm, yarn.weight, yarn.note) == (None, weight, "")
    before = cover_of(tex_of(Fraction(420), Fraction(100)), ninepenny.gauge.stitches, ninepenny.gauge.rounds)
    after = cover_of(tex_of(yarn.metres, yarn.grams), new.stitches, new.rounds)
    assert after == pytest.approx(before, rel=0.02)  # its metres are to the nearest 5


def test_yarn_and_needle_given_are_taken_as_they_are(ninepenny: Pattern) -> None:
    yarn = replace(ninepenny.yarn, weight="light", metres=Fraction(225))
    new = regauged(ninepenny, gauge(ninepenny, 22, 30), yarn, Fraction(4))
    assert (new.yarn, new.gauge.needle_mm, new.gauge_changed, new.samples) == (yarn, 4, True, ())


def test_a_panel_draws_in_as_much_as_before() -> None:
    old = shipped("high_moor")
    new = regauged(old, gauge(old, 24, 32))
    pairs = [(a.gauge, b.gauge) for a, b in zip(old.stitch_patterns, new.stitch_patterns, strict=True) if a.gauge]
    assert pairs
    for was, now in pairs:
        assert was is not None
        assert now is not None
        assert now.stitches / new.gauge.stitches == was.stitches / old.gauge.stitches
        assert now.rounds / new.gauge.rounds == was.rounds / old.gauge.rounds


def test_balls_of_every_colour_go_as_far_less() -> None:
    old = shipped("first_steps")
    assert old.colours
    new = regauged(old, gauge(old, 20, 28))
    assert new.yarn.metres < old.yarn.metres
    shares = {b.metres / a.metres for a, b in zip(old.colours, new.colours, strict=True)}
    assert shares == {new.yarn.metres / old.yarn.metres}


def test_one_knitters_sock_in_thick_yarn_names_thick_yarn(ninepenny: Pattern) -> None:
    body = ninepenny.bodies[7]
    mine = for_one(ninepenny, body, gauge(ninepenny, 22, 30))
    assert (mine.bodies, mine.yarn.weight, mine.gauge.needle_mm) == ((body,), "light", None)
    assert for_one(ninepenny, body).yarn == ninepenny.yarn


def test_the_table_has_every_size_before_and_after(ninepenny: Pattern) -> None:
    new = regauged(ninepenny, gauge(ninepenny, 22, 30))
    (before, _), (after, findings) = knit(ninepenny), knit(new)
    told = changes(ninepenny, new, before, after, findings)
    assert [each.size for each in told.sizes] == [body.name for body in ninepenny.bodies]
    middle = told.sizes[7]
    assert middle.before is not None
    assert middle.after is not None
    assert (middle.before.cast_on, middle.after.cast_on) == (64, 44)  # 22.5 cm less a tenth, times 2.2, by fours
    assert (middle.before.around, middle.after.around) == (20, 20)
    assert middle.after.metres < middle.before.metres
    assert middle.after.grams > middle.before.grams
    # 14 cm round in whole ribs of a thick yarn: the third size can't be had, and the first two have no toe left
    assert [each.size for each in told.sizes if each.why] == ["1", "2", "3"]
    assert told.sound == tuple(str(number) for number in range(4, 15))


def test_sizes_that_become_the_same_sock_are_told_and_one_of_them_is_kept(ninepenny: Pattern) -> None:
    """22 and 23 cm round are 64 and 68 stitches at 32 to 10 cm; at 22 they are both 44."""
    feet = [
        Body(name, {"foot_circumference": Fraction(girth), "foot_length": Fraction(25), "leg_length": Fraction(18)})
        for name, girth in (("A", 22), ("B", 23), ("C", 25))
    ]
    old = replace(ninepenny, bodies=tuple(feet), samples=())
    new = regauged(old, gauge(old, 22, 30))
    (before, were), (after, findings) = knit(old), knit(new)
    assert not [each for each in were if each.is_error]
    told = changes(old, new, before, after, findings)
    assert told.alike == (("A", "B"),)
    assert told.sound == ("A", "C")
    assert not [each.size for each in told.sizes if each.why]


def test_neighbours_that_are_alike_make_one_group_and_a_mistake_of_the_file_leaves_nothing(ninepenny: Pattern) -> None:
    made, _ = knit(replace(ninepenny, bodies=ninepenny.bodies[:4]))
    pairs = [Finding("same-sock", "alike", sizes=pair) for pair in (("1", "2"), ("2", "3"))]
    remark = Finding("float", "told", severity=Severity.REMARK, sizes=("4",))
    told = changes(ninepenny, ninepenny, made, made, [*pairs, remark])
    assert (told.alike, told.sound) == ((("1", "2", "3"),), ("1", "4"))
    assert changes(ninepenny, ninepenny, made, made, [Finding("nothing", "wrong")]).sound == ()


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("ninepenny_bridge", "18x25"),
        ("ninepenny_bridge", "42x58"),
        ("first_steps", "22x30"),
        ("quayside", "22x30"),
        ("quayside", "42x58"),
        ("weir_walk", "18x25"),
    ],
)
def test_what_is_said_to_be_printable_is_sound_in_every_setup(name: str, typed: str) -> None:
    pattern = shipped(name)
    new, told = at_gauge(pattern, parser().parse_args(["check", name, "--gauge", typed]))
    names = [body.name for body in pattern.bodies]
    kept = told.partition("--sizes ")[2].strip()
    if kept:
        wanted = chosen(kept, names)
        assert 0 < len(wanted) < len(names)
        assert not check(new, LOOP).is_sound
        new = replace(new, bodies=tuple(body for body in new.bodies if body.name in wanted))
    checked = check(new)
    assert checked.is_sound, checked.findings
    assert len(checked.sizes) == len(new.bodies)


def test_repeats_that_no_longer_fit_are_told_with_what_to_choose() -> None:
    text = (PATTERNS / "quayside.yaml").read_text(encoding="utf-8").split("\nsample:")[0]
    swaps = (
        ("leg-halves", "leg-motif"),
        ("gusset-motif, foot-motif", "gusset, foot-plain"),
        ("arrowhead-lace", "feather-and-fan"),
    )
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    pattern, _ = load_text(text, "fan.yaml", read_chart)
    assert pattern is not None
    regraded, told = at_gauge(pattern, parser().parse_args(["check", "fan.yaml", "--gauge", "24x33"]))
    fallen = [line for line in told.splitlines() if "falls out" in line]
    assert fallen
    assert all("foot_circumference comes out" in line for line in fallen)
    mends = [finding.mend for finding in check(regraded, LOOP).findings if finding.code == "ease"]
    assert len(mends) == len(fallen)
    assert all("of feather and fan" in mend for mend in mends)
