"""Where on the foot the stitches are, and whether the words of the page agree with it.

A page names stretches of the round (heel, instep, sole), says which needle holds which, and where the round
starts. The hands follow these stretches from the cast-on through every line, so each such word can be checked.
"""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass
from functools import lru_cache

from grader.models.instructions import Regions
from grader.notation.tree import Arrange, Line, Op, Open, Part, PickUp, Rejoin, Rest, Round, Statement, WasteYarn
from grader.testknit.needles import Needles, Outcome
from grader.testknit.walking import Stuck
from grader.vocabulary.stitches import stitch_named

_SIDES = {"heel": "back", "sole": "back", "back": "back", "instep": "front", "front": "front"}
_START = re.compile(r"to the (start|centre|center|side) of the ([a-z][a-z _-]*)", re.I)
_STS = re.compile(r"\bthe (?:(\d+) )?([a-z][a-z _-]{0,70}?) sts\b", re.I)
_FROM = re.compile(r"\bthe (?:\d+ )?([a-z][a-z _-]{0,70}?) sts \(the (first|last) of the round\)", re.I)
_HOLDS = re.compile(r"needle (\d+) holds (\d+) ([a-z][a-z _-]{0,70}?) sts\b", re.I)
_WAIT = re.compile(
    r"(?:take off the markers?\. )?work the (?P<worked>[a-z][a-z _-]{0,70}?) to and fro in rows, turning at the end of"
    r" each, on (?:needle (?P<needle>\d++)|the circular)"
    r".*?; the (?P<held>[a-z][a-z _-]{0,70}?) sts wait on (?:needles? (?P<waits>[\d, and]+)|the cable)",
    re.I,
)


@dataclass(slots=True)
class Ring:
    """The stretches of the round from where the yarn is; after a pick-up only the one that `kept` its stitches."""

    spans: Regions = ()
    kept: tuple[str, int, int] | None = None

    def agree(self, claimed: Regions) -> None:
        """Take over the stretches a line speaks of; `Stuck` if they lie elsewhere. Other sizes are given anew."""
        if not claimed:
            return
        if self.kept:
            name, start, count = self.kept
            if name in totals(claimed) and (name, start, count) not in _placed(claimed):
                raise Stuck("regions", f"the {name} is not where the line has it", str(start))
        elif totals(self.spans) == totals(claimed) and _joined(self.spans) != _joined(claimed):
            raise Stuck("regions", "the round starts elsewhere", _told(self.spans), _told(claimed))
        elif _changed_side(self.spans, claimed):
            raise Stuck("regions", "what was at the back is now at the front", _told(self.spans), _told(claimed))
        self.spans, self.kept = claimed, None

    def rotate(self, forward: int) -> None:
        """The yarn moves on by so many stitches."""
        spans, left = list(self.spans), forward
        while spans and left:
            name, count = spans.pop(0)
            step = min(left, count)
            spans += [(name, step)]
            if count > step:
                spans.insert(0, (name, count - step))
            left -= step
        self.spans = _joined(tuple(spans))

    def pick_up(self, statement: Round, piece: str, outcome: Outcome, after_piece: bool) -> None:
        """Only what was not worked to and fro is still known after a pick-up, and where it now lies."""
        worked = 0 if after_piece else totals(self.spans).get(piece, 0)
        rest = [(name, count) for name, count in _joined(self.spans) if name != piece]
        self.spans, used, made = (), 0, 0
        for item in (item for part in statement.parts for item in part.line.items):
            if isinstance(item, PickUp) and isinstance(item.count, int):
                made += item.count
            elif isinstance(item, Op) and isinstance(item.count, int):
                if used == worked and len(rest) == 1 and self.kept is None:
                    self.kept = (rest[0][0], made, rest[0][1])
                stitch = stitch_named(item.name)
                used += stitch.takes * item.count if stitch else 0
                made += stitch.leaves * item.count if stitch else 0
        if self.kept:
            name, start, count = self.kept
            self.kept = (name, (start - outcome.forward) % outcome.after, count)

    def resize(self, name: str, count: int) -> None:
        """A piece worked to and fro has other stitches now."""
        self.spans = tuple((each, count if each == name else old) for each, old in self.spans)


