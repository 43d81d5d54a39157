"""Printing the tree in the house style: K and P in capitals, all else as the trade writes it."""

from __future__ import annotations

import itertools
from functools import lru_cache

from grader.notation.tree import (
    BindOff,
    CastOn,
    Change,
    Count,
    Gather,
    Graft,
    Group,
    Item,
    Line,
    Mark,
    Op,
    Open,
    Part,
    PickUp,
    Reach,
    Rejoin,
    Repeat,
    Rest,
    Round,
    Run,
    Statement,
    TakeOff,
    WasteYarn,
)
from grader.vocabulary.stitches import SINGLES
from grader.vocabulary.wording import TERMS, joined

_CAPITALS = {"k": "K", "p": "P", "patt": "in pattern"}
START_MARKER = ", pm for start of round"
_ONCE_TWICE = {1: "once", 2: "twice"}


def print_count(count: Count) -> str:
    """A number, or a formula in braces."""
    return str(count) if isinstance(count, int) else f"{{{count}}}"


def print_sts(count: Count) -> str:
    """ "1 st", "2 sts"."""
    return f"{print_count(count)} {'st' if count == 1 else 'sts'}"


def print_times(count: Count) -> str:
    """ "once", "twice", "3 times"."""
    return (
        _ONCE_TWICE.get(count, f"{print_count(count)} times")
        if isinstance(count, int)
        else f"{print_count(count)} times"
    )


def print_reach(reach: Reach) -> str:
    """ "to end", "to last 3 sts", "to 1 st before gap"."""
    name = {"wrapped": "wrapped st", "end": "end"}.get(reach.to, reach.to)
    if reach.before == 0:
        return f"to {name}"
    if reach.to == "end":
        return "to last st" if reach.before == 1 else f"to last {print_sts(reach.before)}"
    return f"to {print_sts(reach.before)} before {name}"


def _op(item: Op, opening: bool) -> str:
    if item.name in SINGLES:
        name = _CAPITALS.get(item.name, "Sl" if opening else "sl")
        text = f"{name}{print_count(item.count)}"
    else:
        text = item.name
    if item.manner:
        text = f"{text} {item.manner}"
    if item.colour:
        text = f"{text} {item.colour}"
    return f"{text} {item.remark}" if item.remark else text


def print_item(item: Item, opening: bool = False, alone: bool = False) -> str:
    """One item; `opening` capitalises a slip, `alone` drops "to end" after a lone K or P."""
    if isinstance(item, Op):
        return _op(item, opening)
    if isinstance(item, Run):
        name = _CAPITALS[item.name]
        text = name if alone and item.reach == Reach() else f"{name} {print_reach(item.reach)}"
        return f"{text} in {item.colour}" if item.colour else text
    if isinstance(item, Repeat):
        inner = print_items(item.items, True)
        if item.reach is not None:
            return f"*{inner}; rep from * {print_reach(item.reach)}"
        if isinstance(item.times, str):
            return f"*{inner}* {{{item.times}}} times"
        return f"*{inner}; rep from * {_more(item.times)}"
    if isinstance(item, Group):
        return f"({print_items(item.items)}) {print_times(item.times)}"
    if isinstance(item, PickUp):
        edge = f"{item.edge} edge" if item.edge else "edge"
        corner = "" if item.corner == 1 else f" including {print_count(item.corner)} in the corner"
        what = f"{print_sts(item.count)} along the {edge} of the {item.piece}{corner}"
        return f"{'P' if opening else 'p'}ick up and knit {what}"
    if isinstance(item, Mark):
        return f"{item.kind} for start of round" if item.start else item.kind
    return "w&t" if item.wrap else "turn"


def _more(times: int | None) -> str:
    return {2: "once more", 3: "twice more"}.get(times or 0, f"{(times or 1) - 1} more times")


def print_items(items: tuple[Item, ...], opening: bool = False) -> str:
    """Items with commas between; slips inside a repeat keep their capital as at the start of a line."""
    return ", ".join(print_item(item, opening and index == 0, len(items) == 1) for index, item in enumerate(items))


