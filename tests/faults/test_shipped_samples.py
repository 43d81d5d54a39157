"""Every pattern that ships has samples of three sizes, which hold all that a sample can."""

from __future__ import annotations

import pytest

from tests.shipped import NAMES, pattern_named

from .sampling import chosen


@pytest.mark.parametrize("name", NAMES)
def test_a_pattern_that_ships_has_the_samples_of_three_sizes(name: str) -> None:
    pattern = pattern_named(name)
    assert [sample.size for sample in pattern.samples] == list(chosen([body.name for body in pattern.bodies]))
    sections = {section.name for section in pattern.sections}
    for sample in pattern.samples:
        missing = {rule.name for rule in pattern.rules} - {each[0] for each in sample.numbers}
        assert not missing, "python -m tests.faults.sampling writes the samples anew"
        assert {each[0] for each in sample.measures} == {rule.measure for rule in pattern.finished}
        assert {each[0] for each in sample.gauges} == {each.name for each in pattern.stitch_patterns}
        assert [each[0] for each in sample.yarn] == ["metres", "grams"]
        assert {each[0] for each in sample.counts} == {each[0] for each in sample.stitches} == sections
        assert sample.sentences
