"""From the toe up: begun small on double-pointed needles, widened in pairs, and closed at the top."""

from __future__ import annotations

import itertools
import math
import re

import pytest
from parts.combining import pattern_of

from grader.pipeline import Checked
from grader.vocabulary.findings import Severity

from .socks import (
    CIRCULAR,
    FIVE,
    FOUR,
    LOOP,
    SETUPS,
    SIZES,
    TOE_UP,
    TOE_UP_GUSSET,
    TOE_UP_ROWS,
    TOE_UP_STAR,
    changed,
    checked,
    checked_text,
    errors,
    found,
    lines_of,
    sock_of,
    worked,
)

ONTO = re.compile(r"Change to the short circular needle: (\d+) sts on one needle, pm for start of round")
WIDE_ENOUGH = math.ceil(23 * 3.2 / 1.7)  # stitches round a needle of 23 cm at 32 to 10 cm, stretched comfortably


@pytest.mark.parametrize("parts", [TOE_UP, TOE_UP_STAR, TOE_UP_GUSSET])
@pytest.mark.parametrize("size", SIZES)
def test_the_short_circular_is_taken_up_as_soon_as_the_toe_is_wide_enough(parts: tuple[str, ...], size: str) -> None:
    """Before that the sock is on four double-pointed needles, after it on one needle with a marker."""
    sock = sock_of(checked(parts), CIRCULAR, size)
    toe = worked(sock, "Toe")
    changes = [place for place, line in enumerate(toe) if ONTO.fullmatch(line.text)]
    assert len(changes) == 1
    place = changes[0]
    counts = [line.before for line in toe[1 : place + 1]]
    assert toe[0].text.endswith("on needles 1 to 4. Join in the round")
    assert all(len(line.needles) == 4 for line in toe[:place])
    wide = toe[place].after or 0
    assert wide >= WIDE_ENOUGH
    fewer = [count for count in counts if count is not None and count < wide]
    assert max(fewer) < WIDE_ENOUGH
    assert len(toe[place].needles) == 1
    assert all("Needle" not in line.text for line in toe[place + 1 :])


@pytest.mark.parametrize("parts", [TOE_UP, TOE_UP_STAR, TOE_UP_GUSSET, TOE_UP_ROWS])
def test_the_other_setups_never_change(parts: tuple[str, ...]) -> None:
    for setup in (LOOP, FIVE, FOUR):
        assert not [text for text in lines_of(sock_of(checked(parts), setup).instructions) if text.startswith("Change")]


def test_a_toe_that_takes_all_stitches_at_once_begins_on_the_circular() -> None:
    first, *others = lines_of(sock_of(checked(TOE_UP_ROWS), CIRCULAR).instructions)
    assert re.fullmatch(r"Cast on \d+ sts\. Join in the round, pm for start of round", first)
    assert not any(text.startswith("Change") for text in others)


def children(parts: tuple[str, ...]) -> Checked:
    """The sizes of children, of which the smallest are too small for the short circular needle."""
    return checked_text(pattern_of(parts, "child-feet"), ())


@pytest.mark.parametrize("parts", [TOE_UP, TOE_UP_STAR, TOE_UP_ROWS])
def test_a_size_too_small_for_the_circular_is_never_written_for_it(parts: tuple[str, ...]) -> None:
    """Not a mistake but a fact, and a remark says so; the other setups have the size."""
    socks = children(parts)
    assert errors(socks.findings) == []
    small = {graded.body.name for graded in socks.sizes if graded.count("cast_on") < WIDE_ENOUGH}
    assert 0 < len(small) < len(socks.sizes)
    told = [finding for finding in socks.findings if finding.code == "too-small-for-circular"]
    assert {size for finding in told for size in finding.sizes} == small
    assert all(finding.severity is Severity.REMARK and finding.setups == (CIRCULAR,) for finding in told)
    assert all(finding.expected == f"{WIDE_ENOUGH} sts or more" and finding.mend for finding in told)
    written = {(sock.instructions.setup, sock.instructions.size) for sock in socks.socks}
    every = {(setup, graded.body.name) for setup in SETUPS for graded in socks.sizes}
    assert every - written == {(CIRCULAR, size) for size in small}