def print_line(line: Line) -> str:
    """A line without label or full stop."""
    return print_items(line.items, opening=True)


def print_needles(needles: tuple[int, ...]) -> str:
    """ "Needle 1", "Needles 2 and 3", "Needles 1 to 4"."""
    if len(needles) == 1:
        return f"Needle {needles[0]}"
    if len(needles) > 2 and all(b - a == 1 for a, b in itertools.pairwise(needles)):
        return f"Needles {needles[0]} to {needles[-1]}"
    return f"Needles {joined([str(number) for number in needles])}"


def _part(part: Part, last: bool) -> str:
    text = print_line(part.line)
    if part.each:
        label = "Each needle"
    elif part.needles:
        label = print_needles(part.needles) + (f" ({part.region})" if part.region else "")
    elif part.region:
        label = part.region.capitalize()
    else:
        return text
    return f"{label}: {text}" + ("" if last else ".")


def print_distribution(needles: tuple[int, ...], shortest: bool = True) -> str:
    """ "16 sts on each of 4 needles", or the counts one by one where they differ (or `shortest` is not asked for)."""
    if len(needles) == 1:
        return f"{print_sts(needles[0])} on one needle"
    if shortest and len(set(needles)) == 1:
        return f"{print_sts(needles[0])} on each of {len(needles)} needles"
    numbers = "1 and 2" if len(needles) == 2 else f"1 to {len(needles)}"
    return f"{joined([str(count) for count in needles])} sts on needles {numbers}"


def _cast_on(statement: CastOn) -> str:
    text = f"Cast on {print_sts(statement.count)}"
    if statement.needles:
        text += f": {print_distribution(statement.needles, shortest=False)}"
    if statement.joined:
        text += ". Join in the round" + (START_MARKER if statement.marker else "")
    return text


def _rest(statement: Rest) -> str:
    other = "first" if statement.which == "last" else "last"
    return (
        f"Leave the {statement.which} {print_sts(statement.held)} of the round on hold for the {statement.held_for};"
        f" the {statement.worked_for} is worked on the {other} {print_count(statement.worked)}"
    )


def _open(statement: Open) -> str:
    first, second = (
        f"{print_count(count)} {region} {'st' if count == 1 else 'sts'}"
        for count, region in ((statement.first, statement.first_for), (statement.second, statement.second_for))
    )
    spread = f": {print_distribution(statement.needles, shortest=False)}" if statement.needles else ""
    return f"Take out the waste yarn and take up {first} and {second}{spread}{START_MARKER if statement.marker else ''}"


@lru_cache(maxsize=8192)
def print_statement(statement: Statement, terms: str = "UK") -> str:
    """One printed line in UK or US terms, without a full stop at its end."""
    if isinstance(statement, Round):
        text = " ".join(_part(part, part is statement.parts[-1]) for part in statement.parts)
        return text if statement.stated is None else f"{text} ({print_sts(statement.stated)})"
    if isinstance(statement, CastOn):
        return _cast_on(statement)
    if isinstance(statement, BindOff):
        verb = TERMS[terms]["bind_off"].capitalize()
        return f"{verb} all sts" if statement.count is None else f"{verb} {print_sts(statement.count)}"
    if isinstance(statement, Graft):
        return f"Graft {print_sts(statement.front)} to {print_sts(statement.back)}"
    if isinstance(statement, Gather):
        return f"Draw the yarn through the remaining {print_sts(statement.count)} and fasten it"
    if isinstance(statement, Rest):
        return _rest(statement)
    if isinstance(statement, Rejoin):
        return f"Take the {print_count(statement.count)} {statement.region} sts back into the work"
    if isinstance(statement, Change):
        return f"{statement.how} {statement.colour}"
    if isinstance(statement, TakeOff):
        return "Take off the markers within the round"
    if isinstance(statement, WasteYarn):
        first = f"the first {print_sts(statement.count)} of the round, those of the {statement.region},"
        return f"Knit {first} with waste yarn and slip them back onto the left needle"
    if isinstance(statement, Open):
        return _open(statement)
    return f"{statement.how}: {print_distribution(statement.needles)}{START_MARKER if statement.marker else ''}"
