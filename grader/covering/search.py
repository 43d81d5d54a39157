"""The largest cover by so many sets, exactly: which N socks serve the most feet.

Maximum coverage is solved by branch and bound with a Lagrangian bound. Each cell of feet has a price between
nothing and its weight: a chosen sock earns the prices of the cells it serves, and what a cell weighs above its
price is given for nothing. For any prices the N dearest socks, with what is given away, are worth at least as much
as the best N socks can serve, so that a branch whose bound doesn't pass the best found yet can be left. Prices
are whole numbers (`_SCALE` to a foot), so that nothing rests on rounding. After Fisher, The Lagrangian relaxation
method for solving integer programming problems, Management Science 27 (1981); status: memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

_SCALE = 1 << 12
_ROOT_ROUNDS, _BRANCH_ROUNDS = 400, 30


def largest_cover(sets: Sequence[frozenset[int]], weights: Sequence[int], count: int) -> tuple[int, ...]:
    """The indices, in order, of at most `count` sets whose union weighs the most; the proof is complete.

    `weights` belong to the members 0, 1, 2 and so on, whole and not negative. Sets without which the
    union weighs as much are left out, so that there may be fewer.
    """
    if count < 1:
        return ()
    every = _merged(sets, weights)  # cells first: socks are compared by a few hundred cells, not by thousands of feet
    useful = _undominated(every[0])
    members, merged = _merged([every[0][each] for each in useful], every[1])
    search = _Search([tuple(sorted(each)) for each in members], merged, count)
    search.run()
    return _needed(sets, weights, sorted(useful[each] for each in search.best))


def _needed(sets: Sequence[frozenset[int]], weights: Sequence[int], chosen: list[int]) -> tuple[int, ...]:
    """The chosen sets less those without which the others weigh as much."""
    worth = weight_of(sets, weights, chosen)
    for index in list(chosen):
        others = [each for each in chosen if each != index]
        if weight_of(sets, weights, others) == worth:
            chosen = others
    return tuple(chosen)


def weight_of(sets: Sequence[frozenset[int]], weights: Sequence[int], chosen: Sequence[int]) -> int:
    """What the union of the chosen sets weighs."""
    return sum(weights[member] for member in frozenset().union(*(sets[each] for each in chosen)))


def _undominated(sets: Sequence[frozenset[int]]) -> list[int]:
    """The sets that are no part of another; of equal ones the first."""
    order = sorted(range(len(sets)), key=lambda each: (-len(sets[each]), each))
    kept: list[int] = []
    for index in order:
        if sets[index] and not any(sets[index] <= sets[other] for other in kept):
            kept.append(index)
    return sorted(kept)


def _merged(sets: Sequence[frozenset[int]], weights: Sequence[int]) -> tuple[list[frozenset[int]], list[int]]:
    """The sets over cells: members that lie in the same sets are one cell, with their weights added up."""
    within: dict[int, list[int]] = {}
    for index, each in enumerate(sets):
        for member in each:
            within.setdefault(member, []).append(index)
    cells: dict[tuple[int, ...], int] = {}
    for member in sorted(within):
        key = tuple(within[member])
        cells[key] = cells.get(key, 0) + weights[member]
    merged: list[set[int]] = [set() for _ in sets]
    for cell, key in enumerate(cells):
        for index in key:
            merged[index].add(cell)
    return [frozenset(each) for each in merged], list(cells.values())


@dataclass(slots=True)
class _Search:
    """The state of one search: the cells of each set, the best choice yet, and what it weighs."""

    sets: list[tuple[int, ...]]
    weights: list[int]
    count: int
    best: tuple[int, ...] = ()
    worth: int = -1
    holders: list[list[int]] = field(default_factory=list)

    def run(self) -> None:
        """Leave the best choice in `best`."""
        self.holders = [[] for _ in self.weights]
        for index, cells in enumerate(self.sets):
            for cell in cells:
                self.holders[cell].append(index)
        self._consider(self._greedy())
        if len(self.sets) > self.count:
            prices = [weight * _SCALE // (1 + len(self.holders[cell])) for cell, weight in enumerate(self.weights)]
            self._branch((), frozenset(range(len(self.sets))), prices, _ROOT_ROUNDS)

    def _greedy(self, chosen: tuple[int, ...] = ()) -> tuple[int, ...]:
        """One set after the other, each the one that adds the most."""
        covered = {cell for each in chosen for cell in self.sets[each]}
        while len(chosen) < min(self.count, len(self.sets)):
            open_to = [each for each in range(len(self.sets)) if each not in chosen]
            more = max(open_to, key=lambda each: (self._adds(each, covered), -each))
            chosen = (*chosen, more)
            covered.update(self.sets[more])
        return chosen

    def _adds(self, index: int, covered: set[int]) -> int:
        return sum(self.weights[cell] for cell in self.sets[index] if cell not in covered)

    def _consider(self, chosen: tuple[int, ...]) -> None:
        worth = sum(self.weights[cell] for cell in {cell for each in chosen for cell in self.sets[each]})
        if worth > self.worth:
            self.worth, self.best = worth, tuple(sorted(chosen))

    def _branch(self, taken: tuple[int, ...], free: frozenset[int], prices: list[int], rounds: int) -> None:
        """Every choice that holds `taken` and otherwise only `free` sets is looked at, or bounded away."""
        while True:
            left = self.count - len(taken)
            if left == 0 or len(free) <= left:
                self._consider((*taken, *sorted(free)) if left else taken)
                return
            covered = {cell for each in taken for cell in self.sets[each]}
            values, bound, prices = self._bound(taken, covered, free, prices, rounds)
            room = bound - (self.worth + 1) * _SCALE  # what a choice may lose and still be better than the best
            if room < 0:
                return
            ordered = sorted(free, key=lambda each: (-values[each], each))
            last, next_one = values[ordered[left - 1]], values[ordered[left]]
            barred = {each for each in ordered[left:] if last - values[each] > room}
            sure = tuple(each for each in ordered[:left] if values[each] - next_one > room)
            if not barred and not sure:
                break
            taken, free, rounds = (*taken, *sure), free - barred - set(sure), _BRANCH_ROUNDS
        # Of those the prices don't decide, the set that would add the most is tried both ways.
        doubtful = max(ordered, key=lambda each: (self._adds(each, covered), -each))
        self._branch((*taken, doubtful), free - {doubtful}, prices, _BRANCH_ROUNDS)
        self._branch(taken, free - {doubtful}, prices, _BRANCH_ROUNDS)

    def _bound(
        self, taken: tuple[int, ...], covered: set[int], free: frozenset[int], prices: list[int], rounds: int
    ) -> tuple[dict[int, int], int, list[int]]:
        """The lowest bound that some rounds of pricing find: the value of each free set, the bound, the prices."""
        left = self.count - len(taken)
        sure = sum(self.weights[cell] for cell in covered) * _SCALE
        reach = sorted({cell for each in free for cell in self.sets[each]} - covered)
        open_cells = {each: [cell for cell in self.sets[each] if cell not in covered] for each in sorted(free)}
        full = {cell: self.weights[cell] * _SCALE for cell in reach}
        now, best = list(prices), (dict[int, int](), -1, prices)
        eagerness, stale = 2.0, 0
        for _ in range(rounds):
            values = {each: sum(map(now.__getitem__, cells)) for each, cells in open_cells.items()}
            dearest = sorted(open_cells, key=lambda each: (-values[each], each))[:left]
            bound = sure + sum(values[each] for each in dearest) + sum(full[cell] - now[cell] for cell in reach)
            self._consider((*taken, *dearest))
            if best[1] < 0 or bound < best[1]:
                best, stale = (values, bound, list(now)), 0
            else:
                stale += 1
                if stale > 8:
                    eagerness, stale, now = eagerness / 2, 0, list(best[2])
            if bound < (self.worth + 1) * _SCALE or eagerness < 0.002:
                break
            times = dict.fromkeys(reach, 0)
            for each in dearest:
                for cell in open_cells[each]:
                    times[cell] += 1
            # A cell served more than once costs too much, one not served too little (unless it is given away).
            slope = {cell: times[cell] - (1 if now[cell] < full[cell] else min(times[cell], 1)) for cell in reach}
            size = sum(each * each for each in slope.values())
            if not size:
                break
            step = eagerness * (bound - self.worth * _SCALE) / size
            for cell in reach:
                if slope[cell]:
                    now[cell] = max(0, min(full[cell], now[cell] - round(step * slope[cell])))
        return best
