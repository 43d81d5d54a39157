"""A part as it lies in its file: what a designer reads to choose it, before any pattern takes it up."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PartNumber:
    """One number of a part, or one that it needs: its rule in words of the file, its label and its why."""

    name: str
    rule: str
    label: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class PartStitches:
    """One stitch pattern of a part, as written.

    `how` is "rounds", "rows", "chart" or "chart_rows"; `lines` are its lines in the order of the file (a chart's top
    line first), `asides` what else is said of it, such as its gauge.
    """

    name: str
    label: str
    how: str
    lines: tuple[str, ...]
    asides: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartAlteration:
    """What a part works otherwise for one person: whose, what changes, and why; in words of the file."""

    name: str
    when: str
    changes: str
    why: str


@dataclass(frozen=True, slots=True)
class Part:
    """One part: `name` is that of its file, `kind` what it is of a sock, `file` where it lies.

    `choose` says when to take it and `changes` what that does to the rest of the sock. `sections` are the names of the
    sections it brings; those that are worked when all else is done stand in `last` too.
    """

    name: str
    kind: str
    title: str
    choose: str
    changes: str
    file: str
    needs: tuple[PartNumber, ...] = ()
    numbers: tuple[PartNumber, ...] = ()
    stitch_patterns: tuple[PartStitches, ...] = ()
    sections: tuple[str, ...] = ()
    last: tuple[str, ...] = ()
    notions: tuple[str, ...] = ()
    alterations: tuple[PartAlteration, ...] = ()
