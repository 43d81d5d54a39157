"""`grader parts`: what there is to put together, those of a folder of one's own too, and one part in full."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from grader.cli import main
from grader.loading import load_parts
from grader.resources import folder

SHIPPED = sorted(path.stem for path in (folder("patterns") / "parts").glob("*.yaml"))
OWN = """
part: heel
title: Heel flap, eye of the partridge
choose: Prettier than the plain slipped flap.
numbers:
  heel_rows: {nearest: heel, multiple_of: [{of: 4, plus: 2}, 2], label: rows of the flap, why: It has four rows.}
stitch_patterns:
  eye:
    rows:
      - {RS: "*Sl1, K1* to end"}
      - {WS: "Sl1, P to end"}
sections:
  - name: Heel flap
    over: heel
    steps:
      - rest: instep
"""


def told(capsys: pytest.CaptureFixture[str], *typed: str) -> str:
    """What a command answers that goes well."""
    assert main(["parts", *typed]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def own_part(place: Path, text: str = OWN, name: str = "heel-eye") -> None:
    """A part in the folder `parts` of that place."""
    (place / "parts").mkdir(exist_ok=True)
    (place / "parts" / f"{name}.yaml").write_text(text, encoding="utf-8")


def test_every_part_that_ships_is_listed_once_under_its_kind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    blocks = told(capsys).rstrip("\n").split("\n\n")
    heads = [block.splitlines()[0].split(",")[0] for block in blocks]
    assert heads == ["Cuffs", "Legs", "Heels", "Heel turns", "Gussets", "Feet", "Toes", "Stitch patterns"]
    listed = [line.split()[0] for block in blocks for line in block.splitlines() if re.match(r"  \S", line)]
    assert sorted(listed) == SHIPPED
    toes = next(block for block in blocks if block.startswith("Toes"))
    assert "  toe-star          Star toe\n      choose it: A pointed toe that fits either foot" in toes
    assert "toe-up-star" in toes
    assert "heel" not in toes.splitlines()[1]


def test_no_line_is_wider_than_a_terminal_and_none_is_coloured(capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys)
    assert max(len(line) for line in out.splitlines()) <= 100
    assert "\x1b" not in out


@pytest.mark.parametrize("name", SHIPPED)
def test_each_part_is_told_in_full(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Every number with its why, every round and every section of the part stands in it."""
    ((part,), findings) = load_parts("pattern.yaml", (name,))
    assert findings == []
    out = told(capsys, name)
    words = " ".join(out.split())
    assert out.startswith(f"{name}: {part.title}\n  {part.kind}, {part.file}\n")
    for number in (*part.numbers, *part.needs):
        assert f"{number.name}: {number.rule}" in words
        assert " ".join(number.why.split()) in words
    for stitches in part.stitch_patterns:
        assert stitches.lines
        for line in stitches.lines:
            assert line in out
    assert part.sections or part.kind == "stitch"
    for section in part.sections:
        assert f"  {section}" in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_a_part_in_full_says_what_it_needs_and_what_waits_till_last(capsys: pytest.CaptureFixture[str]) -> None:
    assert "It needs\n  cast_on: multiple of 4\n" in told(capsys, "toe-star")
    out = told(capsys, "heel-afterthought")
    assert "Sections\n  Place for the heel\n  Heel, last of all\n\n" in out
    assert "\n\nNotions\n  A wool needle\n  A strand of smooth waste yarn" in out
    panel = told(capsys, "stitch-rope-panel.yaml")
    assert "  motif: rope cable, sides K, gauge stitches 120 % rounds 100 %\n      round 1: P2, K4, P2\n" in panel
    assert "\n      RS: Sl1, *K1, Sl1* to 1 st before gap, ssk, turn\n" in told(capsys, "toe-up-heel-gusset")


def test_a_part_in_full_says_what_it_alters_for_one_person(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["parts", "turn-v"]) == 0
    told = capsys.readouterr().out.partition("\nFor one person\n")[2].splitlines()
    assert told == [
        "  Narrow heel, when heel_diagonal < usual.heel_diagonal * 96 %",
        "      turn-band in place of turn-v",
        "      Heel and ankle bend are less round than is usual for this foot. A band heel turn makes a",
        "      narrower cup.",
    ]
    assert main(["parts", "heel-flap-plain"]) == 0
    rule = "heel_rows: nearest heel + (heel_diagonal - usual.heel_diagonal) * (1 +"
    assert rule in capsys.readouterr().out


def test_parts_of_ones_own_are_listed_with_their_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    own_part(tmp_path)
    (tmp_path / "parts" / "Not A Name.yaml").write_text("part: toe\n", encoding="utf-8")
    out = told(capsys)
    assert "Heel flap, eye of the partridge  (parts/heel-eye.yaml)\n      choose it: Prettier" in out
    assert "Not A Name" not in out
    full = told(capsys, "heel-eye")
    assert "  heel_rows: nearest heel, multiple of of 4 plus 2 and 2 (rows of the flap)\n" not in full
    assert "  heel_rows: nearest heel, multiple of 4 plus 2 and 2 (rows of the flap)\n" in full
    assert "  eye\n      RS: *Sl1, K1* to end\n      WS: Sl1, P to end\n" in full
    assert "changes" not in full


def test_ones_own_part_takes_the_place_of_a_shipped_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    own_part(tmp_path, name="heel-flap-plain")
    assert told(capsys, "heel-flap-plain").startswith("heel-flap-plain: Heel flap, eye of the partridge\n")
    assert told(capsys).count("heel-flap-plain ") == 1


def test_a_part_with_a_mistake_is_told_and_the_others_are_listed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    own_part(tmp_path, OWN.replace("part: heel", "part: heal"))
    assert main(["parts"]) == 1
    out, err = capsys.readouterr()
    assert "heel-eye" not in out
    assert "toe-star" in out
    assert err.startswith("parts/heel-eye.yaml:2:7: 'heal' is no part of a sock\n    to mend it: one of ")
    assert main(["parts", "heel-eye"]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "'heal' is no part of a sock" in err
    own_part(tmp_path, "part: [\n")
    assert main(["parts", "heel-eye"]) == 1
    assert capsys.readouterr().err.startswith("parts/heel-eye.yaml:")
