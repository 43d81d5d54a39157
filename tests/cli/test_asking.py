"""What a terminal adds: questions for what is missing, bold findings, and an interruption that is told plainly."""

from __future__ import annotations

import os
import pty
import select
import time
from pathlib import Path

import pytest

from tests.hostile.child import at_terminal, waited

ANSWERS = {
    "Round the ball of the foot (such as 22.5cm): ": "22.5cm",
    "Length of the foot (such as 25cm): ": "10in",
    "Your stitches x rounds to 10 cm (such as 31x43): ": "31x43",
    "Needles (short-circular, magic-loop, set-of-5, set-of-4): ": "set-of-5",
}


def at_a_terminal(
    typed: list[str], folder: Path, answers: dict[str, str], **environment: str
) -> tuple[int, str, list[str]]:
    """Run a command at a pseudo-terminal, answer each question when it is asked: code, all output, what was asked."""
    hand, terminal = pty.openpty()
    child = at_terminal(folder, typed, terminal, {"TERM": "xterm", "NO_COLOR": None, **environment})
    os.close(terminal)
    shown, asked, since = "", [], 0
    deadline = time.monotonic() + 30
    while time.monotonic() < deadline:
        ready, _, _ = select.select([hand], [], [], 0.2)
        if not ready:
            continue
        try:
            read = os.read(hand, 4096)
        except OSError:  # the other end is closed
            break
        if not read:
            break
        shown += read.decode()
        for question, answer in answers.items():
            if question in shown[since:]:
                asked.append(question)
                since = len(shown)
                os.write(hand, f"{answer}\n".encode())
    os.close(hand)
    return waited(child), shown.replace("\r\n", "\n"), asked


def test_what_is_missing_is_asked_for_and_makes_the_sock(tmp_path: Path) -> None:
    code, shown, asked = at_a_terminal(["one-off", "ninepenny_bridge"], tmp_path, ANSWERS)
    assert code == 0, shown
    assert asked == list(ANSWERS)
    text = (tmp_path / "build" / "ninepenny-bridge-plain-socks-one-off.md").read_text(encoding="utf-8")
    assert "| Foot round cm/in | 22.5/8¾" in text
    assert "| Foot long cm/in  | 25.5/10" in text
    assert "31 sts and 43 rounds to 10 cm" in text
    assert "double-pointed, set of 5" in text
    assert "wrote build/ninepenny-bridge-plain-socks-one-off.pdf" in shown


def test_only_what_is_missing_is_asked_for(tmp_path: Path) -> None:
    given = ["--foot", "22.5cm", "--gauge", "32x44", "--needles", "magic-loop"]
    code, _, asked = at_a_terminal(["one-off", "ninepenny_bridge", *given], tmp_path, ANSWERS)
    assert code == 0
    assert asked == ["Length of the foot (such as 25cm): "]


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        ("", "Round the ball of the foot (such as 22.5cm) is missing; give it with --foot"),
        ("22.5", "foot: '22.5' has no unit; write 22.5cm or 22.5in"),
    ],
)
def test_an_answer_that_is_none_ends_it(answer: str, told: str, tmp_path: Path) -> None:
    code, shown, asked = at_a_terminal(["one-off", "ninepenny_bridge"], tmp_path, {next(iter(ANSWERS)): answer})
    assert (code, asked) == (2, [next(iter(ANSWERS))])
    assert shown.endswith(f"grader: {told}\n")
    assert not (tmp_path / "build").exists()


def test_findings_are_boldat_a_terminal_unless_colour_is_not_wanted(tmp_path: Path) -> None:
    typed = ["check", "nowhere.yaml"]
    assert "\x1b[1mnowhere.yaml:1:1: there is no such file\x1b[0m" in at_a_terminal(typed, tmp_path, {})[1]
    assert "\x1b" not in at_a_terminal(typed, tmp_path, {}, NO_COLOR="1")[1]
