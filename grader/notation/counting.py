"""Counting a line over a stretch of stitches: filling formulas, resolving runs, splitting at joins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import lru_cache
from typing import Any

from grader.notation.tree import Count, Group, Item, Line, Op, PickUp, Reach, Repeat, Run
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.stitches import stitch_named


class MisfitError(ValueError):
    """A line that asks for more or fewer stitches than there are."""

    def __init__(self, asked: int, there: int) -> None:
        super().__init__(f"asks for {asked} sts where there are {there}")
        self.asked, self.there = asked, there


class CrowdedError(MisfitError):
    """A line that makes more stitches, or has more to work, than the budget holds."""

    def __init__(self, limit: str, found: int, there: int) -> None:
        super().__init__(found, there)
        self.args = ("; ".join(too_much(limit, found)),)


class SplitError(ValueError):
    """A stitch or repeat that would lie across the join of two needles."""


def fill(tree: Any, value: Callable[[str], int]) -> Any:
    """The same tree with every formula replaced by its whole number."""
    if isinstance(tree, tuple):
        return tuple(fill(each, value) for each in tree)
    if not is_dataclass(tree):
        return tree
    changes = {}
    for each in fields(tree):
        old = getattr(tree, each.name)
        if each.name in _COUNTS and isinstance(old, str):
            changes[each.name] = value(old)
        elif isinstance(old, tuple) or is_dataclass(old):
            new = fill(old, value)
            if new is not old:
                changes[each.name] = new
    return replace(tree, **changes) if changes and not isinstance(tree, type) else tree


_COUNTS = frozenset(
    {"count", "before", "times", "front", "back", "held", "worked", "first", "second", "stated", "corner"}
)


def _whole(count: Count | None) -> int:
    if not isinstance(count, int):
        raise TypeError(f"a formula is still unfilled: {count}")
    return count


def takes(item: Item) -> int:
    """Stitches a fixed item takes; `TypeError` for one that runs to somewhere."""
    if isinstance(item, Op):
        stitch = stitch_named(item.name)
        return stitch.takes * _whole(item.count) if stitch else 0
    if isinstance(item, Group | Repeat):
        return _whole(item.times) * sum(takes(each) for each in item.items)
    if isinstance(item, Run):
        raise TypeError("a run takes what is there")
    return 0


def leaves(item: Item) -> int:
    """Stitches a fixed item leaves on the needle."""
    if isinstance(item, Op):
        stitch = stitch_named(item.name)
        return stitch.leaves * _whole(item.count) if stitch else 0
    if isinstance(item, Group | Repeat):
        return _whole(item.times) * sum(leaves(each) for each in item.items)
    return _whole(item.count) if isinstance(item, PickUp) else 0


def operations(items: tuple[Item, ...]) -> int:
    """How many stitches and other things there are to work in items with every count said, one by one.

    `TypeError` where a formula is still to be filled in. A run or an open repeat counts once as it stands.
    """
    found = 0
    for item in items:
        if isinstance(item, Group | Repeat):
            found += (1 if item.times is None else _whole(item.times)) * max(operations(item.items), 1)
        elif isinstance(item, Op | PickUp):
            found += max(_whole(item.count), 1)
        else:
            found += 1
    return found


def is_flexible(item: Item) -> bool:
    """True for an item whose count depends on the stitches there."""
    return isinstance(item, Run) or (isinstance(item, Repeat) and item.reach is not None)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A fixed item of a resolved line; `flexible` if it came from a run or an open repeat."""

    item: Item
    takes: int
    leaves: int
    flexible: bool = False


def _fixed(item: Item, flexible: bool = False) -> Stretch:
    return Stretch(item, takes(item), leaves(item), flexible)


@lru_cache(maxsize=8192)
def resolve(line: Line, total: int) -> tuple[Stretch, ...]:
    """The line over `total` stitches with every run counted; `MisfitError` if it does not come out even."""
    found = _resolved(line, total)
    made = sum(each.leaves for each in found)
    if made > max(allowed("stitches"), total):
        raise CrowdedError("stitches", made, total)
    work = operations(tuple(each.item for each in found))
    if work > max(allowed("operations"), total):
        raise CrowdedError("operations", work, total)
    return found


