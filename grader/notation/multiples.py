"""What the rounds of a stitch pattern ask of the stitches they are worked over: multiple, edge, or a fixed width."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from grader.notation.counting import edge_of, is_flexible, leaves, repeat_of, takes
from grader.notation.reading import read_line
from grader.notation.tokens import NotationError
from grader.notation.tree import Group, Item, Line, Op, Repeat, Round
from grader.vocabulary.congruences import Congruence, common


@dataclass(frozen=True, slots=True)
class Multiple:
    """Stitches of a repeat (1 for a panel or a plain fabric), those at its edges, and a panel's width (0 for others).

    `edge` is the smallest count beside the repeats into which every round goes.
    """

    repeat: int = 1
    edge: int = 0
    width: int = 0

    def of(self, count: int) -> int:
        """How many of `count` stitches the pattern takes where the rest may be worked plain at its sides."""
        if self.width:
            return self.width if self.width <= count else 0
        return max(count - self.edge, 0) // self.repeat * self.repeat + self.edge if count >= self.edge else 0


def line_of(text: str) -> Line | None:
    """The line of a round written without needles or regions; None for anything else."""
    try:
        statement = read_line(text)
    except NotationError:
        return None
    return statement.parts[0].line if isinstance(statement, Round) and len(statement.parts) == 1 else None


def has_open_repeat(line: Line) -> bool:
    """True if the line repeats as far as its stretch goes."""
    return any(isinstance(item, Repeat) and item.reach is not None for item in line.items)


def fixed_width(line: Line) -> int | None:
    """Stitches of a line that counts them all; None where it goes as far as its stretch, or holds a formula."""
    try:
        return None if any(is_flexible(item) for item in line.items) else sum(takes(item) for item in line.items)
    except TypeError:
        return None


def asks(line: Line) -> Congruence | None:
    """The numbers of stitches into which a line with a run or an open repeat goes; None for a fixed line."""
    if not any(is_flexible(item) for item in line.items):
        return None
    try:
        return Congruence(Fraction(max(repeat_of(line), 1)), Fraction(edge_of(line)))
    except TypeError:  # a formula, which is another number in each size
        return None


def multiple_of_lines(lines: Iterable[Line], panel: bool = False) -> Multiple | None:
    """What all these rounds ask for together; None if no number of stitches suits them all.

    `panel` says that the rounds are a panel: their width is fixed, and there are no repeats.
    """
    known = tuple(lines)
    widths = {width for width in (fixed_width(line) for line in known) if width is not None}
    if panel and not any(has_open_repeat(line) for line in known):
        return Multiple(width=widths.pop()) if len(widths) == 1 else None
    demands = [demand for demand in (asks(line) for line in known) if demand is not None]
    together = common(demands)
    if together is None:
        return None
    least = max((int(demand.plus) for demand in demands), default=0)
    return Multiple(int(together.step), int(together.first_from(Fraction(least))))


def multiple_of(texts: Iterable[str], panel: bool = False) -> Multiple:
    """The same from the rounds as written; a plain fabric (1 and no edge) where they don't agree."""
    return _multiple_of(tuple(texts), panel)


@lru_cache(maxsize=512)
def _multiple_of(texts: tuple[str, ...], panel: bool) -> Multiple:
    lines = [line for line in map(line_of, texts) if line is not None]
    return multiple_of_lines(lines, panel) or Multiple()


def clean_cuts(lines: Iterable[Line], count: int) -> tuple[int, ...]:
    """Where `count` stitches may be parted over two needles in every one of the rounds.

    A cut is clean where no cable or decrease lies across it and where as many stitches are left before it as were
    taken, so that needles keep their counts. `lines` are the rounds with every count said.
    """
    cuts = set(range(1, count))
    for line in lines:
        clean: set[int] = set()
        took = left = 0
        for taking, leaving, whole in _one_by_one(line.items):
            took, left = took + taking, left + leaving
            if took == left and whole:
                clean.add(took)
        cuts &= clean
    return tuple(sorted(cuts))


def _one_by_one(items: tuple[Item, ...]) -> Iterator[tuple[int, int, bool]]:
    """What each operation takes and leaves, and whether a needle may end after it; repeats are unrolled.

    What only adds a stitch goes with the needle after it, unless it ends a repeat.
    """
    for item in items:
        if isinstance(item, Group | Repeat) and isinstance(item.times, int):
            for _ in range(item.times):
                yield from _one_by_one(item.items)
                yield 0, 0, True
        elif isinstance(item, Op) and isinstance(item.count, int) and item.count:
            for _ in range(item.count):
                yield takes(item) // item.count, leaves(item) // item.count, takes(item) > 0
        else:
            yield takes(item), leaves(item), takes(item) > 0


def left_between(line: Line, ends: tuple[int, ...]) -> list[int]:
    """What a line with every count said leaves of each stretch; `ends` count stitches taken before each next stretch.

    A decrease that lies across an end belongs to the stretch in which it begins.
    """
    left, took, place = [0] * (len(ends) + 1), 0, 0
    for taking, leaving, _ in _one_by_one(line.items):
        while place < len(ends) and took >= ends[place] and (taking or leaving):
            place += 1
        left[place] += leaving
        took += taking
    return left
