"""Is the yarn at hand enough? The longest leg for which it does, by grading and knitting other legs, and contrasts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.yarn import Ball, Enough, Leg, YarnUse
from grader.pipeline import Checked, Progress, Sock, grade_all, work_one
from grader.vocabulary.bodies import Body
from grader.yarn_use import contrast_for, yarn_for_pair

_SHORTEST = (Fraction(1, 4), Fraction(1, 2), Fraction(3, 4))  # of the written leg, tried first
LONGEST = Fraction(3, 2)  # of the written leg; a leg much longer would need shaping for the calf


def is_it_enough(checked: Checked, ball: Ball, progress: Progress | None = None) -> tuple[Enough, ...]:
    """The answer for every size, in the setup that takes most; of several colours the first is asked after."""
    pattern = checked.pattern
    most: dict[int, tuple[Sock, YarnUse]] = {}
    for sock in checked.socks:
        use = main_use(pattern, yarn_for_pair(pattern, sock.record))
        if sock.graded.index not in most or use.metres_pair > most[sock.graded.index][1].metres_pair:
            most[sock.graded.index] = (sock, use)
    answers = []
    for done, (sock, use) in enumerate(most.values()):
        if progress:
            progress("trying legs", done, len(most))
        answers.append(_enough(pattern, sock, use, ball))
    return tuple(answers)


def main_use(pattern: Pattern, use: YarnUse) -> YarnUse:
    """What a pair takes of the one yarn, or of the first of several colours."""
    return use.by_colour[pattern.colours[0].name] if pattern.colours else use


def _enough(pattern: Pattern, sock: Sock, use: YarnUse, ball: Ball) -> Enough:
    have = ball.whole
    fits = use.metres_range[1] <= have
    return Enough(
        sock.graded.body.name,
        use,
        have,
        sock.graded.body.measures["leg_length"] if _hangs_on_leg(pattern, sock.graded) else None,
        longest_leg(pattern, sock.graded, sock.instructions.setup, have),
        None if fits or pattern.colours else contrast_for(use, have),
    )


def longest_leg(pattern: Pattern, graded: Graded, setup: str, have: float) -> Leg | None:
    """The longest leg with which a pair takes no more than `have` metres, even at the high end of its range.

    Other legs are graded, written out and knitted through, so it is right to a round, up to `LONGEST` times the written
    one. None where the leg of the pattern hangs on other measures, and where not even a quarter of it is short enough.
    """
    if not _hangs_on_leg(pattern, graded):
        return None
    written = graded.body.measures["leg_length"]
    per_cm = pattern.gauge.rounds

    @cache
    def tried(rounds: int) -> YarnUse | None:
        """What a leg of so many rounds takes, if it can be knitted from `have`."""
        use = _with_leg(pattern, graded, setup, Fraction(rounds) / per_cm)
        return use if use is not None and use.metres_range[1] <= have else None

    starts = (max(1, int(written * share * per_cm)) for share in _SHORTEST)
    low = next((rounds for rounds in starts if tried(rounds)), None)
    if low is None:
        return None
    top = int(written * LONGEST * per_cm)
    rounds = next(_downwards(tried, low, top))
    use = tried(rounds)
    return Leg(Fraction(rounds) / per_cm, use, more=rounds == top) if use else None


def _downwards(tried: Callable[[int], YarnUse | None], low: int, top: int) -> Iterator[int]:
    """The rounds that do, from the longest: halved down to a round, then looked at one by one, since a cuff in step
    with the leg is rounded by itself and the yarn may fall by a round where the leg grows by one.
    """
    first, last = low, top + 1
    while last - first > 1:
        middle = (first + last) // 2
        first, last = (middle, last) if tried(middle) else (first, middle)
    yield from (rounds for rounds in range(min(first + 3, top), low - 1, -1) if tried(rounds))


def _with_leg(pattern: Pattern, graded: Graded, setup: str, leg: Fraction) -> YarnUse | None:
    """What a pair of this size takes with another leg; None where such a sock can't be knitted."""
    sock = _knitted(pattern, graded, setup, leg)
    return main_use(pattern, yarn_for_pair(pattern, sock.record)) if sock else None


def _hangs_on_leg(pattern: Pattern, graded: Graded) -> bool:
    """Whether the sock's leg follows the leg asked for; in a knee sock only a cuff may."""
    written, stated = graded.body.measures.get("leg_length"), graded.finished.get("leg_length")
    if not written or not stated:
        return False
    for share in (LONGEST, *_SHORTEST):
        sizes, _ = grade_all(replace(pattern, bodies=(_with(graded, written * share),)))
        if sizes:
            return abs(sizes[0].finished["leg_length"] - stated) >= abs(share - 1) * written / 2
    return False


def _with(graded: Graded, leg: Fraction) -> Body:
    return replace(graded.body, measures={**graded.body.measures, "leg_length": leg})


def _knitted(pattern: Pattern, graded: Graded, setup: str, leg: Fraction) -> Sock | None:
    sizes, findings = grade_all(replace(pattern, bodies=(_with(graded, leg),)))
    if not sizes or any(finding.is_error for finding in findings):
        return None
    sock, findings = work_one(pattern, sizes[0], setup)
    if sock is None or not sock.record.complete or any(finding.is_error for finding in findings):
        return None
    return sock
