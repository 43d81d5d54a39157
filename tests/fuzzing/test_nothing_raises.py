"""Whatever an author writes comes to findings with their place: nothing raises."""

from __future__ import annotations

import pytest
from strategies import START, pattern_text

from grader.loading import load_text
from grader.pipeline import check
from grader.vocabulary.findings import Finding

from .wild import wild, work

_SHORT = """{start}
  - name: Heel
    over: heel
    steps:
      - rest: instep
      - row: {{RS: "K to last 2 sts, turn"}}
      - row: {{WS: "{row}"}}
"""


def test_wild_patterns_are_knitted_or_refused() -> None:
    """A few here, as many as you like by `python -m tests.fuzzing.wild`."""
    setups = ("short circular", "double-pointed, set of 5")
    ends = {work(text, draw, setups) for text, draw in wild(seed=1, count=80)}
    assert len(ends) == 4, "they come as far as they can in every way"


def _found(sections: str) -> list[Finding]:
    pattern, findings = load_text(pattern_text(sections), "small.yaml")
    return [*findings, *(check(pattern).findings if pattern else ())]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("DS, P to DS, P to DS, turn", "a line goes as far as some place only once"),
        ("DS, P to gap, P to end", "a line goes as far as some place only once"),
        ("DS, (P to DS) twice, turn", "what is repeated says how many stitches it works"),
        ("DS, turn, P to DS, turn", "a row turns once, at its end"),
        ("DS, (P1, turn) twice", "a row turns once, at its end"),
        (
            "DS, pick up and knit 2 sts along the left edge, P to DS, turn",
            "stitches are picked up in a step of their own",
        ),
    ],
)
def test_a_row_that_can_not_be_counted_out_is_told(row: str, words: str) -> None:
    wrong = [each for each in _found(_SHORT.format(start=START, row=row)) if each.code == "notation"]
    assert {each.message for each in wrong} == {words}
    assert {(str(each.span), each.line) for each in wrong} == {("small.yaml:28:20", row)}
    assert all(each.mend for each in wrong)


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ("{bind_off: all}, {round: K}", "there are no stitches on the needles"),
        ("{bind_off: all}, {waste_yarn: heel}", "there are no stitches on the needles"),
        ("{bind_off: all}, {arrange: halves}", "there are no stitches on the needles"),
        ("{cast_on: 8, regions: [[heel, 4], [instep, 4]]}", "64 sts are on the needles still"),
        ('{part_round: "K72"}', "a part of a round works fewer than its 64 sts, not 72"),
    ],
)
def test_a_step_out_of_its_order_is_told(steps: str, words: str) -> None:
    found = _found(f"{START}\n  - {{name: More, steps: [{steps}]}}")
    assert words in {each.message for each in found if each.is_error}


@pytest.mark.parametrize(
    ("inner", "words"),
    [
        ("{graft: [heel, instep]}", "a repeat holds rounds, and no graft"),
        ("{say: Mind the gap.}", "a repeat holds rounds, and no words"),
        ("{repeat: [{round: K}], times: 2}", "a repeat holds rounds, and no repeat"),
        ('{rounds: K, until: "8 sts"}', "rounds inside a repeat say how often they are worked"),
        ("{round: K, setups: {long circular: {row: {RS: K}}}}", "this step is no row in the other setups"),
    ],
)
def test_what_would_be_left_out_is_told(inner: str, words: str) -> None:
    """Steps that a repeat can't work were knitted as plain rounds instead."""
    found = _found(f"{START}\n  - {{name: More, steps: [{{repeat: [{inner}], times: 2}}]}}")
    assert words in {each.message for each in found if each.is_error}
    assert all(each.span for each in found)
