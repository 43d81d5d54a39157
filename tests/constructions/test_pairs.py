"""A left and a right sock: both are knitted, what they share is printed once, and each mirrors the other."""

from __future__ import annotations

import re

import pytest
from parts.combining import pattern_of

from grader.models.record import WorkedLine
from grader.pipeline import check
from grader.publishing import yarn_by_size
from grader.reporting import record_json
from grader.yarn_use import yarn_for_pair

from .socks import PAIR, SETUPS, SIZES, checked, errors, loaded, sock_of

LEFT, RIGHT = "Toe of the left sock", "Toe of the right sock"
WORN = ("cuff-1x1-rib", "leg-straight", "heel-german-short-row", "foot-plain")
ENDING, BEGINNING = "K to last 3 sts, k2tog, K1", "K1, ssk, K to end"


def _one_sided(name: str, instep: str, sole: str, own: str = "") -> str:
    """A section that narrows at one side of the foot; `own` says which sock it is of."""
    return f"""  - name: {name}
    {own}
    steps:
      - arrange: halves
      - repeat:
          - round: {{instep: "{instep}", sole: "{sole}"}}
          - round: "K"
        times: 4
      - bind_off: all
"""


def _closed_by(*toes: str, along: str) -> str:
    """A sock with these sections for its toe."""
    sections = "".join(toes)
    depth = "  toe_depth: {exactly: 8 rounds / gauge.rounds}\n"
    own = f"{depth}sections:\n{sections}finished:\n  foot_length: {{along: [{along}]}}\n"
    return pattern_of(WORN, own=own)


@pytest.mark.parametrize("setup", SETUPS)
@pytest.mark.parametrize("size", SIZES)
def test_both_are_knitted_and_what_they_share_is_printed_once(setup: str, size: str) -> None:
    sock = sock_of(checked(PAIR), setup, size)
    assert [record.sock for record in sock.records] == ["left", "right"]
    printed = [each.name for each in sock.instructions.sections]
    assert printed == ["Cuff", "Leg", "Heel flap", "Heel turn", "Gusset", "Foot", LEFT, RIGHT]
    for record, own in zip(sock.records, (LEFT, RIGHT), strict=True):
        assert record.complete
        assert list(dict.fromkeys(line.section for line in record.lines)) == [*printed[:-2], own]
    first, second = ([line for line in record.lines if "Toe" not in line.section] for record in sock.records)
    assert [line.text for line in first] == [line.text for line in second]


def _mirrored(line: WorkedLine) -> set[tuple[str, str, int]]:
    """Each decrease by its region, its lean, and its distance from the end it leans from."""
    spans, at, told = line.regions, 0, set()
    for name, count in spans:
        for shaping in line.shaping:
            if at <= shaping.taken < at + count:
                left = shaping.lean == "left"
                told.add(
                    (name, shaping.lean, shaping.taken - at if left else at + count - shaping.taken - shaping.takes)
                )
        at += count
    return told


@pytest.mark.parametrize("setup", SETUPS)
def test_the_right_toe_is_the_mirror_of_the_left(setup: str) -> None:
    """Round by round as many stitches; what leans left in one leans right in the other, as far from its side."""
    sock = sock_of(checked(PAIR), setup)
    toes = [
        [line for line in record.lines if "Toe" in line.section and line.kind == "round" and line.shaping]
        for record in sock.records
    ]
    left, right = toes
    assert [(line.before, line.after, line.times * line.block_times) for line in left] == [
        (line.before, line.after, line.times * line.block_times) for line in right
    ]
    turned = {"left": "right", "right": "left"}
    differing = 0
    for one, other in zip(left, right, strict=True):
        assert {(name, turned[lean], far) for name, lean, far in _mirrored(one)} == _mirrored(other)
        differing += _mirrored(one) != _mirrored(other)
    assert differing >= 4


def test_the_record_says_which_sock_it_is() -> None:
    socks = checked(PAIR)
    told = [(sock.graded, record, 1.0, 1.0) for sock in socks.socks for record in sock.records]
    runs = record_json(socks.pattern, told)["runs"]
    assert [run["sock"] for run in runs] == ["left", "right"] * len(socks.socks)
    assert {step["section"] for step in runs[0]["steps"]} & {LEFT, RIGHT} == {LEFT}
    assert {step["section"] for step in runs[1]["steps"]} & {LEFT, RIGHT} == {RIGHT}


def test_socks_that_are_alike_say_nothing_of_left_and_right() -> None:
    socks = checked((*WORN, "toe-wedge"))
    (sock, *_) = socks.socks
    assert sock.right is None
    assert sock.record.sock == ""
    (run,) = record_json(socks.pattern, [(sock.graded, sock.record, 1.0, 1.0)])["runs"]
    assert "sock" not in run


def test_the_yarn_of_a_pair_is_that_of_two_such_socks() -> None:
    """The two mirror each other, so that twice the left one is the pair."""
    socks = checked(PAIR)
    sock = sock_of(socks, SETUPS[0])
    left, right = (yarn_for_pair(socks.pattern, record) for record in sock.records)
    assert left.metres_pair == pytest.approx(right.metres_pair)
    by_size = yarn_by_size(socks.socks, socks)
    assert by_size[sock.graded.body.name] == pytest.approx((left.metres_pair, left.grams_pair))


def test_a_toe_that_narrows_at_one_side_is_right_only_in_one_of_a_pair() -> None:
    alone, findings = loaded(_closed_by(_one_sided("Toe", ENDING, BEGINNING), along="Toe"))
    assert findings == []
    assert alone is not None
    told = [finding for finding in check(alone).findings if finding.code == "balance"]
    assert {finding.section for finding in told} == {"Toe"}
    left = _one_sided("Toe", ENDING, BEGINNING, "sock: left")
    right = _one_sided("Other toe", BEGINNING, ENDING, "sock: right")
    pair, findings = loaded(_closed_by(left, right, along="Toe, Other toe"))
    assert findings == []
    assert pair is not None
    assert pair.is_pair
    assert "balance" not in errors(check(pair).findings)


def test_even_in_a_pair_the_two_sides_of_the_foot_narrow_alike() -> None:
    """At the side of the little toe the sole narrows as the instep does; one of them alone is a mistake."""
    own = """
sections:
  - name: Toe of the left sock
    sock: left
    steps:
      - arrange: halves
      - repeat:
          - round: {instep: "K to last 3 sts, k2tog, K1", sole: "K2, ssk, K to end"}
        times: 2
      - bind_off: all
"""
    pattern, findings = loaded(pattern_of(PAIR, own=own))
    assert findings == []
    assert pattern is not None
    told = [finding for finding in check(pattern).findings if finding.code == "balance"]
    assert told
    assert {finding.section for finding in told} == {LEFT}


def test_the_printed_page_has_both_toes_and_one_cuff() -> None:
    from grader.publishing import Edition, make_document

    markdown = make_document(checked(PAIR), Edition(), "sock").files["sock.md"].decode()
    for section, times in (("Cuff", 1), (LEFT, 1), (RIGHT, 1)):
        assert len(re.findall(rf"^#+ {section}$", markdown, re.M)) == times
