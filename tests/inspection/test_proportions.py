"""Parts of a sock out of the proportions of published socks are remarked on, each in its own words."""

from __future__ import annotations

import re
from functools import cache

import pytest
from faults.flattening import flat
from parts.combining import pattern_of

from grader.loading import load_text
from grader.pipeline import Wanted, check
from grader.resources import folder
from grader.vocabulary.findings import Finding
from grader.vocabulary.reference import read_reference
from grader.vocabulary.size_charts import read_chart

_FEET = "{own: [{name: A, foot_circumference: 22.5 cm, foot_length: 25 cm, leg_length: 18 cm}]}"
_ONE = Wanted(("double-pointed, set of 5",))
_PLAIN_ROUND = '          - round: "K"\n        until: "{toe_half} sts"\n'
_UP = ("toe-up-wedge", "toe-up-foot", "toe-up-heel-gusset", "toe-up-leg", "toe-up-cuff-2x2-rib")

_SHORT_ROW = ("cuff-2x2-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-star")


@cache
def _plain() -> str:
    text = (folder("patterns") / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    return text.partition("\nsample:")[0].replace("{chart: all-feet}", _FEET)


def _without_limits(parts: tuple[str, ...]) -> str:
    """The parts without what they allow of their numbers, which would find the changes before they are knitted."""
    return re.sub(r"    allowed: .*\n", "", flat(pattern_of(parts).replace("{chart: adult-feet}", _FEET)))


@cache
def _toe_up() -> str:
    return _without_limits(_UP)


@cache
def _unslipped() -> str:
    """A flap without a slipped edge: its edges offer a stitch for each row."""
    text = _plain().replace('RS: "*Sl1, K1* to end", WS: "Sl1, P to end"', 'RS: "K", WS: "P"')
    return text.replace("slipped-stitch heel", "plain heel").replace("heel_rows / 2 + 1", "heel_rows * 3 / 4")


@cache
def _short_row() -> str:
    return _without_limits(_SHORT_ROW)


@cache
def _toe_rows() -> str:
    return _without_limits(
        ("toe-up-short-row", "toe-up-foot", "heel-german-short-row", "toe-up-leg", "toe-up-cuff-1x1-rib")
    )


def remarks(text: str) -> list[Finding]:
    """What is said of the proportions of a sock that knits up."""
    pattern, findings = load_text(text, "changed.yaml", read_chart)
    assert pattern is not None, findings
    return [finding for finding in check(pattern, _ONE).findings if finding.code == "proportion"]


# the part, the text that is changed, and what of a sound sock becomes what
CHANGES = [
    ("flap", _plain, "    nearest: heel\n", "    nearest: cast_on\n"),
    ("flap", _plain, "    nearest: heel\n", "    nearest: heel / 2\n"),
    ("heel", _short_row, "exactly: cast_on / 2", "exactly: cast_on * 3 / 8"),
    ("heel", _short_row, "exactly: cast_on / 2", "exactly: cast_on * 11 / 16"),
    ("heel", _toe_up, "  heel:\n    exactly: cast_on / 2", "  heel:\n    exactly: cast_on * 3 / 8"),
    ("toe half", _toe_rows, "toe_sole:\n    exactly: cast_on / 2", "toe_sole:\n    exactly: cast_on * 3 / 8"),
    ("turn", _plain, "exactly: floor(heel / 2) + 1", "exactly: floor(heel / 2) + 11"),
    ("short rows", _short_row, "at_most: heel / 3", "at_most: heel / 2 - 1 st"),
    ("short rows", _short_row, "at_most: heel / 3", "at_most: heel / 6"),
    ("pick-up", _unslipped, "exactly: heel_rows * 3 / 4", "exactly: heel_rows / 2 - 3"),
    ("toe end", _plain, "at_most: min(cast_on / 4, 16)", "at_most: cast_on / 2 - 2 sts"),
    ("toe pace", _plain, "nearest: cast_on / 2\n    multiple_of: 4", "nearest: cast_on * 3 / 4\n    multiple_of: 4"),
    ("toe pace", _plain, "nearest: cast_on / 2\n    multiple_of: 4", "nearest: cast_on / 3\n    multiple_of: 4"),
    ("toe pace", _toe_up, "toe_half:\n    nearest: cast_on / 2", "toe_half:\n    nearest: cast_on * 3 / 4"),
    ("toe begin", _toe_up, "nearest: cast_on / 4", "nearest: cast_on / 2 - 4 sts"),
    ("gusset", _toe_up, "nearest: cast_on / 6\n", "nearest: cast_on / 3\n"),
    ("cuff", _plain, "nearest: leg_length / 5", "nearest: leg_length * 3 / 4"),
    ("cuff", _plain, "nearest: leg_length / 5", "nearest: leg_length / 20"),
    ("leg", _plain, "leg_length: 18 cm", "leg_length: 4 cm"),
    ("leg", _plain, "leg_length: 18 cm", "leg_length: 50 cm"),
    ("toe", _plain, _PLAIN_ROUND, _PLAIN_ROUND.replace('round: "K"', 'rounds: "K"\n            times: 4')),
    ("toe", _plain, "foot_length: 25 cm", "foot_length: 36 cm"),
]


@pytest.mark.parametrize(("part", "text", "old", "new"), CHANGES)
def test_what_is_out_of_proportion_is_remarked_on(part: str, text, old: str, new: str) -> None:  # type: ignore[no-untyped-def]
    means = {row["part"]: row["means"] for row in read_reference("proportions")["rows"]}
    assert remarks(text()) == []
    assert old in text()
    assert any(finding.message.startswith(f"{means[part]}: ") for finding in remarks(text().replace(old, new, 1)))


def test_a_flap_of_as_many_rows_as_the_whole_round_has_stitches_is_told_with_its_figures() -> None:
    told = remarks(_plain().replace("    nearest: heel\n", "    nearest: cast_on\n", 1))
    flap = next(finding for finding in told if finding.message.startswith("rows of the heel flap"))
    assert flap.message == "rows of the heel flap: 64 to 32 heel stitches, 2.00 to 1"
    assert (flap.section, flap.expected) == ("Heel flap", "0.58 to 1.06, as in published socks")
    assert not flap.is_error


def test_every_published_range_is_tried_and_has_its_source() -> None:
    rows = read_reference("proportions")["rows"]
    assert {row["part"] for row in rows} == {part for part, *_ in CHANGES}
    assert all(row["source"].strip() and row["status"].strip() and row["low"] < row["high"] for row in rows)
