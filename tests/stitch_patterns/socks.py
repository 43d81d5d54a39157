"""Patterns put together from the stitch patterns that ship, and a small one that holds a stitch pattern of its own."""

from __future__ import annotations

from dataclasses import replace

from grader.loading import load_text
from grader.models.pattern import Pattern
from grader.models.record import Record, WorkedLine
from grader.pipeline import Checked, Wanted, check
from grader.resources import folder
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

HERE = str(folder("patterns") / "put_together.yaml")
MOTIFS = tuple(sorted(path.stem for path in (folder("patterns") / "parts").glob("stitch-*.yaml")))
PANELS = ("stitch-rope-panel", "stitch-braid-panel")
STRANDED = ("stitch-checks",)  # its second yarn goes all round, so that it can't lie on one half
ON_A_HALF = tuple(each for each in MOTIFS if each not in STRANDED)
FLAP = ("heel-flap-slipped", "turn-round", "gusset-motif")
SHORT_ROWS = ("heel-german-short-row",)


def text_of(parts: tuple[str, ...], own: str = "", multiple: str = "cuff.repeat, 4", more: str = "") -> str:
    """A pattern file made of parts; `own` follows the numbers, `more` goes into the cast-on's formula."""
    return f"""
title: Put together
version: "1"
gauge: {{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes: {{chart: adult-feet}}
parts: [{", ".join(parts)}]
numbers:
  cast_on:
    nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches{more}
    multiple_of: [{multiple}]
{own}"""


def sock_parts(motif: str, leg: str, heel: tuple[str, ...], toe: str, foot: str = "") -> tuple[str, ...]:
    """The parts of a sock with this stitch pattern; the foot goes on in it unless another is named."""
    usual = "foot-panel" if motif in PANELS else "foot-motif"
    return (motif, "cuff-2x2-rib", leg, *heel, foot or usual, toe)


def made(
    parts: tuple[str, ...],
    own: str = "",
    multiple: str = "cuff.repeat, 4",
    some: slice = slice(None),
    setups: tuple[str, ...] = (),
) -> Checked:
    """The pattern of these parts, graded, written out and knitted through, in some sizes and setups."""
    more = " + drawn_in" if "foot-panel" in parts else ""
    pattern = loaded(text_of(parts, own, multiple, more))
    return check(replace(pattern, bodies=pattern.bodies[some]), Wanted(setups))


def loaded(text: str) -> Pattern:
    """A pattern that must have no finding when it is read."""
    pattern, findings = load_text(text, HERE, read_chart)
    assert findings == []
    assert pattern is not None
    return pattern


def errors(checked: Checked) -> list[Finding]:
    """What keeps the pattern from being printed."""
    return [finding for finding in checked.findings if finding.is_error]


def in_pattern(record: Record) -> list[WorkedLine]:
    """The rounds worked in the stitch pattern, each as often as it is worked, the pick-up round among them."""
    return [line for line in record.in_order() if "motif" in line.fabric for _ in range(line.times)]


def small(
    steps: str, motif: str, numbers: str = "{cast_on: {exactly: 64}, half: {exactly: cast_on / 2}}", finished: str = ""
) -> str:
    """A tube of one size with a stitch pattern `motif`; `steps` stand between its cast-on and its bind-off."""
    return f"""
title: A tube
version: "1"
gauge: {{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes: {{own: [{{name: A, foot_circumference: 22.5 cm, foot_length: 25 cm, leg_length: 18 cm}}]}}
numbers: {numbers}
stitch_patterns:
  motif: {motif}
{finished}
sections:
  - name: Tube
    steps:
      - cast_on: "{{cast_on}}"
        regions: [[heel, "{{half}}"], [instep, "{{cast_on - half}}"]]
{steps}
      - bind_off: all
"""


def tube(steps: str, motif: str, **given: str) -> Checked:
    """The tube, checked."""
    return check(loaded(small(steps, motif, **given)))
