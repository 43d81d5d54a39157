"""Prose in a pattern file: its placeholders, and numbers typed where a graded one belongs."""

from __future__ import annotations

import re
from collections.abc import Callable

from grader.loading.checks import Checks
from grader.loading.tree import Node
from grader.loading.values import holes
from grader.models.pattern import Written

_STITCHES = r"sts?|stitch(?:es)?"
_COUNTED = rf"{_STITCHES}|rounds?|rnds?|rows?|cm|mm|inch(?:es)?|times|chains?"
_INCHES = r"in(?=[ ]{0,3}(?:$|[.,;:)]|(?:long|wide|deep|high|from|before|after|or|more|less)\b))"
_NUMBER = r"(?<![\w.,/{])(\d{1,9}(?: \d{1,9}/\d{1,9}|[.,/]\d{1,9})?[½¼¾]?(?:[ ]?[-–][ ]?\d{1,9})?)[ \u00a0\n-]{0,3}"
_NAKED = re.compile(rf"{_NUMBER}(?:{_COUNTED}|{_INCHES})\b", re.IGNORECASE)
_NAKED_STITCHES = re.compile(rf"{_NUMBER}(?:{_STITCHES})\b", re.IGNORECASE)
_LABEL = re.compile(r"\b(?:needles?|sizes?|rows?|rounds?|rnds?|charts?|steps?|no|number)[ ]\Z", re.IGNORECASE)
_NEEDLE_SIZE = re.compile(r"[ ](?:\w+[ -])?(?:needles?|circulars?|hooks?|cables?)\b", re.IGNORECASE)
_HOLE = re.compile(r"\{[^{}]*\}")


def written(text: str, node: Node) -> Written:
    """A line or prose with the place of its first character."""
    return Written(text, node.at())


def placeholders(text: str, node: Node, checks: Checks, counted: Callable[[str, str], str] | None = None) -> None:
    """Check the formulas in the braces of prose; in a line, `counted` says what is wanted by what stands round them."""
    for offset, formula in holes(text):
        if counted is None:
            checks.bound(formula, node, "any", offset)
        else:
            after = text[offset + len(formula.text) + 1 :]
            checks.formula(formula, node, counted(text[: offset - 1], after), offset)


def prose(text: str | None, node: Node | None, checks: Checks, naked: str = "") -> Written | None:
    """Prose as written, after its placeholders were checked.

    `naked` says which typed numbers are findings: "all", "stitches" (a rule's why may give general
    figures), or none.
    """
    if text is None or node is None:
        return None
    placeholders(text, node, checks)
    if naked:
        _naked_numbers(text, node, checks, _NAKED if naked == "all" else _NAKED_STITCHES)
    return written(text, node)


def _naked_numbers(text: str, node: Node, checks: Checks, form: re.Pattern[str]) -> None:
    """A digit with a unit outside of braces: it would stay as it is when the sock is graded."""
    bare = _HOLE.sub(lambda match: "{" + "_" * (len(match[0]) - 2) + "}", text)
    for match in form.finditer(bare):
        if _LABEL.search(bare[max(match.start() - 12, 0) : match.start()]):
            continue
        if match[0].lower().endswith(("mm", "cm")) and _NEEDLE_SIZE.match(bare, match.end()):
            continue
        message = f"{' '.join(match[0].split())!r} is typed by hand where a graded number stands"
        mend = "write a formula in braces, or the number as a word"
        checks.add("naked-number", message, node.at(match.start()), mend)
