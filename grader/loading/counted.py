"""What a number of rows or rounds counts: `counts: rows of Heel flap`, or its label where it says no more than that."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from grader.loading.checks import Checks
from grader.loading.misfits import Misfit
from grader.loading.tree import Node
from grader.models.pattern import Counted

_PLAIN = re.compile(r"(half the )?(?:(slow |fast )?(decrease|increase) )?(rounds|rows) of (\S.*)")
_EACH = re.compile(r"(rounds|rows) for each (decrease|increase) of (\S.*)")
_LABEL = re.compile(r"(rounds|rows) of the (\S.*)")
_NAMED = re.compile(r"(\S.*) (rounds|rows)")
_SHAPES = "rounds of Toe, half the rows of Heel, decrease rounds of Gusset, or rounds for each decrease of Leg"


def counted(value: Any) -> tuple[Counted, ...]:
    """The lines of the knitting that add up to a number; of a list, all of them together."""
    several = value if isinstance(value, list | tuple) else (value,)
    return tuple(_one(each) for each in several)


def _one(value: Any) -> Counted:
    text = " ".join(str(value).split())[:200]
    each = _EACH.fullmatch(text)
    if each:
        return Counted(each[1], each[3], each[2], "each")
    match = _PLAIN.fullmatch(text)
    if not match:
        raise Misfit(f"{text!r} doesn't say which rounds or rows are counted", f"write {_SHAPES}")
    halved, pace, of, lines, section = match.groups()
    return Counted(lines, section, of or "", (pace or "").strip(), bool(halved))


def counts_of(
    given: tuple[Counted, ...] | None, label: str, unit: str, node: Node, checks: Checks
) -> tuple[Counted, ...] | None:
    """What the file says, held against its sections; else what the label says, where it names a section.

    "rows of the heel flap" and "gusset rounds" are those of the sections Heel flap and Gusset.
    """
    if given is None:
        return _from_label(label, checks.sections) if unit == "rounds" else None
    if unit != "rounds":
        checks.add(
            "unit", f"only rounds and rows are counted, and this is a number of {unit}", node.at(), "write unit: rounds"
        )
    for each in given:
        checks.named("unknown-section", "section", each.section, checks.sections, node.at())
    return given


def _from_label(label: str, sections: Sequence[str]) -> tuple[Counted, ...] | None:
    known = {name.casefold(): name for name in sections}
    words = " ".join(label.split()).casefold()
    match = _LABEL.fullmatch(words)
    if match and match[2] in known:
        return (Counted(match[1], known[match[2]]),)
    match = _NAMED.fullmatch(words)
    return (Counted(match[2], known[match[1]]),) if match and match[1] in known else None
