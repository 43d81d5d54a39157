"""Whether a regular expression can be read in linear time, told from its structure and not by a clock.

Python's engine tries one way after the other. It needs more than linear time where a text can be read in many ways
before it fails. The expression becomes an automaton whose states are its single characters (Glushkov), beside each
step the characters that may stand before and after it. More than one way there is

- without end (exponential) if a loop can be gone round in two ways by the same text;
- by a power of the length if a text can be read in a loop `p`, in another loop `q` behind it, and on the way from one
  to the other: each place may be where `p` ends and `q` begins (Weber and Seidl 1991, from memory).

An expression that is searched for begins with a loop over anything. A loop that may end the whole expression wherever
it stands fails never, so that the ways through it are not tried. Counted repeats up to `FEW` are written out; those up
to `BOUNDED` cost no more than a factor. Possessive loops leave off only where the
next character is none of theirs.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from re import _compiler, _constants, _parser  # type: ignore[attr-defined]
from typing import Any

FEW, BOUNDED = 8, 130
WHERE = {True: "searched from every place", False: "one loop ends where another may"}
_SAMPLES = "".join(map(chr, range(128))) + "éßÀ½¼–—−…\u00a0☐“”’中\u0085\u2028\u0660\u2009"
_LOOPS = (_constants.MAX_REPEAT, _constants.MIN_REPEAT, _constants.POSSESSIVE_REPEAT)
_CHARACTERS = (_constants.LITERAL, _constants.NOT_LITERAL, _constants.ANY, _constants.IN)
_ENDS = {
    _constants.AT_BEGINNING: ("behind", ""),
    _constants.AT_BEGINNING_STRING: ("behind", ""),
    _constants.AT_END: ("ahead", "\n"),
    _constants.AT_END_STRING: ("ahead", ""),
}


_KNOWN: dict[tuple[str, int, str], int] = {}  # the characters of an item, asked for over and over


@dataclass(frozen=True, slots=True)
class Place:
    """One character of the expression: those that fit (as bits), and how often its loop goes round at the most."""

    mask: int
    source: int
    target: int
    bound: int = 0  # 0: without end


@dataclass(slots=True)
class _Built:
    """States with their steps that take no character, each with what must stand behind and ahead."""

    steps: dict[int, list[tuple[int, int, int]]] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    states: int = 0

    def state(self) -> int:
        self.states += 1
        return self.states


class Expression:
    """One expression as an automaton; `how` is fullmatch, match or search (all that looks for a beginning)."""

    def __init__(self, pattern: str, flags: int = 0, how: str = "search") -> None:
        tree = _parser.parse(pattern, flags)
        self.tree_state, self.flags = tree.state, tree.state.flags
        self.samples = "".join(dict.fromkeys(_SAMPLES + "".join(each for each in pattern if ord(each) > 127)))
        self.edge = 1 << len(self.samples)  # the beginning or the end of the text, as a character that none is
        self.all = self.edge - 1
        self.any = self.all | self.edge
        self.built = _Built()
        self.groups: dict[int, tuple[int, int, int]] = {}
        self.bound = 0
        begin = self.built.state()
        self.prefix: Place | None = None
        if how == "search":
            self._character(begin, self.all, begin)
            self.prefix = self.built.places[0]
        self.end = self._several(tree, begin)
        self.whole = how == "fullmatch"

    # -- building

    def _step(self, source: int, target: int, behind: int = -1, ahead: int = -1) -> None:
        self.built.steps.setdefault(source, []).append((target, behind & self.any, ahead & self.any))

    def _character(self, source: int, mask: int, target: int) -> None:
        self.built.places.append(Place(mask, source, target, self.bound))

    def _several(self, items: Iterable[Any], source: int) -> int:
        for item in items:
            source = self._one(item, source)
        return source

    def _one(self, item: Any, source: int) -> int:
        kind, value = item
        target = self.built.state()
        if kind in _CHARACTERS:
            self._character(source, self._mask(item), target)
        elif kind in _LOOPS:
            self._loop(kind, *value, source, target)
        elif kind is _constants.BRANCH:
            for branch in value[1]:
                self._step(self._inner(branch, source), target)
        elif kind is _constants.SUBPATTERN:
            group, added, _, inner = value
            flags, self.flags, begun = self.flags, self.flags | added, len(self.built.places)
            self._step(self._inner(inner, source), target)
            self.flags = flags
            if group is not None:
                mask = 0
                for place in self.built.places[begun:]:
                    mask |= place.mask
                least, most = (min(int(width), FEW + 1) for width in inner.getwidth())
                self.groups[group] = (mask, least, most)
        elif kind is _constants.ATOMIC_GROUP:
            self._step(self._inner(value, source), target)
        elif kind is _constants.GROUPREF:
            mask, least, width = self.groups[value]
            for number in range(min(width, FEW)):
                if number >= least:
                    self._step(source, target)
                after = self.built.state()
                self._character(source, mask, after)
                source = after
            self._step(source, target)
            if width > FEW:
                self._character(source, mask, source)
        elif kind in (_constants.ASSERT, _constants.ASSERT_NOT):
            self._look(kind, *value, source, target)
        elif kind is _constants.AT:
            self._at(value, source, target)
        else:
            raise NotImplementedError(str(kind))
        return target

    def _inner(self, items: Iterable[Any], source: int) -> int:
        begin = self.built.state()
        self._step(source, begin)
        return self._several(items, begin)

    def _loop(self, kind: Any, least: int, most: int, inner: Any, source: int, target: int) -> None:
        leave = -1  # a possessive loop is left only where it can't go on
        if kind is _constants.POSSESSIVE_REPEAT and len(inner) == 1 and inner[0][0] in _CHARACTERS:
            leave = self.any & ~self._mask(inner[0])
        endless = most is _constants.MAXREPEAT
        for _ in range(min(least, FEW)):
            source = self._several(inner, source)
        if not endless and most <= FEW:
            for _ in range(most - least):
                self._step(source, target, ahead=leave)
                source = self._several(inner, source)
            self._step(source, target)
            return
        outer, again = self.bound, self.built.state()
        self.bound = 0 if endless or most > BOUNDED else most
        self._step(source, again)
        self._step(self._inner(inner, again), again)
        self._step(again, target, ahead=leave)
        self.bound = outer

    def _look(self, kind: Any, direction: int, inner: Any, source: int, target: int) -> None:
        single = [self._mask(each) for each in inner if each[0] in _CHARACTERS]
        at_first = self.prefix is not None and len(self.built.places) == 1
        if kind is _constants.ASSERT and direction < 0 and at_first and len(single) == len(inner):
            self._step(self._inner(inner, source), target)  # a search passes over it anyway: read as characters
            return
        masks = self._alternatives(inner)
        bare = len(inner) == len(single) == 1 or masks is not None
        mask = masks if masks is not None else single[-1 if direction < 0 else 0] if single else None
        edge = 0
        if kind is _constants.ASSERT_NOT:
            mask = self.any & ~mask if bare and mask is not None else None
        elif not bare and (not inner or inner[-1 if direction < 0 else 0][0] not in _CHARACTERS):
            mask = None
        known = -1 if mask is None else mask | edge
        self._step(source, target, **({"behind": known} if direction < 0 else {"ahead": known}))
        if direction > 0 and not bare:
            self._inner(inner, source)  # looked through each time, whatever comes of it

    def _alternatives(self, inner: Any) -> int | None:
        """The characters of a look-around that is nothing but one of several single characters."""
        if len(inner) != 1 or inner[0][0] is not _constants.BRANCH:
            return None
        branches = inner[0][1][1]
        if any(len(each) != 1 or each[0][0] not in _CHARACTERS for each in branches):
            return None
        mask = 0
        for each in branches:
            mask |= self._mask(each[0])
        return mask

    def _at(self, value: Any, source: int, target: int) -> None:
        words = self._mask_of(r"\w")
        if value in _ENDS:
            side, beside = _ENDS[value]
            if self.flags & re.MULTILINE:
                beside = "\n"
            self._step(source, target, **{side: self.edge | (self._mask_of("\n") if beside else 0)})
        elif value is _constants.AT_BOUNDARY:
            self._step(source, target, words, self.any & ~words)
            self._step(source, target, self.any & ~words, words)
        else:
            self._step(source, target, words, words)
            self._step(source, target, self.any & ~words, self.any & ~words)

    def _mask_of(self, text: str) -> int:
        return self._mask(_parser.parse(text, self.flags & re.ASCII)[0])

    def _mask(self, item: Any) -> int:
        key = (repr(item), self.flags, self.samples)
        if key not in _KNOWN:
            single = _compiler.compile(_parser.SubPattern(self.tree_state, [item]), self.flags)
            _KNOWN[key] = sum(1 << at for at, sign in enumerate(self.samples) if single.fullmatch(sign))
        return _KNOWN[key]

    # -- the automaton of its characters

    def ways(self, state: int, behind: int) -> Iterator[tuple[int, int, int]]:
        """Every way without a character from a state: where it leads, and what must stand behind and ahead."""
        todo: list[tuple[int, int, int, frozenset[tuple[int, int]]]] = [(state, behind, self.any, frozenset())]
        while todo:
            at, before, after, used = todo.pop()
            yield at, before, after
            for number, (target, mine, ahead) in enumerate(self.built.steps.get(at, ())):
                if (at, number) not in used and before & mine and after & ahead:
                    todo.append((target, before & mine, after & ahead, used | {(at, number)}))

    def follow(self) -> list[list[tuple[int, int, int]]]:
        """For each place those that may come next, with what may stand here and there; twice if by two ways."""
        by_source: dict[int, list[int]] = {}
        for number, place in enumerate(self.built.places):
            by_source.setdefault(place.source, []).append(number)
        found = []
        for place in self.built.places:
            after = [
                (number, before, ahead & self.built.places[number].mask)
                for state, before, ahead in self.ways(place.target, place.mask)
                for number in by_source.get(state, ())
            ]
            found.append([each for each in after if each[2]])
        return found

    def never_fails(self, place: Place, before: frozenset[Place] = frozenset()) -> bool:
        """True if the expression may end after this place, or goes on with what comes next to where it may."""
        if self.whole or place in before:
            return not self.whole
        covered = 0
        for state, behind, ahead in self.ways(place.target, place.mask):
            if behind != place.mask:
                continue
            if state == self.end:
                covered |= ahead
        if not covered:
            return False
        for state, behind, ahead in self.ways(place.target, place.mask):
            for other in self.built.places if covered != self.any else ():
                if other.source == state and behind == place.mask and self.never_fails(other, before | {place}):
                    covered |= other.mask & ahead
        return covered == self.any


def faults(pattern: str, flags: int = 0, how: str = "search") -> list[str]:
    """Why an expression may need more than linear time; nothing where it can't."""
    expression = Expression(pattern, flags, how)
    places, follow = expression.built.places, expression.follow()
    loops = _loops(follow)
    said: list[str] = []
    for loop in {id(each): each for each in loops.values()}.values():
        if _two_ways_round(loop, places, follow):
            said.append("exponential: a loop can be gone round in two ways by the same text")
    if said or len(set(loops.values())) < 2:
        return said
    matched = {loop for loop in set(loops.values()) if any(expression.never_fails(places[each]) for each in loop)}
    for p, q in itertools.permutations(loops, 2):
        if loops[p] is loops[q] or said:
            continue
        if loops[q] in matched:
            continue  # what fails behind such a place goes back to it and has matched
        if places[q].bound and not places[p].bound:
            continue  # a factor at the most
        at_first = places[p] is expression.prefix
        if _both_loops(p, q, loops, places, follow):
            said.append(f"quadratic: {WHERE[at_first]}")
    return said


