"""The yarns of a sock of several colours: each is worked somewhere, and none passes over too many stitches."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator

from grader.models.pattern import Pattern
from grader.models.record import Record, Runs, WorkedLine
from grader.notation import NotationError, read_line
from grader.notation.tree import Group, Op, Repeat, Round, Run
from grader.vocabulary.colours import LONGEST_FLOAT
from grader.vocabulary.findings import Ledger, Severity
from grader.vocabulary.wording import joined

Ends = dict[str, tuple[int, int, int]]  # colour -> stitches of others before its first, between two, after its last


def check_colours(pattern: Pattern, records: Iterable[Record], ledger: Ledger) -> None:
    """A colour that no sock is worked in was declared in vain, or forgotten."""
    if not pattern.colours:
        return
    told = [record.loops_by_colour() for record in records]
    for colour in pattern.colours:
        if told and not any(counts.get(colour.name) for counts in told):
            ledger.add(
                "unworked-colour",
                f"the colour {colour.name} is declared and never worked",
                colour.span,
                mend="delete it, or say where it is worked",
            )


def check_floats(record: Record, ledger: Ledger) -> None:
    """Where two colours are carried in one round, neither may lie loose over many stitches, the round's end included.

    Source: common practice; floats longer than about 5 stitches catch toes and rings, unless they are caught in.
    """
    seen: set[tuple[str, str, int]] = set()
    for before, line in itertools.pairwise(itertools.chain((None,), _stranded(record))):
        if line is None:
            continue
        ends = floats(line.yarns)
        for colour, (head, inner, _) in ends.items():
            over = floats(before.yarns)[colour][2] + head if before and colour in floats(before.yarns) else 0
            longest, where = max((inner, ""), (over, ", across the end of the round"))
            if longest > LONGEST_FLOAT and (line.text, colour, longest) not in seen:
                seen.add((line.text, colour, longest))
                _long_float(record, line, f"{colour} passes over {longest} sts{where}", longest, ledger)


def check_both_named(record: Record, ledger: Ledger) -> None:
    """A line that names the yarn of some stitches names that of all: what it leaves to the hands may be a lost name."""
    seen: set[str] = set()
    for line in record.lines:
        if line.kind not in ("round", "row") or not line.loops_by_colour or line.text in seen:
            continue
        seen.add(line.text)
        named = {item.colour for item in _worked(line.text)}
        if "" in named and len(named) > 1:
            ledger.add(
                "colour",
                f"the line names {joined(sorted(named - {''}))} for some stitches and no yarn for others",
                line.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=line.section,
                line=line.text,
                expected="a colour for every stitch, or for none",
                found=joined(sorted(named - {""})),
                mend="name the colour of every stitch",
            )


def _worked(text: str) -> Iterator[Op | Run]:
    """The stitches and runs of a printed line, those within repeats too."""
    try:
        statement = read_line(text)
    except NotationError:
        return
    waiting = [item for part in statement.parts for item in part.line.items] if isinstance(statement, Round) else []
    while waiting:
        item = waiting.pop()
        if isinstance(item, Group | Repeat):
            waiting += item.items
        elif isinstance(item, Op | Run):
            yield item


def _long_float(record: Record, line: WorkedLine, message: str, longest: int, ledger: Ledger) -> None:
    ledger.add(
        "float",
        message,
        line.span,
        severity=Severity.REMARK,
        sizes=(record.size,),
        setups=(record.setup,),
        section=line.section,
        line=line.text,
        expected=f"{LONGEST_FLOAT} sts at the most",
        found=str(longest),
        mend="break the stretch up, or tell the knitter to catch the yarn in along the way",
    )


def _stranded(record: Record) -> Iterator[WorkedLine | None]:
    """The rounds and rows in which several colours are carried, as the hands meet them; None where they break off."""
    if not record.loops_by_colour():
        return
    for line in record.in_order():
        if line.kind not in ("round", "row"):
            if line.kind != "note":
                yield None
        elif len(line.loops_by_colour) < 2:
            yield None
        else:
            yield line
            if line.kind == "row":
                yield None
            elif line.times > 1:
                yield line


def floats(yarns: Runs) -> Ends:
    """For each colour of a line: the stitches not worked in it before its first, between two of it, after its last.

    Stitches slipped are passed over by every yarn.
    """
    found: Ends = {}
    whole = sum(count for _, count in yarns)
    for colour in {name for name, _ in yarns if name}:
        at, last, head, inner = 0, -1, 0, 0
        for name, count in yarns:
            if name == colour:
                head, inner = (at, inner) if last < 0 else (head, max(inner, at - last))
                last = at + count
            at += count
        found[colour] = (head, inner, whole - last)
    return found
