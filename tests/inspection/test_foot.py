"""The length of a foot is what was knitted, by one geometry for every heel; what a pattern says is held to it."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from functools import cache

import pytest
from parts.combining import pattern_of

from grader.inspection.foot import Foot, measure_foot
from grader.loading import load_text
from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check
from grader.resources import folder
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

HERE = str(folder("patterns") / "put_together.yaml")
LOOP = "long circular (magic loop)"
FLAP = ("heel-flap-slipped",)
HEELS = {
    "round": (*FLAP, "turn-round", "gusset"),
    "V": (*FLAP, "turn-v", "gusset"),
    "band": (*FLAP, "turn-band", "gusset"),
    "German": ("heel-german-short-row",),
    "wrapped": ("heel-wrapped-short-row",),
    "afterthought": ("heel-afterthought",),
}
DOWN = {name: ("cuff-1x1-rib", "leg-straight", *heel, "foot-plain", "toe-wedge") for name, heel in HEELS.items()}
UP = {
    "gusset from the toe": ("toe-up-heel-gusset",),
    "German from the toe": ("heel-german-short-row",),
    "afterthought from the toe": ("toe-up-heel-afterthought",),
}
SOCKS = DOWN | {
    name: ("toe-up-wedge", "toe-up-foot", *heel, "toe-up-leg", "toe-up-cuff-1x1-rib") for name, heel in UP.items()
}
GAUGES = ("24, rounds: 34", "32, rounds: 44", "36, rounds: 52")
FEET = ((16, 17), (19.5, 22), (22.5, 25), (24.5, 27), (27, 30))


def _text(parts: tuple[str, ...], girth: float = 22.5, length: float = 25, gauge: str = GAUGES[1]) -> str:
    size = f"{{own: [{{name: one, foot_circumference: {girth} cm, foot_length: {length} cm, leg_length: 16 cm}}]}}"
    text = pattern_of(parts).replace("sizes: {chart: adult-feet}", f"sizes: {size}")
    return text.replace("stitches: 32, rounds: 44", f"stitches: {gauge}")


@cache
def _loaded(text: str) -> Pattern:
    pattern, findings = load_text(text, HERE, read_chart)
    assert pattern is not None, findings
    return pattern


@cache
def _checked(text: str) -> Checked:
    return check(_loaded(text), Wanted(setups=(LOOP,)))


def _foot(text: str) -> Foot:
    checked = _checked(text)
    foot = measure_foot(checked.pattern, checked.socks[0].record)
    assert foot is not None
    return foot


def _wrong(text: str) -> list[Finding]:
    return [each for each in _checked(text).findings if each.is_error]


def test_the_depths_of_all_heels_worked_by_hand() -> None:
    """64 stitches at 32 x 44: half the heel is 5 cm wide; the fabric round each heel is worked out row by row."""
    flap = (32 / 4.4 + 17 / 3.2) / 2
    fabric = {
        "round": flap + (14 / 4.4 + 7 / 3.2) / 2,
        "V": flap + (16 / 4.4 + 8 / 3.2) / 2,
        "band": flap + (22 / 4.4 + 11 / 3.2) / 2,
        "German": 40 / 4.4,
        "wrapped": 40 / 4.4,
        "afterthought": 2 * 21 / 4.4,
        "gusset from the toe": 20 / 4.4 + (22 / 4.4 + 11 / 3.2) / 2,
        "German from the toe": 40 / 4.4,
        "afterthought from the toe": 2 * 21 / 4.4,
    }
    for name, parts in SOCKS.items():
        assert float(_foot(_text(parts)).heel_depth) == pytest.approx((5 + fabric[name] / 2) / 2), name
    depths = [float(_foot(_text(parts)).heel_depth) for parts in SOCKS.values()]
    assert max(depths) - min(depths) < 0.5


@pytest.mark.parametrize(
    ("girth", "length", "gauge"),
    [*((*foot, GAUGES[place % 3]) for place, foot in enumerate(FEET)), *((*FEET[2], gauge) for gauge in GAUGES[:2])],
)
def test_every_heel_leaves_the_instep_about_as_many_rounds(girth: float, length: float, gauge: str) -> None:
    """Within 4 % of each other: the foot is the same whatever its heel."""
    rounds = {}
    for name, parts in SOCKS.items():
        text = _text(parts, girth, length, gauge)
        assert _wrong(text) == [], name
        rounds[name] = float(_foot(text).rounds)
    assert max(rounds.values()) <= 1.04 * min(rounds.values()), rounds


@pytest.mark.parametrize(
    ("name", "factor"),
    [(name, near) for name in SOCKS for near in ("0.85", "1.15")]
    + [(name, ("0", "0.5", "1.5", "2")[place % 4]) for place, name in enumerate(SOCKS)],
)
def test_a_wrong_depth_is_found_whatever_the_heel(name: str, factor: str) -> None:
    """The number in a part, and so every round that hangs on it, is changed alone."""
    text = _text(SOCKS[name])
    true = float(_checked(text).sizes[0].names["heel_depth"].amount)
    changed = text.rstrip() + f"\n  heel_depth: {{exactly: {true * float(factor):.2f} cm}}\n"
    assert "measure" in {each.code for each in _wrong(changed)}


@pytest.mark.parametrize("toe", ["toe-short-row", "toe-wedge"])
def test_a_depth_that_is_typed_in_is_held_to_what_is_knitted(toe: str) -> None:
    parts = (*DOWN["German"][:-1], toe)
    true = float(_foot(_text(parts)).beside_rounds)
    right, wrong = (
        _text(parts) + f"\nfinished:\n  foot_length: {{plus: {amount:.2f} cm}}\n" for amount in (true, true * 1.15)
    )
    assert _wrong(right) == []
    found = next(each for each in _wrong(wrong) if each.code == "heel-depth")
    assert found.expected == f"{true:.2f} cm"
    assert found.span is not None


def test_sections_of_the_foot_left_out_of_its_length_are_named() -> None:
    ninepenny = (folder("patterns") / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    text = re.sub(r"along: \[Gusset, Foot, Toe\]", "along: [Foot, Toe]", ninepenny)
    pattern = _loaded(text)
    one = replace(pattern, bodies=pattern.bodies[7:8])
    found = [each for each in check(one, Wanted(setups=(LOOP,))).findings if each.is_error]
    assert [(each.code, each.expected) for each in found] == [("foot-sections", "Gusset, Foot, Toe")]


def test_a_toe_in_rows_gives_half_of_them_to_the_foot() -> None:
    foot = _foot(_text((*DOWN["round"][:-1], "toe-short-row")))
    assert float(foot.toe_cup) == pytest.approx(41 / 2 / 4.4)


def test_rounds_that_rest_a_short_row_heel_belong_half_to_the_foot() -> None:
    """Two rounds over all stitches between the halves of a short-row heel, as some work it."""
    text = _text(DOWN["German"])
    plain = _foot(text)
    whole = _checked(text)
    record = whole.socks[0].record
    heel = [place for place, line in enumerate(record.lines) if line.kind == "row"]
    middle = heel[len(heel) // 2]
    resting = replace(next(line for line in record.lines if line.kind == "round"), times=2, fabric="", section="Heel")
    lines = (*record.lines[:middle], resting, *record.lines[middle:])
    assert (
        measure_foot(whole.pattern, replace(record, lines=lines)).length
        == plain.length + 1 / whole.pattern.gauge.rounds
    )


def test_a_tube_has_no_heel_to_measure_from() -> None:
    checked = _checked(_text(DOWN["German"]))
    record = checked.socks[0].record
    tube = replace(record, lines=tuple(line for line in record.lines if line.kind != "row"))
    assert measure_foot(checked.pattern, tube) is None


def test_the_foot_does_not_hang_on_the_setup() -> None:
    for parts in itertools.islice(SOCKS.values(), 0, None, 3):
        checked = check(_loaded(_text(parts)))
        assert len({measure_foot(checked.pattern, sock.record).length for sock in checked.socks}) == 1