def _resolved(line: Line, total: int) -> tuple[Stretch, ...]:
    flexible = [item for item in line.items if is_flexible(item)]
    fixed = sum(takes(item) for item in line.items if not is_flexible(item))
    if not flexible:
        if fixed != total:
            raise MisfitError(fixed, total)
        return tuple(_fixed(item) for item in line.items)
    if len(flexible) > 1:
        raise MisfitError(fixed, total)
    room = total - fixed
    if room < 0:
        raise MisfitError(fixed, total)
    found: list[Stretch] = []
    for index, item in enumerate(line.items):
        if not is_flexible(item):
            found.append(_fixed(item))
            continue
        after = sum(takes(each) for each in line.items[index + 1 :])
        reach = item.reach if isinstance(item, Run | Repeat) else None
        if reach is None or _whole(reach.before) != after:
            raise MisfitError(total - after + (_whole(reach.before) if reach else 0), total)
        if isinstance(item, Run):
            found.append(_fixed(Op("k" if item.name == "patt" else item.name, room, colour=item.colour), True))
        elif isinstance(item, Repeat):
            each = sum(takes(inner) for inner in item.items)
            if each == 0 or room % each:
                raise MisfitError(fixed + (room // each if each else 0) * each, total)
            found.append(_fixed(Group(item.items, room // each), True))
    return tuple(found)


def repeat_of(line: Line) -> int:
    """The stitches of the open repeat of a line (1 if it has none or is a plain run)."""
    for item in line.items:
        if isinstance(item, Repeat) and item.reach is not None:
            return sum(takes(each) for each in item.items)
    return 1


def edge_of(line: Line) -> int:
    """The stitches of a line outside its open repeat."""
    return sum(takes(item) for item in line.items if not is_flexible(item))


@lru_cache(maxsize=8192)
def split(stretches: tuple[Stretch, ...], cuts: tuple[int, ...]) -> tuple[tuple[Stretch, ...], ...]:
    """Cut a resolved line where the needles join; `cuts` count stitches taken. `SplitError` if a stitch is cut.

    What adds stitches without taking any (a yarn over) at a join goes to the needle after it. A run
    that ends or begins at a join belongs to both needles, with no stitch on one of them, so that the
    words stay the same from round to round.
    """
    pieces: list[list[Stretch]] = [[]]
    used, waiting = 0, list(cuts)
    todo = list(stretches)
    while todo:
        stretch = todo.pop(0)
        while waiting and used >= waiting[0] and stretch.takes:
            pieces[-1].extend(_none_of(stretch))
            waiting.pop(0)
            pieces.append([])
        room = waiting[0] - used if waiting else stretch.takes
        if stretch.takes <= room:
            pieces[-1].append(stretch)
            used += stretch.takes
            if waiting and used == waiting[0] and todo:
                waiting.pop(0)
                pieces[-1].extend(_none_of(todo[0]))
                pieces.append(_none_of(stretch))
            continue
        first, rest = _cut(stretch, room)
        todo[0:0] = [*first, *rest]
    pieces.extend([] for _ in waiting)
    return tuple(tuple(piece) for piece in pieces)


def _none_of(stretch: Stretch) -> list[Stretch]:
    """The run with no stitch left of it; nothing for what is not a run."""
    if stretch.flexible and isinstance(stretch.item, Op):
        return [Stretch(replace(stretch.item, count=0), 0, 0, True)]
    return []


def _cut(stretch: Stretch, room: int) -> tuple[list[Stretch], list[Stretch]]:
    """Two lists of stretches, the first taking exactly `room` stitches (or up to one whole repetition)."""
    item = stretch.item
    if isinstance(item, Op) and takes(replace(item, count=1)) == 1:
        return (
            [_fixed(replace(item, count=room), stretch.flexible)],
            [_fixed(replace(item, count=_whole(item.count) - room), stretch.flexible)],
        )
    if isinstance(item, Group | Repeat):
        each = sum(takes(inner) for inner in item.items)
        whole = room // each if each else 0
        times = _whole(item.times)
        if whole:
            return (
                [_fixed(Group(item.items, whole), stretch.flexible)],
                [_fixed(Group(item.items, times - whole), stretch.flexible)],
            )
        rest = [_fixed(Group(item.items, times - 1), stretch.flexible)] if times > 1 else []
        return [_fixed(inner) for inner in item.items], rest
    raise SplitError("a stitch lies across two needles")


@lru_cache(maxsize=8192)
def reflow(stretches: tuple[Stretch, ...], to: str = "end") -> Line:
    """A printable line again: counted runs become "K to end" or "K to last 3 sts" where they were runs.

    `to` is what the end of the stretch is called: the end of a needle, or a marker.
    """
    items: list[Item] = []
    merged = _merged(stretches)
    for index, stretch in enumerate(merged):
        after = sum(each.takes for each in merged[index + 1 :])
        item = stretch.item
        if stretch.flexible and not any(each.flexible for each in merged[index + 1 :]):
            if isinstance(item, Op):
                items.append(Run(item.name, Reach(to, after), item.colour))
                continue
            if isinstance(item, Group):
                items.append(Repeat(item.items, Reach(to, after)))
                continue
        items.append(item)
    return Line(tuple(items))


def _merged(stretches: tuple[Stretch, ...]) -> list[Stretch]:
    """Neighbouring runs of one stitch become one."""
    out: list[Stretch] = []
    for stretch in stretches:
        last = out[-1] if out else None
        if (
            last
            and isinstance(last.item, Op)
            and isinstance(stretch.item, Op)
            and last.flexible
            and stretch.flexible
            and replace(last.item, count=1) == replace(stretch.item, count=1)
        ):
            out[-1] = _fixed(replace(last.item, count=_whole(last.item.count) + _whole(stretch.item.count)), True)
        else:
            out.append(stretch)
    return out
