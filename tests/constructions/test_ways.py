"""Ways to cast on and off by name, toes that move the start or round off, and repeats in changing words."""

from __future__ import annotations

import itertools
import re

import pytest
from parts.combining import pattern_of

from grader.pipeline import Checked
from grader.publishing import Edition, make_document
from grader.vocabulary.techniques import WAYS

from .socks import (
    CALF,
    LOOP,
    SETUPS,
    SIZES,
    blocks_of,
    changed,
    checked,
    checked_text,
    errors,
    found,
    lines_of,
    sock_of,
    without,
    worked,
)

ON = [name for name, way in WAYS.items() if way.step == "cast_on"]
OFF = [name for name, way in WAYS.items() if way.step == "bind_off"]
SHORT_TOE = ("cuff-1x1-rib", "leg-straight", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", "toe-short-row")
STAR = ("cuff-2x2-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-star")
ROUND = (*STAR[:-1], "toe-round")


# -- ways to cast on and to bind off


def _tube(on: str, off: str, terms: str) -> Checked:
    own = f"""
sections:
  - name: Cuff
    steps:
      - cast_on: "{{top}}"
        by: {on}
        regions: [[heel, "{{top - instep}}"], [instep, "{{instep}}"]]
        say: Leave a long tail.
      - rounds: in cuff
        for: "{{cuff_length}}"
  - name: Toe
    steps:
      - bind_off: all
        by: {off}
"""
    parts = ("cuff-2x2-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-star")
    return checked_text(pattern_of(parts, own=own), ("S",), (LOOP,), terms)


@pytest.mark.parametrize(
    ("on", "off", "terms"),
    [
        (on, off, terms)
        for (on, off), terms in zip(itertools.zip_longest(ON, OFF, fillvalue=OFF[0]), itertools.cycle(("UK", "US")))
    ],
)
def test_a_way_is_named_before_the_steps_own_words_and_told_among_the_techniques(on: str, off: str, terms: str) -> None:
    socks = _tube(on, off, terms)
    (sock,) = socks.socks
    first, last = blocks_of(sock.instructions)[0], blocks_of(sock.instructions)[-1]
    bind_off = {"UK": "cast off", "US": "bind off"}[terms]
    assert first.say == f"Use the {WAYS[on].name}. Leave a long tail."
    assert last.say == f"Use the {WAYS[off].name.format(bind_off=bind_off)}."
    markdown = make_document(socks, Edition(terms), "sock").files["sock.md"].decode()
    words = " ".join(markdown.split())
    assert first.say in words
    assert last.say in words
    told = {name for name, way in WAYS.items() if " ".join(way.how.split())[:60] in words}
    assert told == {on, off}


def test_every_way_has_been_tried() -> None:
    assert len(ON) >= 4
    assert len(OFF) >= 2
    assert {way.step for way in WAYS.values()} == {"cast_on", "bind_off"}


# -- the start of the round moves to where the toe is worked


@pytest.mark.parametrize("setup", SETUPS)
@pytest.mark.parametrize("size", SIZES)
def test_a_short_row_toe_begins_where_its_rows_do(setup: str, size: str) -> None:
    """After a gusset the round starts elsewhere: it is knitted on to the sole before the instep rests."""
    sock = sock_of(checked(SHORT_TOE), setup, size)
    toe = worked(sock, "Toe")
    moved = toe[0]
    assert moved.kind == "part_round"
    assert moved.text == "K to marker" or moved.text.endswith(" to the start of the sole")
    rest = next(line for line in toe if line.kind == "rest")
    half = sock.graded.count("toe_sole")
    assert rest.text.endswith(f"the sole is worked on the first {half}")
    assert [line.kind for line in toe].index("rest") < [line.kind for line in toe].index("row")
    assert toe[-1].text == f"Graft {half} sts to {half} sts"


@pytest.mark.parametrize("setup", SETUPS)
def test_a_start_that_is_not_moved_or_moved_too_far_is_found(setup: str) -> None:
    socks = checked(SHORT_TOE)
    sock = sock_of(socks, setup)
    first = re.escape(lines_of(sock.instructions, "Toe")[0])
    assert set(found(socks, sock, without(sock.instructions, "Toe", f"^{first}$"))) & {
        "regions",
        "start",
        "needles",
        "rest",
    }
    assert found(socks, sock, changed(sock.instructions, "Toe", f"^{first}$", "K9 to the start of the sole"))


# -- a round toe


@pytest.mark.parametrize("setup", SETUPS)
@pytest.mark.parametrize("size", ["XS", "S", "M", "L"])
def test_a_round_toe_narrows_in_eight_places_and_ends_on_eight_stitches(setup: str, size: str) -> None:
    """After each decrease round come as many plain rounds as there are stitches between the decreases then."""
    sock = sock_of(checked(ROUND, ("XS", "S", "M", "L")), setup, size)
    toe = [line for line in worked(sock, "Toe") if line.kind in ("round", "gather")]
    counts = [(line.before or 0, line.after or 0) for line in toe]
    begin = sock.graded.count("cast_on")
    assert counts[0][0] == begin
    if begin % 8:
        assert counts.pop(0) == (begin, begin - 4)
        toe.pop(0)
    assert counts[-1] == (8, 0)
    assert counts[-2] == (16, 8)
    told = [(line, times) for line in toe[:-2] for times in [line.times * line.block_times]]
    at = 0
    while at < len(told):
        line, _ = told[at]
        assert (line.before or 0) - (line.after or 0) == 8
        assert [each.name for each in line.shaping] == ["k2tog"] * 8
        between = (line.after or 0) // 8 - 2
        at, plain = at + 1, 0
        while at < len(told) and told[at][0].text == "K":
            plain += told[at][1]
            at += 1
        assert plain == between
    assert toe[-1].text == "Draw the yarn through the remaining 8 sts and fasten it"


@pytest.mark.parametrize("setup", SETUPS)
def test_a_round_toe_drawn_together_too_soon_is_found(setup: str) -> None:
    socks = checked(CALF)
    sock = sock_of(socks, setup)
    wrong = changed(sock.instructions, "Toe", "remaining 8", "remaining 16")
    assert found(socks, sock, wrong) == ["left-over"]


# -- repeats whose words change from round to round


@pytest.mark.parametrize(("parts", "last"), [(STAR, (3, 2, 1)), (ROUND, (3, 2, 1, 0))], ids=["star", "round"])
@pytest.mark.parametrize("setup", SETUPS)
def test_a_repeat_in_changing_words_is_counted_from_its_end(
    parts: tuple[str, ...], last: tuple[int, ...], setup: str
) -> None:
    """A larger size has more rounds before; the last ones stand under one key, and say the same, in every size."""
    socks = checked(parts, ("XS", "S", "M", "L"))
    assert errors(socks.findings) == []
    endings, lengths = set(), set()
    for sock in socks.socks:
        if sock.instructions.setup == setup:
            narrow = [
                (block.key, block.lines[0].text)
                for block in blocks_of(sock.instructions, "Toe")
                if block.lines and "k2tog" in block.lines[0].text
            ]
            endings.add(tuple(narrow[-len(last) :]))
            lengths.add(len(narrow))
    assert len(lengths) > 1
    assert len(endings) == 1
    wanted = [f"*K{count}, k2tog; rep from * to end" if count else "*k2tog; rep from * to end" for count in last]
    assert [text for _, text in endings.pop()] == wanted
