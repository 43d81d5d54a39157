"""Socks for these tests: one foot at one gauge, and single patterns knitted through in one setup."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache

from shipped import pattern_named

from grader.loading import load_text
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.models.yarn import YarnUse
from grader.pipeline import Checked, Wanted, check, grade_all, work_one
from grader.resources import folder
from grader.vocabulary.bodies import Body
from grader.yarn_use import yarn_for_pair

LOOP = "long circular (magic loop)"


@cache
def knitted(name: str) -> Checked:
    """All sizes of a pattern that ships, by magic loop."""
    return check(pattern_named(name), Wanted((LOOP,)))


def text_of(name: str, *changes: tuple[str, str]) -> Pattern:
    """A pattern that ships with some of its text changed; each change must have its place."""
    path = folder("patterns") / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    pattern, findings = load_text(text, str(path))
    assert pattern is not None, findings
    return pattern


def with_foot(pattern: Pattern, foot: float, length: float, leg: float) -> Pattern:
    """The pattern for one bare foot: round the ball, long, and the leg, in cm."""
    given = {"foot_circumference": foot, "foot_length": length, "leg_length": leg}
    measures = {**pattern.bodies[0].measures, **{name: Fraction(str(amount)) for name, amount in given.items()}}
    return replace(pattern, bodies=(Body("one", measures),), samples=())


def at_gauge(pattern: Pattern, gauge: Sequence[float], metres: float, grams: float) -> Pattern:
    """The pattern at so many stitches and rounds to 10 cm, in a yarn of so many metres to so many grams."""
    stitches, rounds = (Fraction(str(each)) / 10 for each in gauge)
    own = replace(pattern.gauge, stitches=stitches, rounds=rounds)
    return replace(pattern, gauge=own, yarn=replace(pattern.yarn, metres=Fraction(metres), grams=Fraction(grams)))


def worked(pattern: Pattern) -> tuple[Graded, Record, YarnUse]:
    """The first size knitted through without a finding, and its yarn."""
    sizes, findings = grade_all(pattern)
    assert sizes, findings
    sock, findings = work_one(pattern, sizes[0], LOOP)
    assert sock is not None
    assert [finding for finding in findings if finding.is_error] == []
    return sizes[0], sock.record, yarn_for_pair(pattern, sock.record)