@pytest.mark.parametrize(("setup", "parts"), list(itertools.product(SETUPS, [TOE_UP, TOE_UP_GUSSET])))
def test_increases_are_worked_in_pairs(setup: str, parts: tuple[str, ...]) -> None:
    """In every increase round as many m1R as m1L, and nothing else that adds."""
    seen = 0
    for line in worked(sock_of(checked(parts), setup)):
        if line.kind == "round" and line.after is not None and line.before is not None and line.after > line.before:
            made = [shaping.name for shaping in line.shaping]
            assert made.count("m1R") == made.count("m1L") == (line.after - line.before) / 2
            seen += 1
    assert seen > 4


@pytest.mark.parametrize("setup", SETUPS)
@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("m1L", "m1R", "balance"),
        ("m1R", "m1L", "balance"),
        ("m1R", "m1", "balance"),
        ("K1, m1R", "m1R, K1", "balance"),
        ("m1L, K1", "m1L", ""),
        ("m1R, ", "", ""),
    ],
)
def test_an_increase_that_has_no_partner_is_found(setup: str, old: str, new: str, code: str) -> None:
    socks = checked(TOE_UP)
    sock = sock_of(socks, setup)
    codes = found(socks, sock, changed(sock.instructions, "Toe", old, new))
    assert codes
    assert not code or code in codes


def test_a_star_toe_widens_evenly_and_needs_no_pairs() -> None:
    """Four increases at equal distances, eight stitches in a ring to begin with."""
    for setup in SETUPS:
        toe = worked(sock_of(checked(TOE_UP_STAR), setup), "Toe")
        assert toe[0].after == 8
        widened = [line for line in toe if line.after != line.before][1:]
        assert all((line.after or 0) - (line.before or 0) == 4 for line in widened)
        assert all([each.name for each in line.shaping] == ["m1"] * 4 for line in widened)


# -- regions that only change their names


@pytest.mark.parametrize("setup", SETUPS)
def test_giving_the_regions_other_names_prints_nothing(setup: str) -> None:
    """The sole becomes the heel where its stitches stay on their needles; only the words of later lines show it."""
    sock = sock_of(checked(TOE_UP), setup)
    lines = [line for line in worked(sock) if line.kind in ("round", "arrange", "rest")]
    names = [{name for name, _ in line.regions} for line in lines if line.regions]
    assert {"sole", "instep"} in names
    assert {"heel", "instep"} in names
    leg = worked(sock, "Leg")
    assert [line.kind for line in leg if line.kind == "arrange"] == []
    sole = next(line for line in reversed(worked(sock, "Foot")) if line.regions)
    heel = next(line for line in worked(sock, "Heel") if line.regions)
    assert [count for _, count in sole.regions] == [count for _, count in heel.regions]


# -- a piece that has other stitches when it comes back into the round


@pytest.mark.parametrize("setup", SETUPS)
@pytest.mark.parametrize("size", SIZES)
def test_the_round_goes_on_over_what_the_rows_have_left(setup: str, size: str) -> None:
    """The gusset is used up in the rows of the flap; after it the heel has its own stitches and no more."""
    socks = checked(TOE_UP_GUSSET)
    sock = sock_of(socks, setup, size)
    cast_on, heel, wide = (sock.graded.count(name) for name in ("cast_on", "heel", "sole_wide"))
    flap = [line for line in worked(sock, "Heel flap") if line.kind == "row"]
    assert worked(sock, "Gusset")[-1].after == cast_on - heel + wide
    assert flap[-1].after == heel
    rejoined = next(line for line in worked(sock, "Heel flap") if line.kind == "rejoin")
    assert (rejoined.before, rejoined.after) == (cast_on, cast_on)
    after = worked(sock, "Leg")
    assert all(line.before == line.after == cast_on for line in after)
    assert all(sum(line.needles) == cast_on for line in after)


@pytest.mark.parametrize("setup", SETUPS)
def test_taking_back_other_stitches_than_rest_is_found(setup: str) -> None:
    socks = checked(TOE_UP_GUSSET)
    sock = sock_of(socks, setup)
    wrong = changed(sock.instructions, "Heel flap", r"Take the \d+", "Take the 31")
    assert found(socks, sock, wrong) in (["rest"], ["region"])
