"""Grading one foot: every number meets its rule, or a finding says why it can't, by how much and what mends it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import NUMBERS, QUICK, START, codes, loaded, pattern_text

from grader.loading import load_text
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.sizing import grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Finding

END = START + "      - rounds: K\n        times: 3\n      - bind_off: all\n"
WIDE = "{foot_circumference: -10 %, allowed: [-60 %, 60 %], foot_length: -4 %}"


def body(foot: Fraction | str = "22.5", length: str = "25") -> Body:
    """A foot of these measures in cm."""
    measures = {"foot_circumference": Fraction(foot), "foot_length": Fraction(length), "leg_length": Fraction(16)}
    return Body("M", measures)


def graded(numbers: str, foot: Fraction | str = "22.5", **more: str) -> tuple[Graded | None, list[Finding]]:
    """One foot graded by these rules, on a pattern that loads without a mistake."""
    return grade(loaded(pattern_text(END, numbers=NUMBERS + numbers, fit=WIDE, **more)), body(foot))


def number(rule: str, **more: str) -> Fraction:
    """What the rule for `n` comes to."""
    found, findings = graded(f"  n: {rule}", **more)
    assert found is not None, findings
    return found.names["n"].amount


@pytest.mark.parametrize(
    ("rule", "amount"),
    [
        ("{nearest: foot_circumference * gauge.stitches, multiple_of: 5}", 70),
        ("{nearest: foot_circumference * gauge.stitches, multiple_of: [6, 4]}", 72),
        ("{nearest: foot_circumference * gauge.stitches, multiple_of: [cuff.repeat, 6]}", 72),
        ("{nearest: heel, multiple_of: 4, plus: 2}", 30),
        ("{nearest: heel, parity: odd}", 31),
        ("{nearest: heel + 1, parity: even}", 32),
        ("{nearest: heel, at_most: 30}", 30),
        ("{nearest: heel, at_least: 33, multiple_of: 4}", 36),
        ("{at_least: heel + 1, multiple_of: 4}", 36),
        ("{at_most: heel - 1, multiple_of: 4}", 28),
        ("{exactly: heel / 2 + 1}", 17),
        ("{exactly: ceil(heel / 3)}", 11),
        ("{nearest: foot_length, multiple_of: 0.5 cm}", 25),
        ("{exactly: heel / gauge.stitches, unit: cm}", 10),
        ("{exactly: foot_length * 7 / 9 - 1 mm, unit: cm}", Fraction(25 * 7, 9) - Fraction(1, 10)),
        ("{nearest: 2 cm * gauge.rounds, unit: rounds}", 9),
    ],
)
def test_a_rule_comes_to_its_nearest_legal_number(rule: str, amount: Fraction | int) -> None:
    """Targets, multiples, remainders, parity, bounds; lengths stay exact to the last ninth."""
    assert number(rule) == amount


@pytest.mark.parametrize(
    ("rule", "code", "words"),
    [
        ("{exactly: heel / 3}", "not-whole", "n comes to 10.67 stitches"),
        ("{exactly: heel - 40}", "not-whole", "n comes to -8 stitches"),
        ("{exactly: heel, multiple_of: 12}", "no-legal-number", "not a multiple of 12"),
        ("{exactly: heel, at_most: 30}", "no-legal-number", "2 stitches over"),
        ("{exactly: heel, at_least: 40}", "no-legal-number", "8 stitches too few"),
        ("{nearest: heel, multiple_of: 12, at_least: 25, at_most: 35}", "no-legal-number", "at least 25 and at most"),
        ("{exactly: 2 cm - leg_length, unit: cm, at_least: 0 cm}", "no-legal-number", "14 cm too short"),
    ],
)
def test_a_rule_that_cannot_be_met_is_a_finding(rule: str, code: str, words: str) -> None:
    """It names the rule, the size, by how much it misses, where it stands and what would mend it."""
    found, findings = graded(f"  n: {rule}")
    assert found is None
    assert codes(findings) == [code]
    assert words in findings[0].message
    assert findings[0].sizes == ("M",)
    assert findings[0].mend
    assert findings[0].span is not None
    assert findings[0].span.line > 8


@pytest.mark.parametrize(
    "rule",
    [
        "{exactly: heel + foot_length}",
        "{nearest: heel * heel}",
        "{exactly: foot_length, unit: stitches}",
        "{exactly: heel, unit: cm}",
        "{nearest: foot_length, multiple_of: 4}",
        "{exactly: gauge.stitches}",
    ],
)
def test_units_that_do_not_go_together_are_refused(rule: str) -> None:
    """Stitches never add to centimetres, and a length is no count: told when the file is read, or when it is graded."""
    pattern, findings = load_text(pattern_text(END, numbers=f"{NUMBERS}  n: {rule}"), "units.yaml")
    if pattern is not None and not findings:
        found, findings = grade(pattern, body())
        assert found is None
    assert findings
    assert all(each.is_error for each in findings)
    assert any(word in " ".join(f"{each.message} {each.mend}" for each in findings) for word in ("length", "stitches"))


@settings(QUICK, max_examples=80)
@given(
    st.fractions(12, 40, max_denominator=20),
    st.fractions(12, 40, max_denominator=20),
    st.sampled_from((1, 2, 4, 6, 8)),
    st.integers(20, 60),
)
def test_a_bigger_foot_never_gets_fewer_stitches(a: Fraction, b: Fraction, step: int, gauge: int) -> None:
    """Whatever the multiple and the gauge, the cast-on grows with the foot."""
    pattern = _pattern(step, gauge)
    small, large = (grade(pattern, body(foot))[0] for foot in sorted((a, b)))
    assert small is not None
    assert large is not None
    assert small.count("cast_on") <= large.count("cast_on")
    assert small.count("cast_on") % step == 0


@settings(QUICK, max_examples=80)
@given(st.fractions(12, 40, max_denominator=20), st.integers(20, 60), st.integers(20, 60), st.sampled_from((1, 4, 8)))
def test_a_finer_gauge_never_gets_fewer_stitches(foot: Fraction, a: int, b: int, step: int) -> None:
    """More stitches to 10 cm make as many stitches or more round the same foot."""
    coarse, fine = (grade(_pattern(step, gauge), body(foot))[0] for gauge in sorted((a, b)))
    assert coarse is not None
    assert fine is not None
    assert coarse.count("cast_on") <= fine.count("cast_on")


_PATTERNS: dict[int, Pattern] = {}


def _pattern(step: int, gauge: int) -> Pattern:
    """A pattern with this multiple, at this gauge to 10 cm."""
    if step not in _PATTERNS:
        numbers = NUMBERS.replace("multiple_of: 4", f"multiple_of: {step}").replace("cast_on / 2", "floor(cast_on / 2)")
        _PATTERNS[step] = loaded(pattern_text(END, numbers=numbers, fit=WIDE))
    pattern = _PATTERNS[step]
    return replace(pattern, gauge=replace(pattern.gauge, stitches=Fraction(gauge, 10)))


@settings(QUICK, max_examples=80)
@given(
    st.integers(1, 9),
    st.integers(1, 9),
    st.integers(0, 8),
    st.one_of(st.none(), st.integers(20, 40)),
    st.one_of(st.none(), st.integers(25, 60)),
    st.integers(40, 400),
)
def test_multiples_and_remainders_agree_with_trying_every_number(
    first: int, second: int, plus: int, low: int | None, high: int | None, tenths: int
) -> None:
    """The nearest number that meets all congruences and bounds, found by trying each from 0 to 400."""
    bounds = (f", at_least: {low}" if low is not None else "") + (f", at_most: {high}" if high is not None else "")
    foot = Fraction(tenths, 10)
    rule = f"{{nearest: foot_circumference * 1 sts / 1 cm, multiple_of: [{first}, {second}], plus: {plus}{bounds}}}"
    found, findings = graded(f"  n: {rule}", foot)
    numbers = [
        n
        for n in range(401)
        if (n - plus) % first == 0
        and (n - plus) % second == 0
        and (low is None or n >= low)
        and (high is None or n <= high)
    ]
    if not numbers:
        assert codes(findings) == ["no-legal-number"]
        return
    assert found is not None, findings
    assert found.count("n") == min(numbers, key=lambda n: (abs(n - foot), n))


def test_ease_is_what_the_sock_has_after_rounding() -> None:
    """64 stitches at 32 to 10 cm make 20 cm round a foot of 22.5 cm: a ninth less."""
    found, _ = graded("")
    assert found is not None
    assert found.count("cast_on") == 64
    assert found.finished["foot_circumference"] == 20
    assert found.ease["foot_circumference"] == Fraction(20) / Fraction("22.5") - 1 == Fraction(-1, 9)


def test_ease_outside_what_is_allowed_names_rule_size_amount_and_mend() -> None:
    """A multiple too coarse for the foot is told with its ease, how far outside, and a nearer number or gauge."""
    numbers = NUMBERS.replace("multiple_of: 4", "multiple_of: 24")
    fit = "{foot_circumference: -10 %, allowed: [-12 %, -8 %], foot_length: -4 %}"
    text = pattern_text(END, numbers=numbers, fit=fit)
    found, findings = grade(loaded(text), body("20"))
    assert found is None
    assert codes(findings) == ["ease"]
    told = findings[0]
    assert told.sizes == ("M",)
    assert "foot_circumference comes out -25.0 % beside the foot, 2.6 cm outside what is allowed" in told.message
    assert (told.expected, told.found) == ("-12.0 % to -8.0 %", "-25.0 %")
    assert "58 instead of 48" in told.mend
    assert "a gauge of 26.67 sts to 10 cm" in told.mend
    assert told.span is not None
    assert "fit:" in text.splitlines()[told.span.line - 1]


def test_a_number_knows_what_it_aimed_at_and_why_it_moved() -> None:
    """64.8 was taken to 64, a multiple of 4; what needed no rounding has no reason."""
    found, _ = graded("  n: {nearest: heel + 20, at_most: 40}")
    assert found is not None
    figures = {figure.name: figure for figure in found.figures}
    assert figures["cast_on"].aimed.amount == Fraction("64.8")
    assert figures["cast_on"].reason == "64.8 taken to 64, a multiple of 4"
    assert figures["heel"].reason == ""
    assert figures["n"].reason == "52 held at 40, at most 40"


def test_a_rule_may_use_the_rules_above_it_and_the_stitch_patterns() -> None:
    """Repeats and rounds of the stitch patterns, gauge and fit are names as the foot's measures are."""
    found, _ = graded("", patterns='cuff: {rounds: ["*K2, P2* to end", "*K3, P3* to end"]}')
    assert found is not None
    assert found.names["cuff.repeat"].amount == 12
    assert found.names["cuff.rounds"].amount == 2
    assert found.names["fit.foot_circumference"].amount == Fraction(-1, 10)
    assert found.names["gauge.rounds"].amount == Fraction(44, 10)


