"""Stitches and rounds are two units: a length never becomes the one by the gauge of the other, wherever it stands."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK

from grader.loading import Charts, load_text

_PATTERN = """title: Units
version: "1"
gauge: {{stitches: 32, rounds: 44, per: 10 cm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes: {{chart: feet}}
numbers:
  cast_on: {{exactly: 64}}
  heel: {{exactly: cast_on / 2}}
  heel_rows: {{nearest: heel, multiple_of: 2}}
{numbers}
sections:
  - name: Cuff
    steps:
      - cast_on: "{{cast_on}}"
        regions: [[heel, "{{heel}}"], [instep, "{{cast_on - heel}}"]]
      - rounds: K
        times: "{{heel_rows}}"
{steps}
"""

# where a number of rounds stands, and where one of stitches; @ is the formula
_ROUNDS_IN_NUMBERS = (
    '  cuff_rounds: {nearest: "@"}',
    '  cuff: {exactly: "@", unit: rounds}',
    '  toe_rows: {at_most: "@", multiple_of: 2}',
    '  cuff_rounds: {nearest: 12, at_least: "@"}',
    '  cuff_rounds: {nearest: 12, multiple_of: [2, "@"]}',
    '  cuff_rounds: {nearest: 12, multiple_of: 4, plus: "@"}',
)
_ROUNDS_IN_STEPS = (
    '      - rounds: K\n        times: "{@}"',
    '      - repeat:\n          - round: K\n        times: "{@}"',
    '      - round: "(K2, P2) {@} times, K to end"',
)
_STITCHES_IN_NUMBERS = (
    '  tube: {nearest: "@"}',
    '  toe_end: {at_most: "@", multiple_of: 4}',
    '  tube: {nearest: 60, at_most: "@"}',
    '  tube: {nearest: 60, multiple_of: {of: 4, plus: "@"}}',
)
_STITCHES_IN_STEPS = (
    '      - round: "K{@}, P to end"',
    '      - arrange:\n        regions: [[front, "{@}"], [back, 4]]',
    '      - repeat:\n          - round: "K2tog, K to end"\n        until: "{@} sts"',
    '      - round: K\n        leaves: {heel: "{@}"}',
    '      - bind_off: "{@}"',
)

_lengths = st.deferred(
    lambda: st.one_of(
        st.sampled_from(("4 cm", "leg_length", "foot_circumference", "1.5 in")),
        st.tuples(_lengths, st.sampled_from((" / 2", " * 0.9", " + 1 cm"))).map(lambda told: f"({told[0]}{told[1]})"),
        st.just("heel / gauge.stitches"),
        st.just("heel_rows / gauge.rounds"),
    )
)


def _measured(gauge: str, other: str) -> st.SearchStrategy[str]:
    """Lengths turned into counts by that gauge, in any guise that leaves them such."""
    plain = st.builds("{} * {}".format, _lengths, st.just(gauge)) | st.builds(
        "{1} * {0}".format, _lengths, st.just(gauge)
    )
    return st.one_of(
        plain,
        plain.map(lambda told: f"({told}) / 2 + 1"),
        plain.map(lambda told: f"max({told}, 2)"),
        plain.map(lambda told: f"floor(abs({told}))"),
        plain.map(lambda told: f"heel * 0 + {told}" if gauge == "gauge.stitches" else f"heel_rows + {told}"),
        plain.map(lambda told: f"({told}) * {other} / {other}"),
    )


def _units(text: str, charts: Charts) -> list[tuple[int, int, str]]:
    """The place of every finding, and what would mend it; all are of a unit."""
    _, findings = load_text(text, "units.yaml", charts)
    assert {each.code for each in findings} <= {"unit"}, findings
    return [(each.span.line, each.span.column, each.mend) for each in findings if each.span]


def _written(place: str, formula: str, *, numbers: bool) -> tuple[str, tuple[int, int]]:
    """A pattern with the formula in that place, and the line and column where it begins."""
    text = _PATTERN.format(numbers=place if numbers else "", steps="" if numbers else place)
    before = text[: text.index("@")]
    return text.replace("@", formula), (before.count("\n") + 1, len(before) - before.rfind("\n"))


_PLACES = (
    *((place, True, "stitches", "rounds") for place in _ROUNDS_IN_NUMBERS),
    *((place, False, "stitches", "rounds") for place in _ROUNDS_IN_STEPS),
    *((place, True, "rounds", "stitches") for place in _STITCHES_IN_NUMBERS),
    *((place, False, "rounds", "stitches") for place in _STITCHES_IN_STEPS),
)


@settings(QUICK, max_examples=12)
@given(data=st.data())
@pytest.mark.parametrize(("place", "numbers", "wrong", "right"), _PLACES)
def test_a_length_by_the_gauge_of_the_other_is_refused_at_its_place(
    place: str, numbers: bool, wrong: str, right: str, data: st.DataObject, charts: Charts
) -> None:
    formula = data.draw(_measured(f"gauge.{wrong}", f"gauge.{right}"))
    text, at = _written(place, formula, numbers=numbers)
    found = _units(text, charts)
    assert [each[:2] for each in found] == [at]
    assert f"gauge.{right}" in found[0][2]


@settings(QUICK, max_examples=6)
@given(data=st.data())
@pytest.mark.parametrize(("place", "numbers", "wrong", "right"), _PLACES)
def test_by_its_own_gauge_it_is_taken(
    place: str, numbers: bool, wrong: str, right: str, data: st.DataObject, charts: Charts
) -> None:
    formula = data.draw(_measured(f"gauge.{right}", f"gauge.{wrong}"))
    text, _ = _written(place, formula, numbers=numbers)
    assert _units(text, charts) == []


@pytest.mark.parametrize("times", ["{wide}", "{wide / 2 + 1}", "{half}"])
def test_a_length_under_another_name_is_refused(times: str, charts: Charts) -> None:
    """A number of stitches that nothing is knitted of is no number of stitches."""
    numbers = "  wide: {nearest: 4 cm * gauge.stitches}\n  half: {nearest: wide / 2}"
    text = _PATTERN.format(numbers=numbers, steps=f'      - rounds: K\n        times: "{times}"')
    line = text[: text.index(times)].count("\n") + 1
    assert [each[:2] for each in _units(text, charts)] == [(line, 18)]
    knitted = text.replace('rounds: K\n        times: "{heel_rows}"', 'round: "K{wide}, P to end"')
    assert _units(knitted, charts) == [], "stitches that are knitted may be counted in rounds too: a square"


@pytest.mark.parametrize(
    "numbers",
    [
        "  flap_rows: {nearest: heel, multiple_of: 2}",  # a square flap, common practice
        "  pick_up: {exactly: heel_rows / 2 + 1}",  # a stitch for each chain, which is two rows
        "  decreases: {exactly: (cast_on - heel) / 4, unit: rounds}",  # four go in each round
        "  decreases: {exactly: 4 cm * gauge.stitches * 0 + (cast_on - heel) / 4}",
        "  decreases: {nearest: 4 cm * gauge.stitches / 2 sts, unit: rounds}",  # so many rounds take a width away
        "  flap_rows: {nearest: heel / gauge.stitches * gauge.rounds}",  # a flap as high as it is wide
        "  flap_rows: {nearest: heel * (gauge.rounds / gauge.stitches)}",
        "  flap_rows: {nearest: heel + 2 cm * gauge.stitches / 1 st}",
    ],
)
def test_what_the_trade_counts_over_is_taken(numbers: str, charts: Charts) -> None:
    assert _units(_PATTERN.format(numbers=numbers, steps=""), charts) == []


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ("cast_on + heel_rows", "can't add stitches to rounds"),
        ("cast_on - 4 rounds", "can't take rounds from stitches"),
        ("max(2, cast_on, heel_rows)", "max can't compare stitches with rounds"),
        ("4 cm * gauge.stitches + 4 cm * gauge.rounds", "can't add stitches to rounds"),
    ],
)
def test_the_two_are_never_put_together(formula: str, words: str, charts: Charts) -> None:
    _, findings = load_text(_PATTERN.format(numbers=f'  x: {{nearest: "{formula}"}}', steps=""), "units.yaml", charts)
    assert [each.message for each in findings] == [f"this formula can't be worked out: {words}"]
    assert findings[0].span is not None
    assert findings[0].span.line == 11
