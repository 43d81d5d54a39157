"""Reading the instruction lines of a pattern file: what can be read, and what is not too much to work."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from grader.loading.misfits import Misfit
from grader.loading.values import holes, text_of
from grader.vocabulary.budget import allowed, too_much

if TYPE_CHECKING:
    from grader.notation.tree import Round

_LONGEST_LINE = 1000
_MOST_NESTED = 30


def line(value: Any) -> str:
    """One instruction line in the notation."""
    written = text_of(value, "an instruction line", 'a line in quotes, such as "K2, P2"')
    if len(written) > _LONGEST_LINE:
        raise Misfit(f"this line is longer than {_LONGEST_LINE} characters", "break it into several steps")
    holes(written)
    long_number = re.search(r"\d{5,}", written)
    if long_number:
        raise Misfit("this number is too large for a sock", "correct it", long_number.start())
    if sum(written.count(sign) for sign in "*([") > _MOST_NESTED:
        raise Misfit("this line has too many brackets and asterisks", "break it into several steps")
    _read(written)
    return written


def _read(written: str) -> None:
    from grader.notation import NotationError, read_line
    from grader.notation.tree import Round

    try:
        statement = read_line(written)
    except NotationError as mistake:
        raise Misfit(
            f"this line can't be read: {mistake}",
            "compare it with the abbreviations of the notation",
            mistake.offset,
            code="line",
        ) from None
    if isinstance(statement, Round):
        _check_work(statement)
    else:
        raise Misfit(
            "this is not a round or a row but a step of its own", "write it as a step, such as cast_on:", code="line"
        )


def _check_work(statement: Round) -> None:
    """A line whose counts are all said must not have more to work than any hands would do in a round."""
    from grader.notation.counting import operations

    for part in statement.parts:
        try:
            work = operations(part.line.items)
        except TypeError:  # a formula, which is another number in each size
            continue
        if work > allowed("operations"):
            raise Misfit(*too_much("operations", work), code="budget")


def pattern_named(written: str) -> str:
    """The stitch pattern that "in NAME" names, or nothing."""
    match = re.fullmatch(r"\s*in\s+([A-Za-z_]\w*)\s*", written)
    return match[1] if match else ""


def work(value: Any) -> str:
    """An instruction line, or "in NAME"."""
    written = text_of(value, "an instruction line", 'a line in quotes, or "in cuff"')
    return written if pattern_named(written) else line(written)


def reference(value: Any) -> str:
    """ "in NAME", where only a stitch pattern can stand."""
    written = text_of(value, "RS and WS lines", '{RS: "K", WS: "P"}')
    if not pattern_named(written):
        raise Misfit("rows take an RS and a WS line, or a stitch pattern", 'write {RS: "K", WS: "P"}, or in NAME')
    return written
