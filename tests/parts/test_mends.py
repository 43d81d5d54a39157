"""What a pattern may say and the shipped ones do not: each must be worked, printed right, or refused in words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from written import markdown_of

from grader.cli import main
from grader.loading import load_text
from grader.pipeline import Checked, check
from grader.reporting import grouped
from grader.resources import folder
from grader.vocabulary.size_charts import read_chart

from .combining import pattern_of

HERE = str(folder("patterns") / "put_together.yaml")
FLAP = ("cuff-2x2-rib", "leg-straight", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", "toe-wedge")
SHIPPED = (folder("patterns") / "ninepenny_bridge.yaml").read_text(encoding="utf-8").split("# The designer's own")[0]


def checked_of(text: str, sizes: int = 2) -> Checked:
    """The smallest sizes of a pattern that loads without a finding."""
    pattern, findings = load_text(text, HERE, read_chart)
    assert findings == []
    assert pattern is not None
    return check(replace(pattern, bodies=pattern.bodies[:sizes]))


def test_the_size_table_tells_what_is_cast_on_however_it_is_written() -> None:
    checked = checked_of(SHIPPED.replace('- cast_on: "{cast_on}"', '- cast_on: "{heel + instep}"'))
    markdown = markdown_of(checked)
    row = next(line for line in markdown.splitlines() if "baby, about 6 to 12 months" in line)
    assert row.split("|")[-3].strip() == "36"


def test_a_repeat_that_adds_stitches_says_until_there_are_so_many() -> None:
    own = """
sections:
  - name: Leg
    steps:
      - repeat:
          - round: {heel: "K1, m1L, K to last st, m1R, K1", instep: K}
        until: "{cast_on + 4} sts"
      - repeat:
          - round: {heel: "K1, ssk, K to last 3 sts, k2tog, K1", instep: K}
        until: "{cast_on} sts"
      - rounds: K
        for: "{leg_plain}"
"""
    checked = checked_of(pattern_of(FLAP, own=own))
    markdown = markdown_of(checked)
    assert "until there are" in markdown
    assert "are left" in markdown


def test_a_repeat_that_is_never_worked_says_nothing() -> None:
    text = SHIPPED.replace('until: "{toe_end} sts"\n        say: Now', 'until: "{toe_half} sts"\n        say: Now')
    text = text.replace("toe_end:\n    at_most: min(cast_on / 4, 16)", "toe_end:\n    at_most: toe_half")
    pattern, _ = load_text(text, HERE, read_chart)
    assert pattern is not None
    checked = check(pattern)
    said = [block.say for sock in checked.socks for section in sock.instructions.sections for block in section.blocks]
    assert not any("Now decrease" in each for each in said)


@pytest.mark.parametrize("line", ["K", "*K1, P1* to end"])
def test_a_part_of_a_round_without_a_number_is_refused_in_words(line: str) -> None:
    text = SHIPPED.replace('      - rounds: "K"\n        for: "{leg_plain}"', f'      - part_round: "{line}"')
    pattern, findings = load_text(text, HERE, read_chart)
    told = list(findings) if pattern is None else list(check(pattern).findings)
    assert any("how many" in finding.message for finding in told), told


def test_a_pick_up_across_a_repeat_is_worked_or_refused_in_words() -> None:
    pattern, _ = load_text(SHIPPED.replace("- heel: K\n", '- heel: "*K1, P1* to end"\n'), HERE, read_chart)
    assert pattern is not None
    assert all(finding.code in ("stray-purl", "too-small-for-circular") for finding in check(pattern).findings)


def test_findings_about_two_measures_are_two_findings() -> None:
    text = SHIPPED.replace(
        "allowed: [-15 %, -5 %], foot_length: -4 %",
        "allowed: [-10.1 %, -9.9 %], foot_length: -4 %, length_allowed: [-4.1 %, -3.9 %]",
    )
    pattern, findings = load_text(text, HERE, read_chart)
    assert pattern is not None, findings
    told = [
        finding.message.split(" ")[0] for finding, _, _ in grouped(check(pattern).findings) if finding.code == "ease"
    ]
    assert set(told) >= {"foot_circumference", "foot_length"}


@pytest.mark.parametrize("own", ["sections: nonsense\n", "finished: nonsense\n", "stitch_patterns: [a]\n"])
def test_a_wrong_shape_beside_parts_is_told(own: str) -> None:
    _, findings = load_text(pattern_of(FLAP, own=own), HERE, read_chart)
    assert findings


def test_two_sections_of_one_name_beside_parts_are_told() -> None:
    leg = "  - name: Leg\n    steps:\n      - rounds: K\n        times: 5\n"
    _, findings = load_text(pattern_of(FLAP, own=f"sections:\n{leg}{leg}"), HERE, read_chart)
    assert any("Leg" in finding.message for finding in findings)


def test_nothing_knitted_is_not_fine(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "ninepenny_bridge", "--sizes", "1", "--needles", "short-circular", "--quiet"]) == 1
    assert capsys.readouterr().out.startswith("no socks")
