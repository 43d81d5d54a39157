"""The time command: how long a pair takes at a speed."""

from __future__ import annotations

import argparse
import re
from fractions import Fraction
from typing import TYPE_CHECKING

from grader.cli.arguments import LONGEST_VALUE, UsageError

if TYPE_CHECKING:
    from grader.cli.console import Console
    from grader.models.pattern import Pattern

_SPEED = re.compile(r"\s*(\d{1,4}(?:[.,]\d{1,3})?)\s*")
_ANY_SETUP = "double-pointed, set of 5"  # every size fits on it, and all setups make the same sock


def time_options(command: argparse.ArgumentParser) -> None:
    """The options of `grader time`."""
    command.add_argument("pattern", metavar="PATTERN", help="a pattern file (YAML), or the name of one that ships")
    command.add_argument("--speed", metavar="STITCHES", help="stitches a minute (20, the usual speed)")
    command.add_argument("--sizes", metavar="LIST", help="only these sizes, such as 1-6 or S,M,L")
    command.add_argument("--quiet", action="store_true", help="no progress")


def one_setup(pattern: Pattern) -> str:
    """A needle setup that a pattern is written for and that holds all its sizes as far as there is one."""
    return _ANY_SETUP if not pattern.setups or _ANY_SETUP in pattern.setups else pattern.setups[0]


def speed_of(text: str) -> Fraction:
    """Stitches a minute from "20" or "17.5"; refused where no hand is so slow or so fast."""
    from grader.vocabulary.knitting_speed import speeds_possible

    match = _SPEED.fullmatch(text) if len(text) <= LONGEST_VALUE else None
    if not match:
        raise UsageError(f"speed: {text[:LONGEST_VALUE]!r} should be stitches a minute, such as 20")
    speed = Fraction(match[1].replace(",", "."))
    least, most = speeds_possible()
    if not least <= speed <= most:
        raise UsageError(f"speed: {float(speed):g} stitches a minute can't be; hands knit {least} to {most}")
    return speed


def tell_time(arguments: argparse.Namespace, console: Console, pattern: Pattern) -> int:
    """Knit every size through and print how long a pair of it takes; 1 if the pattern has findings."""
    from grader.pipeline import Wanted, check
    from grader.reporting import print_findings, print_time
    from grader.timing import time_for_pair
    from grader.vocabulary.knitting_speed import usual_speed

    speed = usual_speed() if arguments.speed is None else speed_of(arguments.speed)
    checked = check(pattern, Wanted((one_setup(pattern),)), console.progress)
    errors = [finding for finding in checked.findings if finding.is_error]
    if errors:
        console.warn(print_findings(errors))
    console.result(print_time([time_for_pair(sock.records, speed) for sock in checked.socks]))
    return 0 if checked.is_sound and checked.socks else 1
