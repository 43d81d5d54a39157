"""Socks of every construction put together from the parts that ship, and single lines of them changed or lost."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache

from parts.combining import pattern_of

from grader.inspection import Run, inspect
from grader.loading import load_text
from grader.models.instructions import Block, Instructions, PrintedLine, SectionLines
from grader.models.pattern import Pattern
from grader.models.record import WorkedLine
from grader.pipeline import Checked, Sock, Wanted, check
from grader.resources import folder
from grader.testknit import knit
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

HERE = str(folder("patterns") / "put_together.yaml")
CIRCULAR, LOOP = "short circular", "long circular (magic loop)"
FIVE, FOUR = "double-pointed, set of 5", "double-pointed, set of 4"
SETUPS = (CIRCULAR, LOOP, FIVE, FOUR)
SIZES = ("S", "XL")

TOE_UP = ("toe-up-wedge", "toe-up-foot", "heel-german-short-row", "toe-up-leg", "toe-up-cuff-2x2-rib")
TOE_UP_STAR = ("toe-up-star", "toe-up-foot", "heel-afterthought", "toe-up-leg", "toe-up-cuff-1x1-rib")
TOE_UP_ROWS = ("toe-up-short-row", "toe-up-foot", "heel-wrapped-short-row", "toe-up-leg", "toe-up-cuff-picot")
TOE_UP_GUSSET = ("toe-up-wedge", "toe-up-foot", "toe-up-heel-gusset", "toe-up-leg", "toe-up-cuff-rolled")
AFTERTHOUGHT = ("cuff-2x2-rib", "leg-straight", "heel-afterthought", "foot-plain", "toe-short-row")
CALF = ("cuff-2x2-rib", "leg-calf", "heel-german-short-row", "foot-plain", "toe-round")
PAIR = ("cuff-1x1-rib", "leg-ankle", "heel-flap-slipped", "turn-round", "gusset", "foot-plain", "toe-anatomical")
CONSTRUCTIONS = {
    "toe-up": TOE_UP,
    "toe-up star": TOE_UP_STAR,
    "toe-up rows": TOE_UP_ROWS,
    "toe-up gusset": TOE_UP_GUSSET,
    "afterthought": AFTERTHOUGHT,
    "calf": CALF,
    "pair": PAIR,
}


def loaded(text: str) -> tuple[Pattern | None, list[Finding]]:
    """The pattern of a text as if it lay among those that ship."""
    return load_text(text, HERE, read_chart)


@cache
def checked_text(text: str, sizes: tuple[str, ...] = SIZES, setups: tuple[str, ...] = (), terms: str = "UK") -> Checked:
    """The socks of a pattern that loads without a finding, in some sizes."""
    pattern, findings = loaded(text)
    assert findings == []
    assert pattern is not None
    bodies = tuple(body for body in pattern.bodies if not sizes or body.name in sizes)
    return check(replace(pattern, bodies=bodies), Wanted(setups, (terms,)))


def checked(parts: tuple[str, ...], sizes: tuple[str, ...] = SIZES, own: str = "", terms: str = "UK") -> Checked:
    """The socks of these parts."""
    return checked_text(pattern_of(parts, own=own), sizes, terms=terms)


def sock_of(socks: Checked, setup: str, size: str = "S") -> Sock:
    """One of them."""
    return next(sock for sock in socks.socks if (sock.instructions.setup, sock.instructions.size) == (setup, size))


def errors(findings: tuple[Finding, ...] | list[Finding]) -> list[str]:
    """The codes of what would stop publication, each once, in their order."""
    return list(dict.fromkeys(finding.code for finding in findings if finding.is_error))


def blocks_of(sock: Instructions, section: str = "") -> list[Block]:
    """The blocks of a sock or of one section."""
    return [block for each in sock.sections if section in ("", each.name) for block in each.blocks]


def lines_of(sock: Instructions, section: str = "") -> list[str]:
    """The printed lines of a sock or of one section, each once a block."""
    return [line.text for block in blocks_of(sock, section) for line in block.lines]


def worked(sock: Sock, section: str = "") -> list[WorkedLine]:
    """The lines of its record that take stitches."""
    return [line for line in sock.record.lines if section in ("", line.section) and line.before is not None]


# -- one line wrong


def changed(sock: Instructions, section: str, old: str, new: str) -> Instructions:
    """The sock with `old`, a regular expression, made `new` wherever it stands in the lines of a section."""

    def change(line: PrintedLine) -> tuple[PrintedLine, ...]:
        return (replace(line, text=re.sub(old, new, line.text)),)

    return _with_lines(sock, section, old, change)


def without(sock: Instructions, section: str, words: str) -> Instructions:
    """The sock without the lines of a section that say this."""
    return _with_lines(sock, section, words, lambda line: () if re.search(words, line.text) else (line,))


def doubled(sock: Instructions, section: str, words: str) -> Instructions:
    """The sock with the lines of a section that say this twice over."""
    return _with_lines(sock, section, words, lambda line: (line,) * (1 + bool(re.search(words, line.text))))


def _with_lines(
    sock: Instructions, section: str, words: str, change: Callable[[PrintedLine], tuple[PrintedLine, ...]]
) -> Instructions:
    assert any(re.search(words, text) for text in lines_of(sock, section)), f"no line of {section} has {words}"
    sections = []
    for each in sock.sections:
        if each.name == section:
            blocks = tuple(
                replace(block, lines=tuple(one for line in block.lines for one in change(line)))
                for block in each.blocks
            )
            each = replace(each, blocks=tuple(block for block in blocks if block.lines or block.say))
        sections.append(each)
    return replace(sock, sections=tuple(sections))


def in_order(sock: Instructions, *names: str) -> Instructions:
    """The sock with these sections only, in this order; a name may come twice."""
    by_name: dict[str, SectionLines] = {each.name: each for each in sock.sections}
    return replace(sock, sections=tuple(by_name[name] for name in names))


def found(socks: Checked, sock: Sock, wrong: Instructions) -> list[str]:
    """The codes of what is found once one sock is worked from lines that are wrong."""
    assert wrong != sock.instructions
    record, findings = knit(wrong)
    if record.complete:
        findings = [*findings, *inspect(socks.pattern, [Run(sock.graded, record)])]
    return errors(findings)
