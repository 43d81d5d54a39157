"""Socks of several colours put together from the parts that ship, and single mistakes in their colours."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from parts.combining import pattern_of

from grader.loading import load_text
from grader.models.instructions import Block, Instructions
from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check
from grader.resources import folder
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

HERE = str(folder("patterns") / "put_together.yaml")
FLAP = ("cuff-2x2-rib", "leg-straight", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", "toe-wedge")
SHORT_ROWS = ("cuff-1x1-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-star")
AFTERTHOUGHT = ("cuff-2x2-rib", "leg-straight", "heel-afterthought", "foot-plain", "toe-wedge")
STRIPES = """
  stripes: {exactly: floor(leg_plain * gauge.rounds / 5), unit: rounds}
  stripe_rest: {nearest: leg_plain * gauge.rounds - 5 * stripes, unit: rounds}
sections:
  - name: Leg
    steps:
      - repeat:
          - {rounds: K, times: 3, colour: CC1}
          - {rounds: K, times: 2, colour: CC2}
        times: "{stripes}"
      - rounds: K
        times: "{stripe_rest}"
"""
STRANDED = """
stitch_patterns:
  seeds: {label: seeds, rounds: ["*K3 MC, K1 CC* to end", K, "*K1 MC, K1 CC, K2 MC* to end", K in CC]}
sections:
  - name: Leg
    steps:
      - rounds: in seeds
        for: "{leg_plain}"
"""


def text_of(parts: tuple[str, ...], colours: str, own: str = "") -> str:
    """A pattern of these parts with a block of colours."""
    return pattern_of(parts, own=own).replace("\nparts:", f"\n{colours}\nparts:")


def loaded(text: str) -> tuple[Pattern | None, list[Finding]]:
    """The pattern of a text as if it lay among those that ship."""
    return load_text(text, HERE, read_chart)


@cache
def checked(text: str, sizes: tuple[str, ...] = ()) -> Checked:
    """The socks of a pattern without mistake, some of its sizes or all, in every setup."""
    pattern, findings = loaded(text)
    assert findings == []
    assert pattern is not None
    bodies = tuple(body for body in pattern.bodies if not sizes or body.name in sizes)
    return check(replace(pattern, bodies=bodies), Wanted())


def lines_of(sock: Instructions, section: str = "") -> list[str]:
    """The printed lines of a sock or of one section, each once a block."""
    return [
        line.text
        for each in sock.sections
        if section in ("", each.name)
        for block in each.blocks
        for line in block.lines
    ]


_COLOUR = re.compile(r"\b(?:MC|CC\d?)\b")


def wrong_colours(sock: Instructions) -> Iterator[tuple[str, Instructions]]:
    """The sock with one colour word misprinted, or one change of colour lost, and what was done."""
    for number, section in enumerate(sock.sections):
        for at, block in enumerate(section.blocks):
            for told, changed in _blocks(block, sock.colours):
                blocks = (*section.blocks[:at], *changed, *section.blocks[at + 1 :])
                sections = list(sock.sections)
                sections[number] = replace(section, blocks=blocks)
                yield f"{section.name}: {told}", replace(sock, sections=tuple(sections))


def _blocks(block: Block, colours: tuple[str, ...]) -> Iterator[tuple[str, tuple[Block, ...]]]:
    for place, line in enumerate(block.lines):
        before, after = block.lines[:place], block.lines[place + 1 :]
        for match in _COLOUR.finditer(line.text):
            for other in colours:
                if other != match[0]:
                    text = line.text[: match.start()] + other + line.text[match.end() :]
                    lines = (*before, replace(line, text=text), *after)
                    yield f"{line.text} -> {text}", (replace(block, lines=lines),)
        if line.kind == "note":
            lines = before + after
            yield f"{line.text} lost", (replace(block, lines=lines),) if lines else ()
