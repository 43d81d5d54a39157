"""The stitch patterns that ship: right knitting in themselves, and in any sock, size and needle setup."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from grader.loading import load_pattern
from grader.loading.source import read_source
from grader.loading.tree import read_tree
from grader.notation.counting import leaves, resolve
from grader.notation.multiples import Multiple, line_of, multiple_of
from grader.pipeline import check
from grader.resources import folder
from grader.setups import setup_names
from grader.vocabulary.size_charts import read_chart

from .socks import (
    FLAP,
    MOTIFS,
    ON_A_HALF,
    PANELS,
    SHORT_ROWS,
    STRANDED,
    errors,
    in_pattern,
    loaded,
    made,
    sock_parts,
    text_of,
)

# Repeat, edge and width as knitting books have long given them (common practice).
MULTIPLES = {
    "stitch-arrowhead-lace": (6, 1, 0),
    "stitch-basket-weave": (8, 0, 0),
    "stitch-braid-panel": (1, 0, 10),
    "stitch-broken-rib": (2, 0, 0),
    "stitch-checks": (4, 0, 0),
    "stitch-diagonal-rib": (4, 0, 0),
    "stitch-double-moss": (4, 0, 0),
    "stitch-eyelet-rib": (4, 0, 0),
    "stitch-eyelets": (6, 0, 0),
    "stitch-feather-and-fan": (12, 0, 0),
    "stitch-garter-ridges": (1, 0, 0),
    "stitch-moss": (2, 0, 0),
    "stitch-rib-2x1": (3, 0, 0),
    "stitch-rope-panel": (1, 0, 8),
    "stitch-slipped": (2, 0, 0),
    "stitch-twisted-rib": (2, 0, 0),
    "stitch-waffle": (3, 0, 0),
}

# Every stitch pattern is knitted in all six sizes: in two over the flap, over short rows, on both halves or all round.
THIRDS = tuple(slice(first, None, 3) for first in range(3))
# Over the flap in two setups, over short rows in the other two; on both halves in two of these, all round in the rest.
SETUPS = setup_names()


def rounds_of(motif: str) -> tuple[list[str], bool]:
    """The rounds of a part as they stand in its file, and whether it has sides."""
    source, _ = read_source(str(folder("patterns") / "parts" / f"{motif}.yaml"))
    assert source is not None
    tree, _ = read_tree(source)
    assert tree is not None
    node = tree.plain()["stitch_patterns"]["motif"]
    return node["rounds"], "sides" in node


def test_there_are_enough_stitch_patterns() -> None:
    assert len(MOTIFS) >= 14
    assert set(MULTIPLES) == set(MOTIFS)


@pytest.mark.parametrize("motif", MOTIFS)
def test_the_multiples_are_the_usual_ones(motif: str) -> None:
    texts, sides = rounds_of(motif)
    assert multiple_of(texts, sides) == Multiple(*MULTIPLES[motif])


@pytest.mark.parametrize("motif", MOTIFS)
def test_every_round_leaves_as_many_stitches_as_it_takes(motif: str) -> None:
    texts, sides = rounds_of(motif)
    asked = multiple_of(texts, sides)
    count = asked.width or 3 * asked.repeat + asked.edge
    for text in texts:
        line = line_of(text)
        assert line is not None
        assert sum(leaves(stretch.item) for stretch in resolve(line, count)) == count


@pytest.mark.parametrize("motif", ON_A_HALF)
@pytest.mark.parametrize(("heel", "toe"), [(FLAP, "toe-wedge"), (SHORT_ROWS, "toe-star")], ids=["flap", "short rows"])
def test_a_sock_with_it_in_front_knits_up(motif: str, heel: tuple[str, ...], toe: str) -> None:
    some, setups = (THIRDS[0], SETUPS[:2]) if heel is FLAP else (THIRDS[1], SETUPS[2:])
    checked = made(sock_parts(motif, "leg-front", heel, toe), some=some, setups=setups)
    assert errors(checked) == []
    assert len(checked.socks) == 2 * 2


@pytest.mark.parametrize("motif", [each for each in ON_A_HALF if each not in PANELS])
def test_a_sock_with_it_on_both_halves_of_the_leg_knits_up(motif: str) -> None:
    checked = made(sock_parts(motif, "leg-halves", FLAP, "toe-star"), some=THIRDS[2], setups=SETUPS[::2])
    assert errors(checked) == []
    assert len(checked.socks) == 2 * 2


FEW = [each for each in MOTIFS if each not in PANELS and MULTIPLES[each][0] in (1, 2, 4)]


@pytest.mark.parametrize("motif", FEW)
def test_a_leg_all_in_it_knits_up(motif: str) -> None:
    heel = ("heel-flap-slipped", "turn-round", "gusset")
    checked = made(sock_parts(motif, "leg-motif", heel, "toe-wedge", "foot-plain"), some=THIRDS[1], setups=SETUPS[1::2])
    assert errors(checked) == []
    assert len(checked.socks) == 2 * 2


@pytest.mark.parametrize(
    ("motif", "flap", "turn"),
    [
        ("stitch-braid-panel", "heel-flap-plain", "turn-v"),
        ("stitch-braid-panel", "heel-flap-garter-edged", "turn-band"),
        ("stitch-arrowhead-lace", "heel-flap-plain", "turn-band"),
        ("stitch-arrowhead-lace", "heel-flap-garter-edged", "turn-v"),
    ],
)
def test_other_heels_and_toes_fit_as_well(motif: str, flap: str, turn: str) -> None:
    some = THIRDS[0 if turn == "turn-v" else 1]
    checked = made(sock_parts(motif, "leg-front", (flap, turn, "gusset-motif"), "toe-wide-wedge"), some=some)
    assert errors(checked) == []
    assert len(checked.socks) == 2 * 4


def test_a_front_in_lace_may_have_a_plain_foot() -> None:
    """The needles lie as the lace wants them until it ends; then the stitches are spread evenly again."""
    heel = ("heel-flap-slipped", "turn-round", "gusset")
    for motif in ("stitch-arrowhead-lace", "stitch-rope-panel"):
        checked = made(sock_parts(motif, "leg-front", heel, "toe-wedge", "foot-plain"), some=THIRDS[2])
        assert errors(checked) == []
        assert len(checked.socks) == 2 * 4


# -- the instep goes on where the leg left off


@pytest.mark.parametrize("heel", [FLAP, SHORT_ROWS], ids=["flap", "short rows"])
def test_the_cable_crosses_every_sixth_round_from_the_leg_over_the_heel_to_the_toe(heel: tuple[str, ...]) -> None:
    checked = made(sock_parts("stitch-rope-panel", "leg-front", heel, "toe-wedge"), some=THIRDS[1])
    assert len(checked.socks) == 2 * 4
    for sock in checked.socks:
        rounds = in_pattern(sock.record)
        crossed = [place for place, line in enumerate(rounds) if "2/2 LC" in line.text]
        assert crossed == list(range(2, len(rounds), 6))
        assert {line.section for line in rounds} >= {"Leg", "Foot"}
        assert ("Gusset" in {line.section for line in rounds}) == (heel is FLAP)


def test_the_instep_goes_on_in_the_order_of_the_rounds_wherever_the_leg_ends() -> None:
    """A leg that ends within a repeat: the next round of the instep is the next of the repeat, in the pick-up too."""
    own = """
