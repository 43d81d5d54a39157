"""The patterns that ship: each is opened, and knitted through, once for all tests of a process that ask alike."""

from __future__ import annotations

from functools import cache

from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check, open_pattern
from grader.resources import folder

PATHS = tuple(sorted(folder("patterns").glob("*.yaml")))
NAMES = tuple(path.stem for path in PATHS)


@cache
def pattern_named(name: str) -> Pattern:
    """A pattern that ships; nothing was found in it as it was read."""
    pattern, findings = open_pattern(str(folder("patterns") / f"{name}.yaml"))
    assert pattern is not None
    assert not findings, findings
    return pattern


@cache
def knitted_whole(name: str, units: str = "cm") -> Checked:
    """All its sizes in all its setups, knitted and inspected in UK terms."""
    return check(pattern_named(name), Wanted(units=units))