def totals(spans: Regions) -> dict[str, int]:
    """The stitches of each stretch, one that the start cuts counted whole."""
    counts: dict[str, int] = {}
    for name, count in spans:
        counts[name] = counts.get(name, 0) + count
    return counts


@lru_cache(maxsize=8192)
def _lowered(spans: Regions) -> Regions:
    """The names as a printed line reads back, in small letters."""
    return tuple((name.lower(), count) for name, count in spans)


@lru_cache(maxsize=8192)
def _joined(spans: Regions) -> Regions:
    joined: list[tuple[str, int]] = []
    for name, count in spans:
        if joined and joined[-1][0] == name:
            joined[-1] = (name, joined[-1][1] + count)
        elif count:
            joined.append((name, count))
    return tuple(joined)


def _placed(spans: Regions) -> list[tuple[str, int, int]]:
    starts = itertools.accumulate((count for _, count in spans), initial=0)
    return [(name, start, count) for (name, count), start in zip(spans, starts, strict=False)]


def _changed_side(old: Regions, new: Regions) -> bool:
    """True where more than a quarter of the stitches would go from the back of the foot to its front, or back."""
    was, now = _side_of_each(old), _side_of_each(new)
    if len(was) != len(now):
        return False
    return 4 * sum("" != a != b != "" for a, b in zip(was, now, strict=True)) > len(was)


def _side_of_each(spans: Regions) -> list[str]:
    """For each stitch of the round back, front or ""."""
    sides: list[str] = []
    for name, count in spans:
        sides += [_SIDES.get(name.lower().split()[-1], "")] * count
    return sides


def _told(spans: Regions) -> str:
    return ", ".join(f"{name} {count}" for name, count in spans)


def _region_of(spans: Regions, start: int, count: int) -> str:
    """The stretch that holds all these stitches, or ""."""
    for name, at, size in _placed(_joined(spans)):
        if at <= start and start + count <= at + size:
            return name
    return ""


# -- what is said before a line is worked


def check_labels(statement: Statement, needles: Needles, spans: Regions) -> None:
    """`Stuck` where a line names a stretch that is not on that needle, or not of that size."""
    spans = _lowered(spans)
    if not spans:
        return
    if isinstance(statement, Round):
        for part in statement.parts:
            _check_part(part, needles, spans)
    elif isinstance(statement, Rest):
        _check_rest(statement, needles, spans)
    elif isinstance(statement, WasteYarn):
        if _joined(spans)[0] != (statement.region, statement.count):
            said = f"{statement.region} {statement.count}"
            raise Stuck("region", f"the round does not begin with these {statement.region} sts", _told(spans), said)
    elif isinstance(statement, Arrange):
        _check_arrange(statement, needles, spans)
    elif isinstance(statement, Rejoin):
        worked = needles.told[0].lower() if needles.told else ""
        if (statement.region, statement.count) not in [each for each in _joined(spans) if each[0] != worked]:
            said = f"{statement.region} {statement.count}"
            raise Stuck("region", f"these {statement.region} sts are not those on hold", _told(spans), said)
    elif isinstance(statement, Open):
        opened = ((statement.first_for, statement.first), (statement.second_for, statement.second))
        if _joined(spans) != opened:
            said = ", ".join(f"{name} {count}" for name, count in opened)
            raise Stuck("region", "other stitches come out of the waste yarn", _told(spans), said)


def _check_part(part: Part, needles: Needles, spans: Regions) -> None:
    if not part.region or needles.by_markers:
        return
    for number in part.needles:
        if 1 <= number <= len(needles.held):
            start, count = sum(needles.held[: number - 1]), needles.held[number - 1]
            there = _region_of(spans, start, count)
            if there != part.region:
                raise Stuck("region", f"needle {number} is not the {part.region}", there or "several", part.region)


