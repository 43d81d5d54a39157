"""All that a knitted sample is on record with must come out again: numbers, measures, yarn, gauges, stitches, words."""

from __future__ import annotations

import re
from functools import cache

import pytest

from grader.inspection.samples import stitches_in
from grader.loading import load_text
from grader.pipeline import check
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

from .constructions import text_of
from .flattening import HERE
from .sampling import sample_block

_ONE = "{own: [{name: A, foot_circumference: 22.5 cm, foot_length: 25 cm, leg_length: 18 cm}]}"


@cache
def sampled(name: str) -> str:
    text = text_of(name, _ONE)
    pattern, findings = load_text(text, HERE, read_chart)
    assert findings == []
    assert pattern is not None
    return text + sample_block(check(pattern))


def errors(text: str) -> list[Finding]:
    pattern, findings = load_text(text, HERE, read_chart)
    assert pattern is not None, findings
    return [finding for finding in check(pattern).findings if finding.is_error]


def codes(text: str) -> set[str]:
    return {finding.code for finding in errors(text)}


@pytest.mark.parametrize("name", ["lace", "braid", "colours"])
def test_a_sample_comes_out_again(name: str) -> None:
    assert "\n    stitches:\n" in sampled(name)
    assert codes(sampled(name)) == set()


@pytest.mark.parametrize(
    ("name", "old", "new"),
    [
        ("lace", "K1, yo, cdd, yo, K2", "K1, m1, cdd, yo, K2"),
        ("braid", "2/2 RC", "2/2 LC"),
        ("colours", "K2 MC, K2 CC", "K2 MC, P2 CC"),
    ],
)
def test_another_stitch_pattern_is_not_the_sample(name: str, old: str, new: str) -> None:
    text = sampled(name)
    assert old in text
    assert codes(text.replace(old, new, 1)) == {"sample"}


@pytest.mark.parametrize(
    ("name", "old", "new", "message"),
    [
        ("braid", "rounds: 100 %}", "rounds: 90 %}", "gauge of motif 40 x 44 to 10 cm, now 40 x 39.6"),
        ("lace", "metres: 420, per: 100 g", "metres: 380, per: 100 g", "grams of a pair [0-9.]+, now [0-9.]+"),
        ("lace", "{end_tail, tail}", "{tail, tail}", "sentences of Toe state 20, now 80"),
        ("lace", " and leave a tail of {tail, tail}.", ".", "sentences of Cuff state 80, now nothing"),
        ("lace", "along: [Cuff, Leg]", "along: [Leg]", "leg length [0-9.]+ cm, now [0-9.]+ cm"),
    ],
)
def test_what_changes_no_stitch_is_not_the_sample_either(name: str, old: str, new: str, message: str) -> None:
    text = sampled(name)
    assert old in text
    told = [finding.message for finding in errors(text.replace(old, new, 1)) if finding.code == "sample"]
    assert told
    assert all(re.search(message, each) for each in told)


def test_a_weighing_may_lie_off_by_a_little() -> None:
    text = sampled("lace")
    assert codes(text.replace("metres: 420, per: 100 g", "metres: 422, per: 100 g")) == set()


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("      Leg: [18.00 cm]", "      Shin: [18.00 cm]", "unknown-section"),
        ("{metres: ", "{miles: ", "unknown-name"),
        ("      {leg_length: ", "      {shin_length: ", "unknown-name"),
        ("      {motif: {stitches: 32", "      {motiv: {stitches: 32", "unknown-name"),
    ],
)
def test_a_sample_of_what_is_not_there_is_told(old: str, new: str, code: str) -> None:
    assert old in sampled("lace")
    _, findings = load_text(sampled("lace").replace(old, new, 1), HERE, read_chart)
    assert [finding.code for finding in findings] == [code]


def test_the_stitches_are_those_of_the_record() -> None:
    pattern, _ = load_text(sampled("colours"), HERE, read_chart)
    assert pattern is not None
    record = check(pattern).socks[0].record
    told = dict(pattern.samples[0].stitches[1][1])
    assert pattern.samples[0].stitches[1][0] == "Leg"
    assert told == stitches_in(record, "Leg")
    assert set(told) == {"k MC", "k CC"}
    rounds = sum(line.times for line in record.in_order() if line.section == "Leg" and line.kind == "round")
    assert sum(told.values()) == 64 * rounds


def test_a_section_that_is_not_there_is_told() -> None:
    text = sampled("colours")
    head, mark, stitches = text.partition("    stitches:\n")
    _, findings = load_text(head + mark + stitches.replace("Leg:", "Shin:", 1), HERE, read_chart)
    assert [finding.code for finding in findings] == ["unknown-section"]