def test_a_number_outside_of_what_its_designer_allows_is_told_with_its_limits() -> None:
    rule = "{nearest: heel, multiple_of: 2, allowed: [heel - 2 sts, heel * 110 %], label: rows of the flap}"
    assert number(rule) == 32
    wrong, findings = graded(f"  n: {rule.replace('nearest: heel', 'nearest: heel * 120 %')}")
    assert wrong is None
    assert codes(findings) == ["allowed"]
    assert findings[0].message == "n (rows of the flap) comes to 38 stitches, outside of what is allowed"
    assert (findings[0].expected, findings[0].found) == ("30 to 35.2 stitches", "38")


@pytest.mark.parametrize(("allowed", "is_sound"), [("[32, 40]", True), ("[20, 32]", True), ("[33, 40]", False)])
def test_the_limits_themselves_are_allowed(allowed: str, is_sound: bool) -> None:
    found, _ = graded(f"  n: {{nearest: heel, allowed: {allowed}}}")
    assert (found is not None) is is_sound


def test_limits_do_not_move_a_number() -> None:
    """They are a statement about the rule; `at_least` and `at_most` are part of it."""
    held, _ = graded("  n: {nearest: heel * 2, at_most: 40}")
    assert held is not None
    assert held.names["n"].amount == 40
    assert graded("  n: {nearest: heel * 2, allowed: [20, 40]}")[0] is None
