"""Where colours change in the writing: steps of their own colour, repeats that begin as they end, striped shaping."""

from __future__ import annotations

from pathlib import Path

import pytest

from grader.cli import main
from grader.pipeline import Checked
from grader.publishing import Edition, make_document

from .socks import FLAP, STRIPES, checked, lines_of, text_of

TOE = """
sections:
  - name: Toe
    steps:
      - repeat:
          - round: {instep: "K1, ssk, K to last 3 sts, k2tog, K1", sole: "K1, ssk, K to last 3 sts, k2tog, K1"}
            colour: CC
          - {round: "K", colour: MC}
        until: "{toe_half} sts"
      - repeat:
          - round: {instep: "K1, ssk, K to last 3 sts, k2tog, K1", sole: "K1, ssk, K to last 3 sts, k2tog, K1"}
        until: "{toe_end} sts"
      - {graft: [instep, sole], colour: CC}
"""
LEG = """
  leg_rest: {nearest: leg_plain * gauge.rounds - 12, unit: rounds}
sections:
  - name: Leg
    colour: CC
    steps:
      - {rounds: K, times: 2, colour: MC}
      - repeat:
          - {rounds: K, times: 2}
          - {round: K, colour: MC}
          - {round: K}
        times: 2
      - {rounds: K, times: 0, colour: MC}
      - {rounds: K, times: 2}
      - repeat:
          - {round: K}
        times: 0
        colour: MC
      - {rounds: K, times: "{leg_rest}", colour: MC}
"""
TWO = "colours: {MC: {}, CC: {}}"


def _sound(text: str) -> Checked:
    socks = checked(text)
    assert [finding for finding in socks.findings if finding.is_error] == []
    return socks


def test_a_toe_shaped_in_stripes_changes_in_every_pass() -> None:
    """A change before each round of the repeat, the change of needles between them, and each after the other."""
    for sock in _sound(text_of(FLAP, TWO, TOE)).socks:
        toe = next(section for section in sock.instructions.sections if section.name == "Toe")
        passes = [block for block in toe.blocks if any(line.text == "With CC" for line in block.lines)]
        assert sum(block.times for block in passes) == sock.graded.count("toe_slow")
        for block in passes:
            assert [line.text for line in block.lines[::2]] == ["With CC", "With MC"]
        graft = [block.lines[0].text for block in toe.blocks[-4:]]
        assert "Change to CC" in graft
        assert graft[-1].startswith("Graft")


def test_a_step_has_its_own_colour_and_what_is_not_worked_changes_nothing() -> None:
    """The section is in CC: two rounds in MC first, a repeat that begins and ends in CC, and steps of 0 rounds."""
    for sock in _sound(text_of(FLAP, TWO, LEG)).socks:
        told = lines_of(sock.instructions, "Leg")
        repeat = ["K", "K", "With MC", "K", "With CC", "K"]
        assert told == ["K", "Change to CC", *repeat, "K", "Change to MC", "K"]


def test_the_first_colour_of_the_file_is_that_of_all_that_says_none() -> None:
    (*_, sock) = _sound(text_of(FLAP, "colours: {CC: {sections: [Foot]}, MC: {}}", LEG)).socks
    assert lines_of(sock.instructions)[0] == "Begin with CC"
    assert sock.record.loops_by_colour()["MC"] == 4 * sock.graded.count("cast_on") + sock.graded.count(
        "leg_rest"
    ) * sock.graded.count("cast_on")


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_the_size_table_of_three_colours_fits_the_page(paper: str) -> None:
    """A column of metres for each, in place of the one for all yarn."""
    socks = _sound(text_of(FLAP, "colours: {MC: {}, CC1: {}, CC2: {}}", STRIPES))
    files = make_document(socks, Edition(paper=paper), "x").files
    assert files["x.pdf"].startswith(b"%PDF")
    head = next(line for line in files["x.md"].decode().splitlines() if line.startswith("|") and "Cast on" in line)
    assert [cell.strip() for cell in head.split("|")][-5:] == ["Cast on", "MC m", "CC1 m", "CC2 m", ""]


def test_the_command_tells_the_yarn_by_colour(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    place = tmp_path / "striped.yaml"
    place.write_text(text_of(FLAP, TWO, TOE), encoding="utf-8")
    assert main(["yarn", str(place)]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert rows[0].split()[:2] == ["size", "colour"]
    assert [row.split()[1] for row in rows[1:4]] == ["MC", "CC", "all"]
    monkeypatch.chdir(tmp_path)
    assert main(["check", str(place), "--json", "--sizes", "M", "--needles", "magic-loop"]) == 0
    assert '"by_colour"' in capsys.readouterr().out
