"""A few mutated files in the suite, thousands by hand (`python -m tests.validation.fuzz`); and what fails is told."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable

import pytest

from tests.validation import fuzz

from .guarded import at_once

CASES = 12


@pytest.mark.parametrize("kind", ["pattern", "part", "list", "style", "template"])
def test_mutated_files_end_in_findings_and_not_in_tracebacks(kind: str) -> None:
    for number in range(CASES):
        with at_once():
            fuzz.work(kind, number, seed=0, pages=0.0)


def _raises(*_: object) -> None:
    raise ZeroDivisionError("by hand")


def _never_ends(*_: object) -> None:
    while True:
        sum(range(100))


def _greedy(*_: object) -> None:
    bytearray(2 * fuzz.MEGABYTES << 20)


def _dies(*_: object) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.mark.parametrize(
    ("worker", "how"),
    [
        (_raises, "ZeroDivisionError: by hand"),
        (_never_ends, "more than 1 s"),
        (_greedy, "MemoryError"),
        (_dies, "the process died: 9 (signal 9)"),
    ],
)
def test_the_fuzz_tells_what_fails(
    monkeypatch: pytest.MonkeyPatch, worker: Callable[..., None], how: str, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(fuzz, "SECONDS", 1)
    monkeypatch.setattr(fuzz, "_warm", lambda kinds: None)
    monkeypatch.setitem(fuzz._WORKERS, "style", worker)
    failures, _ = fuzz.run([("style", 0)], 1, 0.0)
    assert [(each.kind, each.number) for each in failures] == [("style", 0)]
    assert failures[0].how.startswith(how)
    capsys.readouterr()


def test_a_case_is_the_same_again() -> None:
    assert fuzz.text_of("pattern", 7, 1) == fuzz.text_of("pattern", 7, 1) != fuzz.text_of("pattern", 8, 1)
