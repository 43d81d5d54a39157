"""What a right file becomes: exact numbers, whole names, and the place of every part."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest

from grader.loading import Charts, load_pattern, load_text
from grader.loading.starter import starter_text
from grader.models.pattern import Pattern, Step
from grader.vocabulary.formulas import read_formula

SHIPPED = Path(__file__).parents[2] / "patterns" / "ninepenny_bridge.yaml"
SETUPS = ("short circular", "long circular (magic loop)", "double-pointed, set of 5", "double-pointed, set of 4")
HEAD = """\
title: Plain socks
version: 1.10
gauge: {stitches: 28.5, rounds: 40, per: 4 in, needle: 2.75 mm}
yarn: {weight: Super fine, metres: 420, per: 100 g}
fit: {foot_circumference: -10%, allowed: [−15 %, -5 %], foot_length: 0 %}
sizes: {chart: feet}
numbers: {cast_on: {exactly: 64}}
sections:
  - name: Cuff
    steps:
      - cast_on: 64
        regions: [[heel, 32], [instep, 32]]
"""


def loaded(text: str, charts: Charts | None) -> Pattern:
    pattern, findings = load_text(text, "p.yaml", charts)
    assert findings == []
    assert pattern is not None
    return pattern


def step(more: str, charts: Charts, before: str = "") -> Step:
    """The last step of a small pattern."""
    return loaded(HEAD.replace("sections:", f"{before}sections:") + more, charts).sections[-1].steps[-1]


@pytest.fixture(scope="module")
def shipped() -> Pattern:
    pattern, findings = load_pattern(str(SHIPPED))
    assert findings == []
    assert pattern is not None
    return pattern


def test_the_shipped_pattern_loads_whole(shipped: Pattern) -> None:
    assert shipped.title == "Ninepenny Bridge plain socks"
    names = [each.name for each in shipped.sections]
    assert names == ["Cuff", "Leg", "Heel flap", "Heel turn", "Gusset", "Foot", "Toe"]
    assert shipped.setups == SETUPS
    assert shipped.gauge.stitches == Fraction(16, 5)
    assert shipped.gauge.needle_mm == Fraction(5, 2)
    assert shipped.fit.length_allowed == (Fraction(-1, 10), Fraction(0))
    assert len(shipped.bodies) == 14
    units = {rule.name: rule.unit for rule in shipped.rules}
    assert units["cast_on"] == "stitches"
    assert units["heel_rows"] == units["gusset_decreases"] == units["toe_rounds"] == "rounds"
    assert units["leg_plain"] == units["foot_plain"] == units["graft_tail"] == "cm"


def test_the_shipped_heel_turn_keeps_its_sides(shipped: Pattern) -> None:
    first, back, pair = shipped.sections[3].steps
    assert first.work.whole is not None
    assert first.work.whole.text == "Sl1, K{turn_first}, ssk, K1, turn"
    assert (back.work.whole, back.work.first_side) == (None, "WS")
    assert pair.until is not None
    assert pair.until.gaps_closed
    assert [(each.name, each.count) for each in pair.leaves] == [("heel", read_formula("heel_left"))]


def test_the_shipped_pick_up_goes_edge_by_edge(shipped: Pattern) -> None:
    pick_up = shipped.sections[4].steps[0]
    assert [part.edge or part.region for part in pick_up.parts] == ["heel", "left", "instep", "right"]
    assert dict(pick_up.start) == {
        SETUPS[0]: "start of instep",
        SETUPS[1]: "start of instep",
        SETUPS[2]: "centre of sole",
        SETUPS[3]: "centre of sole",
    }


def test_every_written_text_stands_where_its_place_says(shipped: Pattern) -> None:
    lines = SHIPPED.read_text(encoding="utf-8").split("\n")
    seen = 0
    for section in shipped.sections:
        for each in section.steps:
            for text in (each.work.whole, each.work.ws, each.say, each.why, each.check):
                if text is not None:
                    seen += 1
                    assert lines[text.span.line - 1][text.span.column - 1 :].startswith(text.text[:20])
    assert seen > 15


def test_the_loading_package_itself_imports_no_heavy_library() -> None:
    code = "import sys, grader.loading; print([m for m in ('yaml', 'pydantic', 'grader.notation') if m in sys.modules])"
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"


@pytest.mark.parametrize("title", ["Harbour socks", 'Ada\'s "best" socks: blue', "# {title}", "Größe \\ Ñ"])
def test_the_starter_pattern_loads_clean_under_any_title(title: str) -> None:
    pattern = loaded(starter_text(title), None)
    assert pattern.title == title
    assert [body.name for body in pattern.bodies] == ["XS", "S", "M", "L", "XL", "XXL"]
    assert all(rule.why and rule.label for rule in pattern.rules)


def test_numbers_stay_exact_and_texts_stay_texts(charts: Charts) -> None:
    pattern = loaded(HEAD, charts)
    assert pattern.version == "1.10"
    assert pattern.gauge.stitches == Fraction("28.5") / Fraction("10.16")
    assert pattern.gauge.per_stated == (Fraction("28.5"), Fraction(40))
    assert pattern.gauge.needle_mm == Fraction("2.75")
    assert pattern.yarn.weight == "super fine"
    assert pattern.fit.allowed == (Fraction(-15, 100), Fraction(-5, 100))


def test_own_sizes_may_be_in_inches_and_have_more_measures(charts: Charts) -> None:
    own = "{own: [{name: No, foot_circumference: 8 3/4 in, foot_length: 24.5 cm, leg_length: 180 mm, calf: 34 cm}]}"
    text = HEAD.replace("{chart: feet}", own).replace("{exactly: 64}", "{nearest: calf * gauge.stitches}")
    (body,) = loaded(text, charts).bodies
    assert body.name == "No"
    assert body.measures == {
        "foot_circumference": Fraction("22.225"),
        "foot_length": Fraction("24.5"),
        "leg_length": Fraction(18),
        "calf": Fraction(34),
    }


def test_chosen_sizes_come_in_the_order_of_the_chart(charts: Charts) -> None:
    pattern = loaded(HEAD.replace("{chart: feet}", "{chart: feet, choose: [M, S]}"), charts)
    assert [body.name for body in pattern.bodies] == ["S", "M"]


def test_setups_and_needles_go_by_their_full_names(charts: Charts) -> None:
    more = (
        "setups: [double-pointed set of 4, long circular, short circular]\n"
        "needles: {short circular: {length: 23 cm}, double-pointed: {length: 15 cm}}\n"
    )
    pattern = loaded(more + HEAD, charts)
    assert pattern.setups == (SETUPS[3], SETUPS[1], SETUPS[0])
    assert dict(pattern.needle_lengths) == {SETUPS[0]: 23, SETUPS[2]: 15, SETUPS[3]: 15}


@pytest.mark.parametrize(("parity", "plus"), [("even", None), ("odd", read_formula("1"))])
def test_parity_is_a_congruence(charts: Charts, parity: str, plus: object) -> None:
    rule = loaded(HEAD.replace("exactly: 64", f"nearest: 64, parity: {parity}"), charts).rules[0]
    assert (rule.aim, rule.multiple_of, rule.plus) == ("nearest", (read_formula("2"),), plus)


def test_a_bound_alone_is_the_aim_and_beside_an_aim_a_limit(charts: Charts) -> None:
    alone = loaded(HEAD.replace("exactly: 64", "at_most: 64"), charts).rules[0]
    assert (alone.aim, alone.at_most) == ("at_most", None)
    beside = loaded(HEAD.replace("exactly: 64", "nearest: 64, at_most: 70"), charts).rules[0]
    assert (beside.aim, beside.at_most) == ("nearest", read_formula("70"))


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ("      - rounds: K\n        for: 2 1/2 in\n", Fraction("6.35")),
        ("      - rounds: K\n        for: 4 cm\n", Fraction(4)),
        ('      - rounds: K\n        for: "{ 12 mm }"\n', Fraction("1.2")),
    ],
)
def test_a_length_to_work_for_may_be_plain(charts: Charts, more: str, expected: Fraction) -> None:
    length = step(more, charts).length
    assert length is not None
    assert (length.value({}).amount, length.value({}).is_length) == (expected, True)


def test_rows_begin_with_the_side_that_stands_first(charts: Charts) -> None:
    work = step('      - rows: {WS: "P", RS: "K"}\n        times: 3\n', charts).work
    assert (work.first_side, work.whole and work.whole.text, work.ws and work.ws.text) == ("WS", "K", "P")


def test_a_stitch_pattern_of_single_rows(charts: Charts) -> None:
    before = 'stitch_patterns: {seed: {label: seed, rows: [{RS: "*K1, P1* to end"}, {WS: "*K1, P1* to end"}]}}\n'
    text = HEAD.replace("sections:", before + "sections:") + "      - rows: in seed\n        times: 4\n"
    pattern = loaded(text, charts)
    found = pattern.stitch_pattern("seed")
    assert found is not None
    assert (len(found.rows), found.rounds) == (2, ())
    assert pattern.sections[0].steps[-1].work.in_pattern == "seed"


@pytest.mark.parametrize(
    ("more", "kind", "pair", "count"),
    [
        ("      - bind_off: all\n", "bind_off", (), None),
        ("      - bind_off: 12\n", "bind_off", (), "12"),
        ("      - gather: all\n", "gather", (), None),
        ("      - graft: [heel, instep]\n", "graft", ("heel", "instep"), None),
        ("      - rest: instep\n", "rest", ("instep",), None),
        ("      - rejoin: instep\n", "rejoin", ("instep",), None),
        ("      - say: Turn the work.\n", "note", (), None),
        ("      - part_round: K9\n", "part_round", (), None),
        ("      - arrange: halves\n", "arrange", (), None),
    ],
)
def test_kinds_of_steps(charts: Charts, more: str, kind: str, pair: tuple[str, ...], count: str | None) -> None:
    found = step(more, charts)
    assert (found.kind, found.pair, found.count and found.count.text) == (kind, pair, count)


def test_arrange_may_stand_alone_with_its_regions(charts: Charts) -> None:
    more = "      - arrange:\n        regions: [[front, 32], [back, 32]]\n        start: center of back\n"
    found = step(more, charts)
    assert found.work.whole is None
    assert [each.name for each in found.regions] == ["front", "back"]
    assert found.start == tuple((setup, "centre of back") for setup in SETUPS)


def test_a_condition_is_two_formulas_and_a_sign(charts: Charts) -> None:
    when = step("      - round: K\n        when: cast_on / 2 == 32\n", charts).when
    assert when is not None
    assert (when.left, when.sign, when.right.value({}).amount) == (read_formula("cast_on / 2 "), "=", 32)


def test_a_setup_may_have_its_own_words_or_lines(charts: Charts) -> None:
    more = (
        "      - round: K\n        setups:\n          short circular: Mind the marker.\n"
        "          double-pointed: {say: Close up., round: {heel: K, instep: P}}\n"
    )
    one, five, four = step(more, charts).overrides
    assert (one.setup, one.say and one.say.text, one.work) == (SETUPS[0], "Mind the marker.", None)
    assert (five.setup, four.setup, five.work) == (SETUPS[2], SETUPS[3], four.work)
    assert five.work is not None
    assert [name for name, _ in five.work.by_region] == ["heel", "instep"]


def test_a_sample_keeps_its_figures_and_their_places(charts: Charts) -> None:
    more = "sample: {size: M, numbers: {cast_on: 64}, counts: {Cuff: [64, 60]}}\n"
    (sample,) = loaded(HEAD + more, charts).samples
    assert [(name, amount) for name, amount, _ in sample.numbers] == [("cast_on", 64)]
    assert [(name, figures, span.column) for name, figures, span in sample.counts] == [("Cuff", (64, 60), 52)]


@pytest.mark.parametrize(
    "prose",
    [
        "Use 4-ply yarn.",
        "Work 2 x 2 rib.",
        "Needle 2 stitches are tight.",
        "Use a 2.5 mm needle.",
        "Take the 23 cm circular.",
        "{cast_on, sts} sts are on the needles.",
        "Turn to page 3 in the book.",
        "It divides by {4, divisor}.",
        "Round 3 times nothing",
        "Needles 1 and 2 hold the heel, rows 1, 3 and 5 the pattern.",
        "Pick up 1 in each chain, K2, k2tog, and turn 2/2 LC as in the chart.",
        "Pick up 3 sts for every 4 rows.",
        "Wash at 30 degrees; the 2nd sock may wait 3 weeks.",
        "400 m to 100 g, of 75 % wool, for those aged 6.",
        "Work 1/2 of the stitches, twice, and four rounds on five needles.",
        "Half of the sock is `16` [here](page16.html).",
        "1. First the cuff.",
        "Needles of 2.5 mm, a set of 5 double-pointed needles and 4 stitch markers.",
    ],
)
def test_numbers_that_are_not_graded_may_be_typed(charts: Charts, prose: str) -> None:
    found = step(f'      - round: K\n        say: "{prose}"\n', charts)
    assert found.say is not None


@pytest.mark.parametrize(
    "prose",
    [
        "Work 3 rows.",
        "8 in long",
        "8½ inches",
        "2 chains",
        "K 1 st",
        "10-12 rounds",
        "5 cm",
        "4-cm cuff",
        "Pick up 16 in all.",
    ],
)
def test_numbers_that_are_graded_may_not(charts: Charts, prose: str) -> None:
    _, findings = load_text(HEAD + f'      - round: K\n        check: "{prose}"\n', "p", charts)
    assert [each.code for each in findings] == ["naked-number"]


def test_a_region_of_a_step_for_some_sizes_does_not_end_the_others(charts: Charts) -> None:
    more = (
        "      - arrange:\n        when: cast_on > 60\n        regions: [[front, 32], [back, 32]]\n"
        "      - round: {heel: K, instep: P}\n"
    )
    assert step(more, charts).work.by_region[0][0] == "heel"


def test_an_unknown_chart_is_compared_with_those_that_ship() -> None:
    _, findings = load_text(HEAD.replace("chart: feet", "chart: adult-feat"), "p", None)
    assert [(each.message, each.mend) for each in findings] == [
        ("there is no size chart 'adult-feat'", "did you mean 'adult-feet'?")
    ]