def _loops(follow: list[list[tuple[int, int, int]]]) -> dict[int, frozenset[int]]:
    """Place -> all places of its loop, for those that stand in one."""
    reach = {at: _reached(at, follow) for at in range(len(follow))}
    found: dict[int, frozenset[int]] = {}
    for at in reach:
        if at in reach[at] and at not in found:
            loop = frozenset(other for other in reach[at] if at in reach[other])
            found.update(dict.fromkeys(loop, loop))
    return found


def _reached(begin: int, follow: list[list[tuple[int, int, int]]]) -> set[int]:
    found: set[int] = set()
    todo = [begin]
    while todo:
        for after, _, _ in follow[todo.pop()]:
            if after not in found:
                found.add(after)
                todo.append(after)
    return found


def _two_ways_round(loop: frozenset[int], places: list[Place], follow: list[list[tuple[int, int, int]]]) -> bool:
    """True if two walkers that read the same text from one place can part and meet there again."""
    inner = {at: [each for each in follow[at] if each[0] in loop] for at in loop}
    for begin in loop:
        todo = [(begin, begin, False)]
        seen = set(todo)
        while todo:
            first, second, parted = todo.pop()
            shared = places[first].mask & places[second].mask
            for (i, one), (j, other) in itertools.product(enumerate(inner[first]), enumerate(inner[second])):
                if not (one[2] & other[2] and shared & one[1] & other[1]):
                    continue
                apart = parted or one[0] != other[0] or (first == second and i != j)
                if apart and one[0] == other[0] == begin:
                    return True
                state = (one[0], other[0], apart)
                if state not in seen:
                    seen.add(state)
                    todo.append(state)
    return False


def _both_loops(
    p: int,
    q: int,
    loops: dict[int, frozenset[int]],
    places: list[Place],
    follow: list[list[tuple[int, int, int]]],
) -> bool:
    """True if one text leads from `p` to `p`, from `p` to `q`, and from `q` to `q`."""
    todo = [(p, p, q, places[p].mask & places[q].mask)]
    seen = {todo[0][:3]}
    while todo:
        a, b, c, last = todo.pop()
        for one, way, other in itertools.product(follow[a], follow[b], follow[c]):
            if one[0] not in loops[p] or other[0] not in loops[q]:
                continue
            now = one[2] & way[2] & other[2]
            if not (now and last & one[1] & way[1] & other[1]):
                continue
            if (one[0], way[0], other[0]) == (p, q, q):
                return True
            state = (one[0], way[0], other[0])
            if state not in seen:
                seen.add(state)
                todo.append((*state, now))
    return False
