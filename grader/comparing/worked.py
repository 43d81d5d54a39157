"""Whether two socks are the same stitches, whatever the words: compared by what the test-knit worked."""

from __future__ import annotations

from collections.abc import Sequence

from grader.models.record import Record, WorkedLine

_NOT_WORKED = ("note", "arrange", "rest", "rejoin")  # stitches change hands, none is made

Stitches = list[tuple[tuple[object, ...], int]]


def same_stitches(old: Sequence[Record], new: Sequence[Record]) -> bool:
    """True if both socks have the same stitches in the same order, in the same colours."""
    return [_stitches(record) for record in old] == [_stitches(record) for record in new]


def _stitches(record: Record) -> Stitches:
    """What each line made, with how often in a row: equal rounds count as one, however they are told."""
    told: Stitches = []
    for line in record.in_order():
        if line.kind in _NOT_WORKED and not line.loops:
            continue
        made = _of(line)
        if told and told[-1][0] == made:
            told[-1] = (made, told[-1][1] + line.times)
        else:
            told.append((made, line.times))
    return told


def _of(line: WorkedLine) -> tuple[object, ...]:
    shaping = tuple((each.before, each.taken, each.takes, each.name, each.width) for each in line.shaping)
    return (line.kind, line.side, bool(line.over), line.before, line.after, line.made, shaping, line.loops, line.yarns)
