"""Parts put into a pattern: order, overriding, needs, a user's own folder, and what can be wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from shipped import NAMES, knitted_whole

from grader.loading import load_pattern, load_text
from grader.pipeline import check
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart

from .combining import pattern_of

PARTS = ("cuff-2x2-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-star")
HERE = str(folder("patterns") / "put_together.yaml")


def loaded(text: str, name: str = HERE) -> tuple[object, list[str]]:
    pattern, findings = load_text(text, name, read_chart)
    return pattern, [f"{finding.span}: {finding.message}" for finding in findings]


def test_sections_stand_in_the_order_of_the_parts() -> None:
    pattern, findings = load_text(pattern_of(PARTS), HERE, read_chart)
    assert findings == []
    assert pattern is not None
    assert [section.name for section in pattern.sections] == ["Cuff", "Leg", "Heel", "Foot", "Toe"]
    lengths = next(rule for rule in pattern.finished if rule.measure == "foot_length")
    assert lengths.along == ("Foot", "Toe")
    assert lengths.plus is None


def test_what_the_pattern_says_itself_takes_the_parts_place() -> None:
    own = "  sock_length: {nearest: foot_length - 1 cm, multiple_of: 0.5 cm}\n"
    pattern, findings = load_text(pattern_of(PARTS, own=own), HERE, read_chart)
    assert findings == []
    assert pattern is not None
    rules = [rule.name for rule in pattern.rules]
    assert rules.count("sock_length") == 1
    assert "1 cm" in next(rule for rule in pattern.rules if rule.name == "sock_length").target.text
    assert check(pattern).is_sound


def test_a_section_of_the_same_name_takes_the_parts_place() -> None:
    own = """
sections:
  - name: Leg
    steps:
      - rounds: in wave
        for: "{leg_plain}"
stitch_patterns:
  wave: {rounds: ["*K3, P1* to end", "*P1, K3* to end"]}
"""
    pattern, findings = load_text(pattern_of(PARTS, own=own), HERE, read_chart)
    assert findings == []
    assert pattern is not None
    assert [section.name for section in pattern.sections] == ["Cuff", "Leg", "Heel", "Foot", "Toe"]
    assert pattern.sections[1].steps[0].work.in_pattern == "wave"
    assert check(pattern).is_sound


def test_a_need_of_a_part_joins_the_rule_of_the_number() -> None:
    """The star toe needs a cast-on that divides by 4; a 2-stitch rule is tightened to it."""
    text = pattern_of(PARTS).replace("cuff.repeat, 4", "2")
    pattern, findings = load_text(text, HERE, read_chart)
    assert findings == []
    assert pattern is not None
    assert [formula.text for formula in pattern.rules[0].multiple_of] == ["2", "4"]


def test_a_part_of_ones_own_is_found_beside_the_pattern(tmp_path: Path) -> None:
    """A new heel and a new stitch pattern touch no Python: they are a file in the folder `parts`."""
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "heel-eye.yaml").write_text(
        """
part: heel
title: Heel flap, eye of the partridge
choose: Prettier than the plain slipped flap.
numbers:
  heel_rows: {nearest: heel, multiple_of: 4, label: rows of the heel flap, why: The pattern has four rows.}
stitch_patterns:
  eye:
    rows:
      - {RS: "*Sl1, K1* to end"}
      - {WS: "Sl1, P to end"}
      - {RS: "Sl2, *K1, Sl1* to last 2 sts, K2"}
      - {WS: "Sl1, P to end"}
sections:
  - name: Heel flap
    over: heel
    steps:
      - rest: instep
      - rows: in eye
        times: "{heel_rows / 4}"
        leaves: {heel: "{heel}"}
""",
        encoding="utf-8",
    )
    parts = ("cuff-2x2-rib", "leg-straight", "heel-eye", "turn-round", "gusset", "foot-plain", "toe-wedge")
    path = tmp_path / "mine.yaml"
    path.write_text(pattern_of(parts), encoding="utf-8")
    pattern, findings = load_pattern(str(path), read_chart)
    assert findings == []
    assert pattern is not None
    checked = check(pattern)
    assert not [finding for finding in checked.findings if finding.is_error]
    assert any("Sl2, *K1, sl1" in line.text or "Sl2" in line.text for line in checked.socks[0].record.lines)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("toe-star", "toe-stair", "there is no part 'toe-stair'"),
        ("foot-plain, ", "foot-plain, foot-plain, ", "the part foot-plain stands here twice"),
        ("[cuff-2x2-rib", "[{a: b}, cuff-2x2-rib", "the name of a part belongs here"),
        ("leg-straight, ", "", "no number is called 'heel'"),
        ("heel-german-short-row, ", "", "no number is called 'heel_depth'"),
        ("[cuff-2x2-rib", "[../ninepenny_bridge, cuff-2x2-rib", "there is no part '../ninepenny_bridge'"),
    ],
)
def test_what_is_wrong_with_parts_is_told_at_its_place(old: str, new: str, message: str) -> None:
    text = pattern_of(PARTS).replace(old, new, 1)
    _, findings = loaded(text)
    assert any(message in finding for finding in findings), findings


@pytest.mark.parametrize("value", ["[]", "toe-star", "{a: b}"])
def test_parts_are_a_list_with_something_in_it(value: str) -> None:
    text = pattern_of(PARTS).replace("[" + ", ".join(PARTS) + "]", value)
    _, findings = loaded(text)
    assert any("a list of 1 to 20 parts belongs here" in finding for finding in findings), findings


def test_a_mistake_in_a_part_is_told_with_the_parts_own_file(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "toe-odd.yaml").write_text(
        'part: tow\ntitle: T\nsections:\n  - name: Toe\n    steps:\n      - round: "K, foo"\nextra: 1\n',
        encoding="utf-8",
    )
    path = tmp_path / "mine.yaml"
    path.write_text(pattern_of((*PARTS[:4], "toe-odd")), encoding="utf-8")
    _, findings = load_pattern(str(path), read_chart)
    told = [
        f"{Path(finding.span.file).name}:{finding.span.line}: {finding.message}" for finding in findings if finding.span
    ]
    assert "toe-odd.yaml:1: 'tow' is no part of a sock" in told
    assert "toe-odd.yaml:1: the part has no choose" in told
    assert "toe-odd.yaml:7: a part has no key 'extra'" in told
    assert any(each.startswith("toe-odd.yaml:6:") for each in told)


@pytest.mark.parametrize("name", NAMES)
def test_every_pattern_that_ships_is_sound(name: str) -> None:
    checked = knitted_whole(name)
    assert not [finding for finding in checked.findings if finding.is_error]
    assert {sock.instructions.setup for sock in checked.socks} == {
        "short circular",
        "long circular (magic loop)",
        "double-pointed, set of 5",
        "double-pointed, set of 4",
    }
