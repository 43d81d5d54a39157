"""A heel put in last: the place kept by waste yarn, opened when all else is done, and closed like a toe."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from parts.combining import pattern_of

from grader.loading import load_text
from grader.models.instructions import Instructions
from grader.pipeline import Sock
from grader.vocabulary.size_charts import read_chart

from .socks import (
    AFTERTHOUGHT,
    HERE,
    SETUPS,
    SIZES,
    TOE_UP_STAR,
    changed,
    checked,
    checked_text,
    doubled,
    errors,
    found,
    in_order,
    sock_of,
    without,
    worked,
)

PLACE, HEEL = "Place for the heel", "Heel"
SENTENCE = re.compile(r"Take out the waste yarn and take up (\d+) back sts and (\d+) sole sts(.*)")
BOTH = pytest.mark.parametrize("parts", [AFTERTHOUGHT, TOE_UP_STAR], ids=["cuff down", "toe up"])
EVERY = pytest.mark.parametrize("setup", SETUPS)


@BOTH
@EVERY
@pytest.mark.parametrize("size", SIZES)
def test_as_many_come_out_as_were_put_in_and_one_less_below(parts: tuple[str, ...], setup: str, size: str) -> None:
    """Out of H stitches of waste yarn come H loops at one side and H - 1 between them at the other, as published."""
    sock = sock_of(checked(parts), setup, size)
    heel = sock.graded.count("heel")
    (waste,) = (line for line in worked(sock, PLACE) if line.kind == "waste_yarn")
    assert waste.text.startswith(f"Knit the first {heel} sts of the round, those of the heel, with waste yarn and slip")
    assert waste.before == waste.after == sock.graded.count("cast_on")
    opened, first, *_ = worked(sock, HEEL)
    told = SENTENCE.fullmatch(opened.text)
    assert told
    assert (int(told[1]), int(told[2])) == (heel, heel - 1)
    assert (opened.before, opened.after) == (0, 2 * heel - 1)
    assert sum(opened.needles) == 2 * heel - 1
    assert (first.before, first.after) == (2 * heel - 1, 2 * heel)
    assert first.text.endswith(("m1", "m1, sm"))


@BOTH
@EVERY
def test_it_comes_last_and_all_else_is_closed_before_it(parts: tuple[str, ...], setup: str) -> None:
    sock = sock_of(checked(parts), setup)
    assert [each.name for each in sock.instructions.sections][-1] == HEEL
    before = [line for line in worked(sock) if line.section != HEEL]
    assert before[-1].after == 0
    assert worked(sock)[-1].text.startswith("Graft ")
    assert worked(sock)[-1].after == 0


@BOTH
@EVERY
def test_the_round_goes_on_over_the_waste_yarn_on_the_same_needles(parts: tuple[str, ...], setup: str) -> None:
    lines = [line for line in worked(sock_of(checked(parts), setup)) if line.needles]
    place = next(number for number, line in enumerate(lines) if line.kind == "waste_yarn")
    assert lines[place - 1].needles == lines[place].needles == lines[place + 1].needles


def _order(*names: str) -> Callable[[Instructions], Instructions]:
    return lambda sock: in_order(sock, *names)


def _changed(section: str, old: str, new: str) -> Callable[[Instructions], Instructions]:
    return lambda sock: changed(sock, section, old, new)


_BEFORE = ("Cuff", "Leg", PLACE, "Foot")
WRONG: dict[str, tuple[Callable[[Instructions], Instructions], str]] = {
    "one stitch more at the back": (_changed(HEEL, r"up \d+ back", "up 31 back"), "region"),
    "one stitch less at the sole": (_changed(HEEL, r"and \d+ sole", "and 28 sole"), "region"),
    "as many at both sides": (_changed(HEEL, r"and \d+ sole", "and 30 sole"), "region"),
    "never opened": (_order(*_BEFORE, "Toe"), "left-over"),
    "opened twice": (_order(*_BEFORE, "Toe", HEEL, HEEL), "waste-yarn"),
    "opened again at once": (lambda sock: doubled(sock, HEEL, "Take out"), "left-over"),
    "opened before the toe is closed": (_order(*_BEFORE, HEEL, "Toe"), "left-over"),
    "no waste yarn": (lambda sock: without(sock, PLACE, "waste yarn"), "waste-yarn"),
    "waste yarn twice": (lambda sock: doubled(sock, PLACE, "waste yarn"), "waste-yarn"),
    "waste yarn over the instep": (_changed(PLACE, "of the heel", "of the instep"), "region"),
    "waste yarn over too few": (_changed(PLACE, r"first \d+", "first 29"), "region"),
    "waste yarn over more than there are": (_changed(PLACE, r"first \d+", "first 90"), "region"),
    "the corner left open": (_changed(HEEL, r", m1\b", ""), ""),
    "grafted unevenly": (_changed(HEEL, r"Graft (\d+)", "Graft 7"), "graft"),
}


@EVERY
@pytest.mark.parametrize("name", WRONG)
def test_what_goes_wrong_with_it_is_found(name: str, setup: str) -> None:
    change, code = WRONG[name]
    socks = checked(AFTERTHOUGHT)
    sock = sock_of(socks, setup)
    assert sock.graded.count("heel") == 30
    codes = found(socks, sock, change(sock.instructions))
    assert codes
    assert not code or codes == [code]


def _refused(old: str, new: str) -> tuple[list[str], list[str]]:
    """What is said of the pattern whose part is written otherwise, and the section it is said of."""
    own = f"""
sections:
  - name: {PLACE}
    steps:
      - arrange:
        regions: [[heel, "{{heel}}"], [instep, "{{instep}}"]]
      - waste_yarn: heel
      - arrange:
        regions: [[sole, "{{heel}}"], [instep, "{{instep}}"]]
"""
    assert own.count(old) == 1
    socks = checked_text(pattern_of(AFTERTHOUGHT, own=own.replace(old, new)))
    assert not socks.socks
    return errors(socks.findings), list({finding.section for finding in socks.findings})


def test_waste_yarn_goes_in_where_the_round_starts() -> None:
    assert _refused("waste_yarn: heel", "waste_yarn: instep") == (["region"], [PLACE])


def test_it_can_not_be_opened_while_stitches_are_on_the_needles() -> None:
    open_now = "waste_yarn: heel\n      - open: {heel: 30, instep: 29}"
    assert _refused("waste_yarn: heel", open_now) == (["open"], [PLACE])


# -- the order of the parts, and the measures they add up to


def test_a_section_placed_last_stands_behind_all_others_and_behind_the_patterns_own() -> None:
    own = """
sections:
  - name: Before the ends
    steps:
      - say: Turn the sock inside out.
"""
    pattern, findings = load_text(pattern_of(AFTERTHOUGHT, own=own), HERE, read_chart)
    assert findings == []
    assert pattern is not None
    names = [section.name for section in pattern.sections]
    assert names == [*_BEFORE, "Toe", "Before the ends", HEEL]


def test_the_heel_and_the_short_row_toe_both_lengthen_the_foot() -> None:
    for sock in checked(AFTERTHOUGHT).socks:
        assert abs(float(sock.graded.finished["foot_length"]) - _knitted_length(sock)) < 10 / 44


def _knitted_length(sock: Sock) -> float:
    """The foot in cm: its plain rounds, and the depths of what is closed before and behind it."""
    rounds = sum(line.times * line.block_times for line in worked(sock, "Foot") if line.kind == "round")
    depths = sum(float(sock.graded.names[name].amount) for name in ("heel_depth", "toe_depth"))
    return rounds / 4.4 + depths
