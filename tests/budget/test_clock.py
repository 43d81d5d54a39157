"""What no limit foresees: a command that goes on and on ends with a sentence."""

from __future__ import annotations

import signal
import sys

import pytest

from grader.cli import main
from grader.vocabulary.budget import raised


def test_a_command_without_end_is_ended(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def endless(*_: object) -> int:
        while True:
            sum(range(1000))

    monkeypatch.setitem(sys.modules["grader.cli.main"]._COMMANDS, "parts", endless)
    with raised({"seconds": 1}):
        assert main(["parts"]) == 2
    said = "grader: this comes to more than 1 seconds of processor time in one command; correct it"
    assert capsys.readouterr().err.startswith(said)
    assert signal.getsignal(signal.SIGPROF) is signal.SIG_DFL
    assert signal.getitimer(signal.ITIMER_PROF) == (0, 0)


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("rows=9", "there is none called 'rows'"),
        ("rounds", "'rounds' should be rounds= and a number above 2000"),
        ("rounds=10", "'rounds=10' should be rounds= and a number above 2000"),
        ("rounds=1e9", "'rounds=1e9' should be rounds= and a number above 2000"),
    ],
)
def test_a_limit_that_is_none(text: str, answer: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--limit", text, "parts"]) == 2
    assert f"limit: {answer}" in capsys.readouterr().err
