"""Three regions in one round: a calf that narrows at the centre of the back, between two halves of it."""

from __future__ import annotations

import re

import pytest

from .socks import (
    CALF,
    CIRCULAR,
    FIVE,
    FOUR,
    LOOP,
    SETUPS,
    SIZES,
    changed,
    checked,
    doubled,
    found,
    lines_of,
    sock_of,
    without,
    worked,
)

BACKS = ["right back", "left back", "instep"]


@pytest.mark.parametrize("setup", SETUPS)
@pytest.mark.parametrize("size", SIZES)
def test_the_calf_narrows_in_pairs_at_the_centre_of_the_back(setup: str, size: str) -> None:
    """One stitch goes at each side of the centre, a plain stitch beside it, and none anywhere else."""
    sock = sock_of(checked(CALF), setup, size)
    top, foot = sock.graded.count("top"), sock.graded.count("cast_on")
    narrowed = [line for line in worked(sock, "Leg") if line.kind == "round" and line.shaping]
    assert sum(line.times * line.block_times for line in narrowed) == (top - foot) / 2 > 5
    for line in narrowed:
        assert [name for name, _ in line.regions] == BACKS
        half = line.regions[0][1]
        right, left = line.shaping
        assert (right.name, right.taken) == ("k2tog", half - 3)
        assert (left.name, left.taken) == ("ssk", half + 1)
    assert worked(sock, "Leg")[0].before == top
    assert worked(sock, "Leg")[-1].after == foot


def test_on_magic_loop_the_two_halves_of_the_back_share_a_needle_with_a_marker_between() -> None:
    lines = lines_of(sock_of(checked(CALF), LOOP).instructions, "Leg")
    placed = [text for text in lines if re.search(r"\bpm\b", text)]
    slipped = [text for text in lines if re.search(r"\bsm\b", text)]
    assert [text.startswith("Needle 1: K34, k2tog, K1, pm, K1, ssk, K34.") for text in placed] == [True]
    assert slipped == [
        "Needle 1: K to 3 sts before marker, k2tog, K1, sm, K1, ssk, K to end. Needle 2 (instep): K",
    ]
    assert lines.index(placed[0]) < lines.index(slipped[0]) < lines.index("Take off the markers within the round")


def test_on_double_pointed_needles_each_half_of_the_back_has_its_own() -> None:
    """No marker is needed where a needle ends."""
    for setup in (FIVE, FOUR):
        lines = lines_of(sock_of(checked(CALF), setup).instructions, "Leg")
        assert not any(re.search(r"\b[ps]m\b|marker", text) for text in lines)
        assert any("Needle 1 (right back): K to last 3 sts, k2tog, K1." in text for text in lines)
        assert any("Needle 2 (left back): K1, ssk, K to end." in text for text in lines)


def test_on_the_short_circular_every_region_ends_at_a_marker() -> None:
    lines = lines_of(sock_of(checked(CALF), CIRCULAR).instructions, "Leg")
    assert any(text.count("pm") == 2 and text.endswith(", sm") for text in lines)
    assert any(text.count("sm") == 3 for text in lines)
    assert lines.count("Take off the markers within the round") == 1


@pytest.mark.parametrize("setup", [LOOP, CIRCULAR])
@pytest.mark.parametrize(
    ("old", "new"),
    [
        (r"k2tog, K1, sm, K1, ssk", "k2tog, K2, ssk"),
        (r"k2tog, K1, sm, ", "k2tog, sm, "),
        (r"\bpm, K1, ssk", "K1, ssk"),
        (r"K to 3 sts before marker", "K to 2 sts before marker"),
    ],
)
def test_a_marker_forgotten_or_reached_at_the_wrong_stitch_is_found(setup: str, old: str, new: str) -> None:
    socks = checked(CALF)
    sock = sock_of(socks, setup)
    wrong = changed(sock.instructions, "Leg", old, new)
    assert set(found(socks, sock, wrong)) & {"marker", "misfit", "unworked", "straddle"}


@pytest.mark.parametrize("setup", SETUPS)
def test_shaping_at_one_side_of_the_centre_only_is_found(setup: str) -> None:
    socks = checked(CALF)
    sock = sock_of(socks, setup)
    wrong = changed(sock.instructions, "Leg", "k2tog", "ssk")
    assert "balance" in found(socks, sock, wrong)


def test_markers_are_taken_off_once() -> None:
    """Only where there are any, and not again."""
    socks = checked(CALF)
    for setup in (LOOP, CIRCULAR):
        sock = sock_of(socks, setup)
        off = next(line for line in worked(sock, "Leg") if line.text.startswith("Take off"))
        assert off.before == off.after == sock.graded.count("cast_on")
        assert found(socks, sock, doubled(sock.instructions, "Leg", "Take off")) == ["marker"]
        early = without(doubled(sock.instructions, "Leg", "Take off"), "Leg", r"\b[sp]m\b")
        assert found(socks, sock, early)
