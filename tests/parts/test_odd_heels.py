"""Heels of an odd number of stitches (29, 15) knit with every part that can hold them.

A round or a V turn takes any number, a band one like the heel's, short rows any, and a wedge any two halves that are
alike (trade arithmetic, from published turns: 17 stitches to 11 and 29 to 17 among them).
"""

from __future__ import annotations

import itertools

import pytest

from grader.loading import load_text
from grader.pipeline import Checked, Wanted, check
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart

from .combining import HEELS, UP_HEELS, pattern_of

_TOES = itertools.cycle(("toe-wedge", "toe-wide-wedge"))
_DOWN = tuple(("cuff-rolled", "leg-straight", *heel, "foot-plain", next(_TOES)) for heel in HEELS)
_UP = tuple(("toe-up-wedge", "toe-up-foot", *heel, "toe-up-leg", "toe-up-cuff-rolled") for heel in UP_HEELS)


def _knitted(parts: tuple[str, ...], cast_on: int, heel: int) -> Checked:
    """A sock of these parts for one foot that so many stitches go round, all but a tenth."""
    foot = f"{{name: M, foot_circumference: {cast_on / 2.88:.2f} cm, foot_length: 25 cm, leg_length: 16 cm}}"
    text = pattern_of(parts).replace("{chart: adult-feet}", f"{{own: [{foot}]}}")
    head = text[: text.index("  cast_on:")]
    text = f"{head}  cast_on: {{exactly: {cast_on}}}\n  heel: {{exactly: {heel}}}\n"
    pattern, findings = load_text(text, str(folder("patterns") / "odd.yaml"), read_chart)
    assert pattern is not None, findings
    return check(pattern, Wanted())


@pytest.mark.parametrize(("cast_on", "heel"), [(58, 29), (30, 15)])
@pytest.mark.parametrize("parts", [*_DOWN, *_UP], ids=lambda parts: "+".join(parts[2:-1]))
def test_an_odd_heel_is_knitted(parts: tuple[str, ...], cast_on: int, heel: int) -> None:
    checked = _knitted(parts, cast_on, heel)
    assert [each for each in checked.findings if each.is_error] == []
    assert len(checked.socks) >= 3  # so few as 30 don't reach round the small circular needle
    for sock in checked.socks:
        assert sock.record.complete
        assert sock.graded.count("heel") == heel
        flat = [line for line in sock.record.lines if line.kind == "row"]
        if flat and parts in _DOWN:
            assert flat[0].before == heel


@pytest.mark.parametrize("heel", UP_HEELS, ids=lambda heel: heel[0])
def test_a_heel_of_less_than_half_is_knitted(heel: tuple[str, ...]) -> None:
    """29 of 60: the instep has the two stitches that the heel has not."""
    checked = _knitted(("toe-up-wedge", "toe-up-foot", *heel, "toe-up-leg", "toe-up-cuff-rolled"), 60, 29)
    assert [each for each in checked.findings if each.is_error] == []
    assert all(sock.record.complete for sock in checked.socks)


@pytest.mark.parametrize("toe", ["toe-star", "toe-round", "toe-anatomical"])
def test_a_toe_that_can_not_hold_it_says_why(toe: str) -> None:
    parts = ("cuff-rolled", "leg-straight", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", toe)
    wrong = [each for each in _knitted(parts, 58, 29).findings if each.is_error]
    assert [each.message for each in wrong] == ["cast_on comes to 58 stitches, which is not a multiple of 4"]
    assert all(each.mend and each.span for each in wrong)


def test_halves_that_differ_are_not_grafted() -> None:
    parts = ("cuff-rolled", "leg-straight", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", "toe-wedge")
    wrong = {(each.message, each.mend) for each in _knitted(parts, 60, 29).findings if each.code == "graft"}
    mend = "give both halves the same number before the toe, or draw the yarn through all with gather"
    assert wrong == {("7 sts can't be grafted to 5", mend)}
