"""Single mistakes in socks of other constructions, and the text that these are made in."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from grader.loading import load_text
from grader.models.graded import Graded
from grader.pipeline import Checked, check
from grader.vocabulary.quantities import Quantity
from grader.vocabulary.size_charts import read_chart
from tests.parts.combining import pattern_of

from .constructions import CONSTRUCTIONS, text_of
from .flattening import HERE, flat
from .harness import ALIKE, FOUND, SURVIVED, Bench, Outcome, run, work_of
from .in_pattern import pattern_slips
from .in_print import misprints

# Two feet of each kind are enough to tell a mistake by, and quickly knitted.
_FEW = (
    "{own: ["
    "{name: A, foot_circumference: 21 cm, foot_length: 23 cm, leg_length: 17 cm, calf: 34 cm, knee_height: 42 cm}, "
    "{name: B, foot_circumference: 24 cm, foot_length: 26 cm, leg_length: 19 cm, calf: 38 cm, knee_height: 45 cm}]}"
)
_COUNT, _SEED = 9, 5


@cache
def bench_of(name: str) -> Bench:
    return Bench(text_of(name, _FEW))


@cache
def outcomes() -> tuple[tuple[str, Outcome], ...]:
    return tuple((name, each) for name in CONSTRUCTIONS for each in run(bench_of(name), _COUNT, _SEED))


def checked(text: str, every: int) -> Checked:
    """The socks of a text that loads without a finding, in every second or third of its sizes."""
    pattern, findings = load_text(text, HERE, read_chart)
    assert findings == []
    assert pattern is not None
    return check(replace(pattern, bodies=pattern.bodies[::every]))


def test_nearly_every_single_mistake_is_found() -> None:
    counted = [(name, each) for name, each in outcomes() if each.verdict != ALIKE]
    assert len(counted) == _COUNT * len(CONSTRUCTIONS)
    survivors = [f"{name}, {each.kind}: {each.told}" for name, each in counted if each.verdict == SURVIVED]
    assert len(survivors) <= len(counted) / 50, survivors  # so few can't tell 99 in 100: the harness itself does


def test_what_finds_them_are_many_checks_and_not_one() -> None:
    by = [each.by for _, each in outcomes() if each.verdict == FOUND]
    assert len(set(by)) >= 15
    assert max(by.count(code) for code in set(by)) < len(by) / 2


def test_the_words_of_every_construction_are_mistaken() -> None:
    kinds = {slip.kind for name in CONSTRUCTIONS for slip in pattern_slips(bench_of(name).text)}
    wanted = {
        *("increase lost", "cable lost", "cable swapped", "colour swapped", "colour lost", "double stitch lost"),
        *("waste yarn count off", "open count off", "turn lost", "marker words lost", "graft count off"),
    }
    for sock in (sock for name in CONSTRUCTIONS for sock in bench_of(name).socks):
        if kinds >= wanted:
            break  # no sock more can make them fewer
        kinds |= {each.kind for each in misprints(sock.instructions)}
    assert kinds >= wanted


@pytest.mark.parametrize("name", CONSTRUCTIONS)
def test_the_sound_construction_raises_no_alarm(name: str) -> None:
    sound = bench_of(name).sound
    assert not [finding for finding in sound.findings if finding.is_error]
    assert len(sound.socks) == 2 * 4


@pytest.mark.parametrize(
    "parts",
    [
        CONSTRUCTIONS["up-gusset"],
        ("cuff-2x2-rib", "leg-calf", "heel-flap-plain", "turn-v", "gusset", "foot-plain", "toe-anatomical"),
        ("cuff-rolled", "leg-ankle", "heel-wrapped-short-row", "foot-plain", "toe-short-row"),
    ],
    ids=", ".join,
)
def test_a_pattern_of_parts_is_the_same_without_them(parts: tuple[str, ...]) -> None:
    of_parts = pattern_of(parts, "legs" if "leg-calf" in parts else "adult-feet")
    first, second = checked(of_parts, every=5), checked(flat(of_parts), every=5)
    assert len(first.socks) >= 2 * 4
    assert "\nparts:" not in flat(of_parts)
    assert [sock.instructions.setup for sock in first.socks] == [sock.instructions.setup for sock in second.socks]
    assert [work_of(sock) for sock in first.socks] == [work_of(sock) for sock in second.socks]
    assert [each.finished for each in first.sizes] == [each.finished for each in second.sizes]
    assert [_figures(each) for each in first.sizes] == [_figures(each) for each in second.sizes]


def _figures(graded: Graded) -> list[tuple[str, Quantity]]:
    return [(figure.name, figure.value) for figure in graded.figures]
