"""Single mistakes are found, and sound patterns raise no false alarm."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from grader.loading import load_text
from grader.loading.starter import starter_text
from grader.models.pattern import Pattern
from grader.pipeline import Wanted, check, grade_all
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

from .harness import ALIKE, FILE, FOUND, PRINT, SURVIVED, Bench, Outcome, run, share_found
from .in_pattern import pattern_slips
from .in_print import misprints
from .sampling import PATTERN

_ROOT = Path(__file__).resolve().parents[2]
_COUNT, _SEED = 80, 7
_FEW = '{chart: all-feet, choose: ["2", "8", "13"]}'  # the sizes of the samples tell a mistake, and are quickly knitted


def _bridge() -> str:
    return (_ROOT / PATTERN).read_text(encoding="utf-8")


_TEXTS: dict[str, Callable[[], str]] = {"bridge": _bridge, "starter": lambda: starter_text("Plain socks")}


def _read(text: str) -> Pattern:
    pattern, findings = load_text(text, "sound.yaml", read_chart)
    assert pattern is not None, findings
    assert not _errors(findings)
    return pattern


def _errors(findings: tuple[Finding, ...] | list[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.is_error]


@pytest.fixture(scope="module")
def bench() -> Bench:
    text = _bridge()
    assert "{chart: all-feet}" in text
    return Bench(text.replace("{chart: all-feet}", _FEW, 1))


@pytest.fixture(scope="module")
def outcomes(bench: Bench) -> list[Outcome]:
    return run(bench, _COUNT, _SEED)


def test_nearly_every_single_mistake_is_found(outcomes: list[Outcome]) -> None:
    counted = [each for each in outcomes if each.verdict != ALIKE]
    assert len(counted) == _COUNT
    assert {each.family for each in counted} == {FILE, PRINT}
    survivors = [f"{each.kind}: {each.told}" for each in outcomes if each.verdict == SURVIVED]
    assert share_found(outcomes) >= 0.99, survivors


def test_what_finds_them_are_many_checks_and_not_one(outcomes: list[Outcome]) -> None:
    by = [each.by for each in outcomes if each.verdict == FOUND]
    assert len(set(by)) >= 15
    assert max(by.count(code) for code in set(by)) < len(by) / 2


def test_every_kind_of_mistake_is_drawn(bench: Bench) -> None:
    in_file = {slip.kind for slip in pattern_slips(bench.text)}
    in_print: set[str] = set()
    for sock in bench.sound.socks:
        in_print |= {each.kind for each in misprints(sock.instructions)}
        if len(in_print) >= 22:
            break  # no sock more can make them fewer
    assert len(in_file) >= 18
    assert len(in_print) >= 22


def test_the_sound_text_is_judged_alike(bench: Bench) -> None:
    slip = pattern_slips(bench.text)[0]
    same = replace(slip, new=bench.text[slip.start : slip.end])
    assert bench.judge_slip(same).verdict == ALIKE


@pytest.mark.parametrize("name", _TEXTS)
def test_a_sound_pattern_raises_no_alarm(name: str) -> None:
    pattern = _read(_TEXTS[name]())
    some = pattern.bodies[1::3]  # all of them are knitted in UK terms for README.md
    checked = check(replace(pattern, bodies=some), Wanted(terms=("UK", "US")))
    assert _errors(checked.findings) == []
    assert len(checked.socks) >= 7 * len(some) > 7
    assert {sock.graded.body.name for sock in checked.socks} == {body.name for body in some}


@pytest.mark.parametrize(("stitches", "rounds"), [(28, 40), (30, 42), (36, 50)])
@pytest.mark.parametrize("name", _TEXTS)
def test_a_sound_pattern_raises_no_alarm_at_another_gauge(name: str, stitches: int, rounds: int) -> None:
    text = _TEXTS[name]().partition("\nsample:")[0]
    text, changed = re.subn(r"stitches: \d+, rounds: \d+", f"stitches: {stitches}, rounds: {rounds}", text, count=1)
    assert changed
    pattern = _read(text)
    sizes, _ = grade_all(pattern)
    assert len(sizes) >= len(pattern.bodies) / 2, "too few sizes to tell"
    some = tuple(graded.body for graded in sizes)[rounds % 3 :: 3]  # another third at each gauge
    checked = check(replace(pattern, bodies=some))
    assert _errors(checked.findings) == []
    assert len(checked.socks) >= 3 * len(some)