def _check_rest(statement: Rest, needles: Needles, spans: Regions) -> None:
    if needles.on_hold:
        raise Stuck("rest", f"{needles.on_hold} sts are on hold already")
    wanted = ((statement.worked_for, statement.worked), (statement.held_for, statement.held))
    if _joined(spans) != (wanted if statement.which == "last" else wanted[::-1]):
        found = ", ".join(f"{name} {count}" for name, count in wanted)
        raise Stuck("rest", "the stitches to leave on hold are not these", _told(spans), found)


def _check_arrange(statement: Arrange, needles: Needles, spans: Regions) -> None:
    alike = needles.held == statement.needles and needles.by_markers == statement.marker
    if needles.by_markers:
        alike = statement.marker and statement.needles == (needles.total,) and needles.markers == ((0, "start"),)
    if alike and not needles.wrapped:
        raise Stuck("idle", "the line moves no stitch: they are on these needles already")
    named = [(count, name.lower()) for count, name in _STS.findall(statement.how)]
    sizes = totals(spans)
    ends = [
        (name.lower(), spans[0 if place == "first" else -1][0] != name.lower())
        for name, place in _FROM.findall(statement.how)
    ]
    if len({name for _, name in named}) != len(named):
        raise Stuck("region", "the line names the same stitches twice")
    for count, name in named:
        if name not in sizes or (count and int(count) != sizes[name]):
            raise Stuck("region", f"there are no {count} {name} sts here".replace("  ", " "), _told(spans))
        if (name, True) in ends:
            raise Stuck("region", f"the {name} sts are not there in the round", _told(spans))
        if "one needle" in statement.how:
            held = list(zip(itertools.accumulate(statement.needles, initial=0), statement.needles, strict=False))
            if not any(_region_of(spans, start, size) == name and size == sizes[name] for start, size in held):
                raise Stuck("needles", f"the {name} sts would not be on one needle", str(sizes[name]))


# -- what is said of the needles after it


def check_start(line: Line, spans: Regions) -> None:
    """`Stuck` where a part of a round says it ends somewhere else than it does."""
    remark = next((item.remark for item in line.items if isinstance(item, Op) and item.remark), "")
    match = _START.match(remark)
    if not match or not spans:
        return
    spans, place, region = _lowered(spans), match[1], match[2].lower()
    (first, before_end), (last, after_start) = spans[0], spans[-1]
    if place == "side":
        right = first != last
    elif place == "start":
        right = first == region and last != region
    else:
        right = first == last == region and abs(before_end - after_start) <= 1
    if not right:
        raise Stuck("start", f"this is not the {place} of the {region}", remark, _told(spans))


def misplaced(note: str, needles: Needles, spans: Regions) -> str:
    """What a note says wrongly of which needle holds what, or "" where it is right.

    A note may state no number that can't be checked here.
    """
    spans = _lowered(spans)
    shown = needles.shown()
    owners = [
        _region_of(spans, start, count)
        for start, count in zip(itertools.accumulate(shown, initial=0), shown, strict=False)
    ]
    waiting = _WAIT.match(note)
    if waiting:
        return _wrongly_waiting(waiting, owners, spans)
    held = [(int(number), int(count), name.lower()) for number, count, name in _HOLDS.findall(note)]
    if held:
        there = [(number, *each) for number, each in enumerate(zip(shown, owners, strict=True), start=1)]
        return "" if held == there else ", ".join(f"needle {number}: {count} {name}" for number, count, name in there)
    named = [(name.lower(), int(count)) for count, name in _STS.findall(note) if count]
    if named:
        return "" if tuple(named) == _joined(spans) else _told(spans)
    return "no such number" if re.search(r"\d", note) else ""


def _wrongly_waiting(match: re.Match[str], owners: list[str], spans: Regions) -> str:
    """Where a piece is worked and where the others wait, if it is not where the note has it."""
    worked, needle, held, waits = match["worked"].lower(), match["needle"], match["held"].lower(), match["waits"]
    right = [name for name, _ in spans] in ([worked, held], [held, worked])
    for name, said in ((worked, needle), (held, waits)):
        if said:
            numbers = [int(number) for number in re.findall(r"\d+", said)]
            right = right and numbers == [place for place, owner in enumerate(owners, start=1) if owner == name]
    return "" if right else ", ".join(f"needle {place}: {owner}" for place, owner in enumerate(owners, start=1))
