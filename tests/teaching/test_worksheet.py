"""The worksheet: its sums, read back and worked by somebody else, give the numbers of the engine."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import Wanted, check, grade_all, open_pattern
from grader.publishing import reasons_of
from grader.teaching import worksheet
from grader.teaching.words import BLANK

PATTERNS = sorted(path.stem for path in Path("patterns").glob("*.yaml"))
_CODE = re.compile(r"[\w.]+")


def _read(name: str) -> tuple[Pattern, tuple[Graded, ...]]:
    pattern, findings = open_pattern(f"patterns/{name}.yaml")
    assert pattern is not None
    assert not [each for each in findings if each.is_error]
    return pattern, grade_all(pattern)[0]


def _worked_by_hand(told: str) -> float:
    """The value of a sum as it is printed, by a reader who knows only the signs."""
    text = told.replace("−", "-").replace("×", "*").replace("÷", "/")
    while "rounded" in text or " of " in text:
        text, count = re.subn(
            r"\(the (smaller|larger) of ([^()]+?) and ([^()]+?)\)", lambda m: str(_chosen(m[1], m[2], m[3])), text
        )
        text, more = re.subn(
            r"\(((?:[^()]|\([^()]*\))*?) rounded (down|up)\)", lambda m: str(_rounded(m[1], m[2])), text
        )
        assert count or more, text
    return float(eval(text, {"__builtins__": {}}))


def _chosen(which: str, first: str, second: str) -> float:
    return {"smaller": min, "larger": max}[which](_worked_by_hand(first), _worked_by_hand(second))


def _rounded(text: str, way: str) -> int:
    return {"down": math.floor, "up": math.ceil}[way](_worked_by_hand(text))


def _sum_of(example: str) -> tuple[str, str]:
    """The sum, and what it is said to come to before it is rounded ("" where nothing is rounded)."""
    told = example.removesuffix("→").removesuffix("=").strip()
    sums, _, aimed = told.partition(" = ")
    return sums, aimed


@pytest.mark.parametrize("name", PATTERNS)
def test_every_sum_comes_to_the_number_of_the_engine(name: str) -> None:
    pattern, sizes = _read(name)
    for graded in sizes:
        sheet = worksheet(pattern, sizes, graded)
        assert len(sheet.numbers) >= len(pattern.rules)
        for rule, figure, told in zip(pattern.rules, graded.figures, sheet.numbers, strict=False):
            assert float(told.result.split(" ")[0].replace("−", "-")) == pytest.approx(
                float(graded.names[rule.name].amount), abs=0.006
            )
            sums, aimed = _sum_of(told.example)
            if sums:
                near = 0.006 * (1 + 5 * len(_CODE.findall(sums)))  # its lengths are written to two places
                assert _worked_by_hand(sums) == pytest.approx(float(figure.aimed.amount), abs=near), told
            if aimed:
                assert float(aimed) == pytest.approx(float(figure.aimed.amount), abs=0.006)


@pytest.mark.parametrize("name", PATTERNS)
def test_a_blank_stands_for_every_number_that_is_the_knitters(name: str) -> None:
    pattern, sizes = _read(name)
    for rule, told in zip(pattern.rules, worksheet(pattern, sizes).numbers, strict=False):
        mine = {word for word in rule.target.names if "." not in word or word.startswith(("gauge.", "usual."))}
        blanks = told.blanks.partition(" = ")[0].count(BLANK)
        assert blanks >= max(1, len(mine)) if " = " in told.blanks else blanks >= 1
        assert "_" not in told.rule, "a name of the file where words belong"


def test_rules_are_told_in_words_with_their_rounding() -> None:
    pattern, sizes = _read("ninepenny_bridge")
    told = {each.label: each for each in worksheet(pattern, sizes).numbers}
    cast_on = told["stitches to cast on"]
    assert cast_on.rule == "round the ball of the foot × 90 % × stitches in 1 cm"
    assert cast_on.rounding == "to the nearest multiple of 4"
    assert cast_on.blanks == f"{BLANK} × 0.9 × {BLANK} = {BLANK} → {BLANK}"
    assert (cast_on.example, cast_on.result) == ("22 × 0.9 × 3.2 = 63.36 →", "64 sts")
    assert told["tail at the cast-on"].rounding == "to the nearest multiple of 5 cm, at the least 30 cm"
    assert told["rows of the heel flap"].result == "32 rows"
    quayside = {each.label: each for each in worksheet(*_read("quayside")).numbers}
    assert quayside["instep stitches in the stitch pattern"].rounding == "down to the next multiple of 6 and 1 more"


@pytest.mark.parametrize("name", PATTERNS)
def test_what_must_agree_does(name: str) -> None:
    pattern, sizes = _read(name)
    for each in worksheet(pattern, sizes).checks:
        first, second, whole = (float(n) for n in re.findall(r"[\d.]+", each.rpartition("(")[2]))
        assert first + second == pytest.approx(whole, abs=0.011)


def test_the_answers_are_those_of_every_size() -> None:
    pattern, sizes = _read("ninepenny_bridge")
    answers = worksheet(pattern, sizes).answers
    assert answers.sizes == tuple(graded.body.name for graded in sizes)
    assert {label: values for label, _, values in answers.rows}["stitches to cast on"] == tuple(
        str(graded.count("cast_on")) for graded in sizes
    )


def test_lengths_that_are_knitted_end_in_the_rounds_that_are_printed() -> None:
    pattern, sizes = _read("ninepenny_bridge")
    checked = check(replace(pattern, bodies=pattern.bodies[7:8]), Wanted(("double-pointed, set of 5",)))
    rounds = {
        line.section: line.times
        for line in checked.socks[0].record.lines
        if line.section in ("Leg", "Foot") and line.kind == "round"
    }
    told = {each.label: each for each in worksheet(pattern, sizes, sizes[7]).numbers}
    assert told["length of the plain leg, in rounds"].result == f"{rounds['Leg']} rounds"
    assert told["length of the plain foot, in rounds"].result == f"{rounds['Foot']} rounds"


def test_every_number_says_why() -> None:
    pattern, _ = _read("ninepenny_bridge")
    assert {label for label, _ in reasons_of(pattern)} == {rule.label for rule in pattern.rules}
