"""Drawing single mistakes at random, every kind as often as every other as long as it lasts.

The mistakes themselves: `words` within a line, `in_pattern` in a pattern file, `in_print` in one printed sock.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from typing import Protocol, TypeVar

from grader.models.instructions import Instructions

from .in_pattern import pattern_slips
from .in_print import Misprint, misprints
from .words import Slip


class Kinded(Protocol):
    """Anything with the name of its kind of mistake."""

    @property
    def kind(self) -> str: ...


Fault = TypeVar("Fault", bound=Kinded)


def drawn_slips(text: str, chance: random.Random, others: Sequence[Slip] = ()) -> Iterator[Slip]:
    """The single mistakes of a pattern file and `others` in random order, without return."""
    yield from _in_turn([*pattern_slips(text), *others], chance)


def drawn_misprints(socks: Sequence[Instructions], chance: random.Random) -> Iterator[tuple[int, Misprint]]:
    """Single mistakes of one sock of many, with the place of that sock; without end, and seldom one twice."""
    known: dict[int, list[Misprint]] = {}
    while True:
        place = chance.randrange(len(socks))
        if place not in known:
            known[place] = list(misprints(socks[place]))
        kind = chance.choice(sorted({fault.kind for fault in known[place]}))
        yield place, chance.choice([fault for fault in known[place] if fault.kind == kind])


def _in_turn(faults: Sequence[Fault], chance: random.Random) -> Iterator[Fault]:
    """Shuffled kind by kind, then dealt round."""
    piles: dict[str, list[Fault]] = {}
    for fault in faults:
        piles.setdefault(fault.kind, []).append(fault)
    for pile in piles.values():
        chance.shuffle(pile)
    while piles:
        for kind in sorted(piles):
            yield piles[kind].pop()
            if not piles[kind]:
                del piles[kind]
