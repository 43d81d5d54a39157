"""The parts as text for the terminal: all of them by kind, for choosing, or one in full."""

from __future__ import annotations

import itertools
import textwrap
from collections.abc import Sequence
from pathlib import Path

from grader.models.part import Part, PartAlteration, PartNumber, PartStitches
from grader.resources import folder

_WIDTH = 100
_HEADS = {
    "cuff": "Cuffs",
    "leg": "Legs",
    "heel": "Heels",
    "turn": "Heel turns, after a flap",
    "gusset": "Gussets, after a turn",
    "foot": "Feet",
    "toe": "Toes",
    "stitch": "Stitch patterns, for a leg or a foot with a motif",
}


def print_parts(parts: Sequence[Part]) -> str:
    """Every part under its kind: its name, its title, when to choose it and what it changes."""
    blocks = []
    for kind, alike in itertools.groupby(parts, key=lambda part: part.kind):
        listed = list(alike)
        width = max(len(part.name) for part in listed)
        lines = [_HEADS.get(kind, kind.capitalize())]
        for part in listed:
            own = "" if Path(part.file).is_relative_to(folder("patterns")) else f"  ({part.file})"
            lines.append(f"  {part.name.ljust(width)}  {part.title}{own}")
            lines += _wrapped(f"choose it: {part.choose}", 6, 8)
            lines += _wrapped(f"changes: {part.changes}", 6, 8) if part.changes else []
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def print_part(part: Part) -> str:
    """One part in full: what it needs, its numbers with their rules and whys, its stitch patterns and its sections."""
    lines = [f"{part.name}: {part.title}", f"  {part.kind}, {part.file}"]
    lines += _wrapped(f"choose it: {part.choose}", 2, 4)
    lines += _wrapped(f"changes: {part.changes}", 2, 4) if part.changes else []
    blocks = (
        ("It needs", [line for need in part.needs for line in _number(need)]),
        ("Numbers", [line for number in part.numbers for line in _number(number)]),
        ("Stitch patterns", [line for stitches in part.stitch_patterns for line in _stitches(stitches)]),
        ("Sections", [f"  {name}{', last of all' if name in part.last else ''}" for name in part.sections]),
        ("For one person", [line for each in part.alterations for line in _alteration(each)]),
        ("Notions", [line for notion in part.notions for line in _wrapped(notion, 2, 4)]),
    )
    for head, told in blocks:
        if told:
            lines += ["", head, *told]
    return "\n".join(lines)


def _number(number: PartNumber) -> list[str]:
    label = f" ({number.label})" if number.label else ""
    return [*_wrapped(f"{number.name}: {number.rule}{label}", 2, 4), *_wrapped(number.why, 6, 6)]


def _alteration(each: PartAlteration) -> list[str]:
    told = _wrapped(f"{each.name}, when {each.when}", 2, 4)
    return [*told, *_wrapped(each.changes, 6, 6), *_wrapped(each.why, 6, 6)]


def _stitches(stitches: PartStitches) -> list[str]:
    """A stitch pattern round by round; a chart as it is drawn."""
    head = f"  {stitches.name}: {stitches.label}" if stitches.label else f"  {stitches.name}"
    lines = [", ".join((head, *stitches.asides))]
    if stitches.how == "rounds":
        return lines + [f"      round {number}: {line}" for number, line in enumerate(stitches.lines, start=1)]
    return lines + [f"      {line}" for line in stitches.lines]


def _wrapped(text: str, first: int, then: int) -> list[str]:
    """Lines that fit, indented; words are never cut."""
    return textwrap.wrap(
        " ".join(text.split()),
        _WIDTH,
        initial_indent=" " * first,
        subsequent_indent=" " * then,
        break_long_words=False,
        break_on_hyphens=False,
    )