sections:
  - name: Leg
    steps:
      - rounds: {heel: K, instep: in motif}
        times: "{motif_rounds + 3}"
finished: {leg_length: {is: cuff_rounds / gauge.rounds + (motif_rounds + 3) / gauge.rounds}}
"""
    checked = made(sock_parts("stitch-diagonal-rib", "leg-front", FLAP, "toe-wedge"), own)
    assert errors(checked) == []
    texts, _ = rounds_of("stitch-diagonal-rib")
    shown = [text.removeprefix("*").removesuffix("* to end") for text in texts]
    for sock in checked.socks:
        for place, line in enumerate(in_pattern(sock.record)):
            assert shown[place % 8] in line.text, (sock.graded.body.name, sock.instructions.setup, place)


# -- a stitch pattern of one's own


def test_a_stitch_pattern_of_ones_own_needs_a_file_and_nothing_else(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "stitch-ladder.yaml").write_text(
        """
part: stitch
title: Ladder
choose: Mine.
stitch_patterns:
  motif:
    label: ladder
    sides: P
    rounds: ["K2, yo, cdd, yo, K2", "K", "K2, P3, K2", "K"]
""",
        encoding="utf-8",
    )
    path = tmp_path / "mine.yaml"
    parts = ("stitch-ladder", "cuff-2x2-rib", "leg-front", *FLAP, "foot-panel", "toe-wedge")
    path.write_text(text_of(parts), encoding="utf-8")
    pattern, findings = load_pattern(str(path), read_chart)
    assert findings == []
    assert pattern is not None
    checked = check(pattern)
    assert errors(checked) == []
    medium = next(sock for sock in checked.socks if sock.graded.body.name == "M")
    first = in_pattern(medium.record)[0]
    assert "P12, K2, yo, cdd, yo, K2, P13" in first.text


def test_a_part_without_a_stitch_pattern_is_told(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "stitch-none.yaml").write_text("part: stitch\ntitle: None\nchoose: Never.\n", "utf-8")
    path = tmp_path / "mine.yaml"
    path.write_text(text_of(("stitch-none", *sock_parts("stitch-moss", "leg-front", FLAP, "toe-wedge"))), "utf-8")
    _, findings = load_pattern(str(path), read_chart)
    assert [finding.message for finding in findings] == ["the part has no stitch_patterns"]


def test_the_stranded_leg_names_both_yarns() -> None:
    pattern = loaded(
        text_of(sock_parts(STRANDED[0], "leg-motif", ("heel-german-short-row",), "toe-wedge", "foot-plain"))
    )
    assert [colour.name for colour in pattern.colours] == ["MC", "CC"]
    own = next(each for each in pattern.stitch_patterns if each.name == "motif").gauge
    assert own is not None
    assert (own.stitches / pattern.gauge.stitches, own.rounds / pattern.gauge.rounds) == (
        Fraction(53, 50),
        Fraction(19, 20),
    )
