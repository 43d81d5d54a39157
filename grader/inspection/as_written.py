"""The lines as the designer wrote them: what no hands would stumble over and an editor would not let pass."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator

from grader.models.pattern import Pattern, Step, StitchPattern, Work, Written
from grader.notation import NotationError, read_line
from grader.notation.tree import Group, Item, Op, Repeat, Round, Run
from grader.vocabulary.findings import Ledger
from grader.vocabulary.stitches import SINGLES, stitch_named

_RIB = re.compile(r"\b(\d+) ?[x×] ?(\d+) rib", re.I)
_SMOOTH = re.compile(r"(?:slipped-stitch|slip-stitch) heel|(?<!reverse )(?:stocking stitch|stockinette)", re.I)
_WITH_MORE = re.compile(r"rib|garter|moss|seed", re.I)


def check_as_written(pattern: Pattern, ledger: Ledger) -> None:
    """Nothing worked 0 times, no stitch told in two pieces, every stitch pattern worked and what its name says."""
    works = [work for section in pattern.sections for step in section.steps for work in _works(step)]
    for written in (*(each for work in works for each in _lines(work)), *_of_patterns(pattern.stitch_patterns)):
        items = _items(written)
        _check_zeros(written, items, ledger)
        _check_pieces(written, items, ledger)
    worked = {work.in_pattern for work in works}
    worked |= {written.in_pattern for work in works for _, written in work.by_region}
    for each in pattern.stitch_patterns:
        if each.name not in worked:
            ledger.add("unworked-pattern", f"the stitch pattern {each.name} is described and never worked", each.span)
        _check_never_knitted(each, ledger)
        _check_name(each, ledger)


def _works(step: Step) -> Iterator[Work]:
    yield step.work
    yield from (part for part in (override.work for override in step.overrides) if part)
    yield from (Work(whole=part.line) for part in step.parts if part.line)
    for inner in step.steps:
        yield from _works(inner)


def _lines(work: Work) -> Iterator[Written]:
    yield from (each for each in (work.whole, work.ws) if each)
    yield from (written for _, written in work.by_region)


def _of_patterns(patterns: Iterable[StitchPattern]) -> Iterator[Written]:
    for each in patterns:
        yield from (*each.rounds, *each.rows)


def _items(written: Written) -> tuple[Item, ...]:
    try:
        statement = read_line(written.text)
    except NotationError:
        return ()
    return tuple(item for part in statement.parts for item in part.line.items) if isinstance(statement, Round) else ()


def _flat(items: tuple[Item, ...]) -> Iterator[Item]:
    for item in items:
        if isinstance(item, Group | Repeat):
            yield from _flat(item.items)
        else:
            yield item


def _check_zeros(written: Written, items: tuple[Item, ...], ledger: Ledger) -> None:
    for item in _flat(items):
        if isinstance(item, Op) and item.count == 0:
            ledger.add("nothing", f"{item.name} is worked 0 times", written.span, line=written.text)


def _check_pieces(written: Written, items: tuple[Item, ...], ledger: Ledger) -> None:
    """K2, K3 is K5: more likely one of the two was to be something else."""
    for first, second in itertools.pairwise(items):
        alike = (
            isinstance(first, Op)
            and isinstance(second, Op | Run)
            and first.name == second.name in SINGLES
            and first.colour == second.colour
            and not first.remark
            and isinstance(first.count, int)
            and (isinstance(second, Run) or (first.manner, second.remark) == (second.manner, ""))
        )
        if alike:
            ledger.add(
                "two-pieces",
                f"{first.name} follows on {first.name}",  # type: ignore[union-attr]
                written.span,
                line=written.text,
                mend="write them as one, or say which of them is another stitch",
            )
    for item in items:
        if isinstance(item, Group | Repeat):
            _check_pieces(written, item.items, ledger)


def _check_never_knitted(pattern: StitchPattern, ledger: Ledger) -> None:
    """A stitch slipped in every round is never knitted at all."""
    rounds = [_columns(_items(written)) for written in pattern.rounds]
    if rounds and all(rounds) and len({len(each) for each in rounds}) == 1:
        for place, column in enumerate(zip(*rounds, strict=True)):
            if set(column) == {"sl"}:
                ledger.add(
                    "never-knitted", f"stitch {place + 1} of {pattern.name} is slipped in every round", pattern.span
                )
                return


def _columns(items: tuple[Item, ...]) -> list[str]:
    """The stitches of one repeat, one by one; none where the line is not a plain repeat."""
    if len(items) != 1 or not isinstance(items[0], Repeat):
        return []
    found: list[str] = []
    for item in items[0].items:
        if not isinstance(item, Op) or item.name not in SINGLES or not isinstance(item.count, int):
            return []
        found += [item.name] * item.count
    return found


def _check_name(pattern: StitchPattern, ledger: Ledger) -> None:
    """A 2 x 2 rib is knit 2, purl 2; a smooth fabric is knitted or slipped on its right side, purled on its wrong."""
    rib = _RIB.search(pattern.label)
    if rib:
        for written in pattern.rounds:
            columns = _columns(_items(written))
            if columns and not _is_rib(columns, int(rib[1]), int(rib[2])):
                _misnamed(pattern, written, ledger)
    if _SMOOTH.search(pattern.label) and not _WITH_MORE.search(pattern.label):
        for index, written in enumerate(pattern.rows or pattern.rounds):
            purl_side = bool(pattern.rows) and index % 2 == 1
            wrong = "knit" if purl_side else "purl"
            if any(isinstance(item, Op | Run) and _face(item.name) == wrong for item in _flat(_items(written))):
                _misnamed(pattern, written, ledger)


def _is_rib(columns: list[str], knit: int, purl: int) -> bool:
    """True if one repeat is so many knit, so many purl, wherever in the rib it begins."""
    if len(columns) != knit + purl:
        return False
    return "".join(columns) in ("k" * knit + "p" * purl) * 2


def _face(name: str) -> str:
    stitch = stitch_named(name)
    return stitch.face if stitch else ""


def _misnamed(pattern: StitchPattern, written: Written, ledger: Ledger) -> None:
    ledger.add(
        "misnamed",
        f"{pattern.name} calls itself {pattern.label}, and this line is none",
        written.span,
        line=written.text,
        mend="correct the line, or call it something else",
    )
