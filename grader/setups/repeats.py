"""Writing out repeats: rounds over and over, until so many stitches are left, and the needles this forces."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from grader.models.instructions import PrintedLine
from grader.models.pattern import Step, Written
from grader.setups.colours import change_within
from grader.setups.desk import Desk
from grader.setups.holding import OFF_THE_CIRCULAR, ONTO_THE_CIRCULAR, SET_OF_5
from grader.setups.rounds import CHANGED, Key, how_often, patterns_of, work_round, write_rounds

MOST_IN_TURN = 12  # passes that may come again in turn: a stitch pattern beside decreases


def write_rounds_until(desk: Desk, step: Step, key: Key) -> None:
    """`round` and `rounds`: so often, or until so many stitches are left."""
    if step.until is None:
        write_rounds(desk, step, key)
        return
    once = replace(step, until=None, times=None, say=None, why=None, check=None, leaves=())
    write_repeat(desk, replace(step, steps=(once,)), key)


def write_repeat(desk: Desk, step: Step, key: Key) -> None:
    """`repeat`: its rounds in order, so often or until so many stitches are left."""
    target = desk.count(step.until.stitches, step.span) if step.until and step.until.stitches else None
    wanted = desk.count(step.times, step.span, "rounds") if step.times is not None else None
    if target is None and wanted is None:
        raise desk.refuse("repeat", "say how often to repeat, or until how many sts", step.span)
    if target == desk.hands.total or wanted == 0:
        return
    say, why, check = (_words_of(desk, step, which) for which in ("say", "why", "check"))
    if say or why:  # said once, before whatever the needles make of the repeat
        desk.put_words((*key, -5), say=say, why=why)
    course = _Course(
        desk,
        step,
        key,
        phase=0 if desk.hands.setup == desk.setup or desk.hands.waiting else CHANGED,
        turn=_turn_of(desk, step),
    )
    passes = 0
    while (desk.hands.total != target) if target is not None else (passes < (wanted or 0)):
        lost = desk.hands.total
        course.change_needles()
        course.work()
        passes += 1
        if target is not None and (
            (desk.hands.total - target) * (lost - target) < 0 or abs(desk.hands.total - target) >= abs(lost - target)
        ):
            raise desk.refuse(
                "until",
                f"the repeat never comes to {target} sts: it goes from {lost} to {desk.hands.total}",
                step.span,
                expected=str(target),
                found=str(desk.hands.total),
            )
    course.put(last=True)
    course.count_from_the_end()
    if _wide_enough(desk):
        _onto_the_circular(desk, step, (*key, 2 * CHANGED - 1))
    if check:
        desk.put_words((*key, 2 * CHANGED), check=check)


@dataclass(slots=True)
class _Course:
    """The passes of a repeat as they are worked, each with the stitches after it, until they are put into blocks.

    Passes in the same words make one block, and so do passes whose words come again in turn. `phase` numbers the
    blocks.
    """

    desk: Desk
    step: Step
    key: Key
    phase: int
    turn: int = 1
    passes: list[tuple[tuple[PrintedLine, ...], int]] = field(default_factory=list)

    def work(self) -> None:
        """One pass more. Where stitches must be moved first, what was worked before stands before that."""
        before = len(self.desk.blocks)
        lines = _one_pass(self.desk, self.step, (*self.key, self.phase, 2))
        moved = self.desk.blocks[before:]
        del self.desk.blocks[before:]
        if moved:
            self.put(last=False)
            self.desk.blocks += [replace(block, key=(*self.key, self.phase, -1, *block.key[-1:])) for block in moved]
        self.passes.append((lines, self.desk.hands.total))

    def put(self, last: bool) -> None:
        """What was worked so far, as blocks."""
        at = 0
        while at < len(self.passes):
            turn, times = _in_turn([_words(lines) for lines, _ in self.passes[at:]], self.turn)
            end = at + turn * times
            self.desk.put(
                (*self.key, self.phase, 0),
                tuple(line for lines, _ in self.passes[at : at + turn] for line in lines),
                self.step,
                times=times,
                until=self.passes[end - 1][1] if self.step.until else None,
                stated=self.passes[end - 1][1],
                last=False,
                first=False,
                leaves=self.desk.regions(self.step.leaves) if last and end == len(self.passes) else (),
            )
            at = end
            self.phase += 1
        self.passes = []

    def count_from_the_end(self) -> None:
        """Number the blocks back from the last on the same needles: there sizes are alike, if not at the beginning.

        A stitch pattern goes the other way: it is at the same round when the repeat begins.
        """
        inner = len(self.key)
        mine = [place for place, block in enumerate(self.desk.blocks) if block.key[:inner] == self.key]
        phases = {place: self.desk.blocks[place].key[inner] for place in mine}
        if any(line.fabric for place in mine for line in self.desk.blocks[place].lines):
            return
        for place, phase in phases.items():
            last = max(each for each in phases.values() if each // CHANGED == phase // CHANGED) % CHANGED
            if phase >= 0:
                rest = self.desk.blocks[place].key[inner + 1 :]
                key = (*self.key, phase + CHANGED // 2 - last, *rest)
                self.desk.blocks[place] = replace(self.desk.blocks[place], key=key)

    def change_needles(self) -> None:
        """Off the small circular needle before too few stitches are left for it; onto it when there are enough."""
        if _too_few_for_circular(self.desk, self.step, self.key):
            self.put(last=False)
            self.desk.hands.change_to(SET_OF_5)
            key = (*self.key, self.phase, -1)
            self.desk.arrange(key, "Change to double-pointed needles", self.step.span, OFF_THE_CIRCULAR)
            self.phase += CHANGED
        if _wide_enough(self.desk):
            self.put(last=False)
            _onto_the_circular(self.desk, self.step, (*self.key, self.phase, -1))
            self.phase += CHANGED


def _turn_of(desk: Desk, step: Step) -> int:
    """After how many passes the stitch patterns of a repeat begin anew."""
    worked = [(how_often(desk, inner)[0], inner) for inner in step.steps if desk.holds(inner.when)]
    lengths = [len(pattern.rounds) for _, inner in worked for pattern in patterns_of(desk, inner)]
    cycle, rounds = math.lcm(*lengths), sum(number for number, _ in worked)
    return cycle // math.gcd(cycle, rounds) if rounds else 1


def _in_turn(words: list[list[str]], turn: int) -> tuple[int, int]:
    """How many passes come again in turn from here, and how often they do: (1, 1) where the next is another.

    A whole `turn` of the stitch pattern stays together even where it comes but once.
    """
    best = (1, 1)
    if 1 < turn <= len(words) and (len(words) == turn or words[0] == words[turn]):
        best = (turn, 1)
    for length in range(1, min(MOST_IN_TURN, len(words) // 2) + 1):
        times = 1
        while words[times * length : (times + 1) * length] == words[:length]:
            times += 1
        if times > 1 and length * times > best[0] * best[1]:
            best = (length, times)
    return best


def _words(lines: tuple[PrintedLine, ...]) -> list[str]:
    return [line.text for line in lines]


def _one_pass(desk: Desk, step: Step, key: Key) -> tuple[PrintedLine, ...]:
    """The rounds of one pass of a repeat, those left out that this size does not work."""
    lines: list[PrintedLine] = []
    for place, inner in enumerate(step.steps):
        if not desk.holds(inner.when):
            continue
        number, _ = how_often(desk, inner)
        lines += change_within(desk, step, inner, first=not lines) if number else ()
        lines += [work_round(desk, inner, (*key, place)) for _ in range(number)]
    if not lines:
        raise desk.refuse("repeat", "there is nothing to repeat in this size", step.span)
    return tuple(lines)


def _words_of(desk: Desk, step: Step, which: str) -> list[Written]:
    """What the steps inside a repeat say, explain or check, and the repeat itself."""
    told = [getattr(each, which) for each in (step, *step.steps) if desk.holds(each.when)]
    if which == "say":
        own = (each for inner in step.steps for each in inner.overrides if each.setup == desk.hands.setup.name)
        told += [each.say for each in own]
    return [each for each in told if each]


def _wide_enough(desk: Desk) -> bool:
    """True if a sock that was begun on other needles now reaches round the small circular one."""
    return bool(desk.hands.waiting) and desk.hands.total >= desk.hands.waiting


def _onto_the_circular(desk: Desk, step: Step, key: Key) -> None:
    desk.hands.change_to(desk.setup)
    desk.hands.waiting = 0
    desk.arrange(key, "Change to the short circular needle", step.span, ONTO_THE_CIRCULAR)


def _too_few_for_circular(desk: Desk, step: Step, key: Key) -> bool:
    """True if a pass more would leave too few stitches to reach round the small circular needle."""
    if not desk.hands.setup.marker:
        return False
    trial = Desk(
        desk.pattern, desk.graded, desk.hands.snapshot(), desk.setup, desk.terms, desk.units, desk.section, desk.ledger
    )
    _one_pass(trial, step, key)
    if trial.hands.total >= desk.hands.total:
        return False
    return trial.hands.total < desk.pattern.fewest_on_circular
