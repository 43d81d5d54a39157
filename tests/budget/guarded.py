"""Running what may never end: a processor clock stops it, so that a test fails instead of hanging."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from grader.loading import load_text
from grader.pipeline import Wanted, check
from grader.vocabulary.findings import Finding

SETUP = "double-pointed, set of 5"
SECONDS = 5.0
PATTERN = """\
title: Plain
version: "1"
gauge: {stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}
yarn: {weight: super fine, metres: 420, per: 100 g}
fit: {foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}
sizes: {chart: adult-feet, choose: [M]}
parts: [cuff-2x2-rib, leg-straight, heel-flap-slipped, turn-round, gusset, foot-plain, toe-wedge]
numbers:
  cast_on: {nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches, multiple_of: 4}
"""


class TooSlow(AssertionError):
    """More processor seconds than anything small may take."""


@contextmanager
def at_once(seconds: float = SECONDS) -> Iterator[None]:
    """`TooSlow` where the block takes more than so many seconds of processor time."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        raise TooSlow(f"more than {seconds} s of processor time")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def findings_in(text: str) -> list[Finding]:
    """What is found in a pattern as it is read and, if it can be, graded, written out and knitted in one setup."""
    with at_once():
        pattern, findings = load_text(text, "p.yaml")
        if pattern is not None:
            findings = [*findings, *check(pattern, Wanted(setups=(SETUP,))).findings]
        return findings
