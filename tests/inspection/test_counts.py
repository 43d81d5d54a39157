"""A number of rows or rounds is what was worked of what it names; every one that ships says what that is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

import pytest
from parts.combining import combinations, pattern_of
from shipped import NAMES, pattern_named

from grader.loading import load_text
from grader.loading.starter import starter_text
from grader.models.pattern import Pattern, Step
from grader.pipeline import Wanted, check
from grader.resources import folder
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

_FEET = "{own: [{name: A, foot_circumference: 22.5 cm, foot_length: 25 cm, leg_length: 18 cm}]}"
_ONE = Wanted(("double-pointed, set of 5",))


@cache
def _plain() -> str:
    text = (folder("patterns") / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    return text.partition("\nsample:")[0].replace("{chart: all-feet}", _FEET)


def found(text: str) -> list[Finding]:
    """The errors of a text; with a number that doesn't come true come others."""
    pattern, findings = load_text(text, "changed.yaml", read_chart)
    assert pattern is not None, findings
    return [finding for finding in check(pattern, _ONE).findings if finding.is_error]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            '"{heel_rows / 2}"',
            '"{heel_rows / 2 + 1}"',
            "heel_rows (rows of the heel flap) is 32, and 34 are worked",
        ),
        (
            "cuff_rounds: {nearest: cuff_length * gauge.rounds,",
            "cuff_rounds: {nearest: cuff_length * gauge.rounds * 2,",
            "cuff_rounds (rounds of the cuff) is 31, and 15 are worked",
        ),
        (
            "exactly: (sole - heel) / 2\n",
            "exactly: (sole - heel) / 2 + 1\n",
            "gusset_decreases (gusset decrease rounds) is 11, and 10 are worked",
        ),
        (
            "toe_slow: {exactly: (cast_on - toe_half) / 4,",
            "toe_slow: {exactly: (cast_on - toe_half) / 4 + 1,",
            "toe_slow (slow toe decrease rounds) is 9, and 8 are worked",
        ),
        (
            "toe_fast: {exactly: (toe_half - toe_end) / 4,",
            "toe_fast: {exactly: (toe_half - toe_end) / 2,",
            "toe_fast (fast toe decrease rounds) is 8, and 4 are worked",
        ),
    ],
)
def test_a_number_that_is_not_what_was_worked_is_found(old: str, new: str, message: str) -> None:
    assert found(_plain()) == []
    assert old in _plain()
    told = {finding.message: finding for finding in found(_plain().replace(old, new, 1))}
    assert message in told
    assert told[message].span is not None
    name = message.split()[0]
    assert _plain().splitlines()[told[message].span.line - 1].strip().startswith(f"{name}:")


@pytest.mark.parametrize(
    ("parts", "old", "new", "name"),
    [
        (
            ("cuff-1x1-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-short-row"),
            "exactly: 4 * short_side",
            "exactly: 4 * short_side + 1",
            "short_rows",
        ),
        (
            ("cuff-1x1-rib", "leg-calf", "heel-german-short-row", "foot-plain", "toe-wedge"),
            '"{calf_every - 1 round}"',
            '"{calf_every}"',
            "calf_every",
        ),
        (
            ("toe-up-wedge", "toe-up-foot", "heel-german-short-row", "toe-up-leg", "toe-up-cuff-1x1-rib"),
            "exactly: (cast_on - toe_half) / 4",
            "exactly: (cast_on - toe_half) / 2",
            "toe_slow",
        ),
    ],
)
def test_halves_paces_and_distances_are_counted(parts: tuple[str, ...], old: str, new: str, name: str) -> None:
    from faults.flattening import flat

    text = flat(pattern_of(parts, "legs" if "leg-calf" in parts else "adult-feet"))
    assert old in text
    pattern, findings = load_text(text.replace(old, new, 1), "changed.yaml", read_chart)
    assert pattern is not None, findings
    told = [finding for finding in check(pattern, _ONE).findings if finding.code == "miscounted"]
    assert any(finding.message.startswith(f"{name} (") for finding in told)


def test_a_label_names_its_section_in_plain_words() -> None:
    """ "Gusset rounds" are rounds of the section Gusset; a label that names no section claims nothing."""
    text = _plain().replace("label: rounds of the gusset", "label: gusset rounds")
    pattern, _ = load_text(text, "changed.yaml", read_chart)
    other, _ = load_text(text.replace("label: gusset rounds", "label: rounds of the wedge"), "changed.yaml", read_chart)
    assert pattern is not None
    assert other is not None
    counts = {rule.name: rule.counts for rule in pattern.rules}
    assert counts["gusset_rounds"] is not None
    assert [(each.lines, each.section) for each in counts["gusset_rounds"]] == [("rounds", "Gusset")]
    assert {rule.name: rule.counts for rule in other.rules}["gusset_rounds"] is None


def _bare_times(steps: Iterable[Step]) -> Iterator[str]:
    """The formulas by which steps are repeated: a number that stands there alone is worked as often as it says."""
    for step in steps:
        if step.times is not None:
            yield step.times.text.strip()
        yield from _bare_times(step.steps)


def untied(pattern: Pattern) -> set[str]:
    """Numbers of rounds that neither say what they count nor are worked by a step."""
    times = {text for section in pattern.sections for text in _bare_times(section.steps)}
    return {rule.name for rule in pattern.rules if rule.unit == "rounds" and rule.counts is None} - times


def _covering() -> Iterator[tuple[str, ...]]:
    """As few combinations of parts as hold each part that ships."""
    known: set[str] = set()
    for parts in combinations():
        if not set(parts) <= known:
            known |= set(parts)
            yield parts


def test_every_number_of_rounds_that_ships_says_what_it_counts() -> None:
    patterns = {name: pattern_named(name) for name in NAMES}
    for text in (starter_text("Plain socks"), *(pattern_of(parts, "legs") for parts in _covering())):
        pattern, findings = load_text(text, str(folder("patterns") / "put_together.yaml"), read_chart)
        assert pattern is not None, findings
        patterns[str(len(patterns))] = pattern
    counted = {rule.name for pattern in patterns.values() for rule in pattern.rules if rule.counts}
    assert len(counted) >= 12
    assert {name: untied(pattern) for name, pattern in patterns.items() if untied(pattern)} == {}
