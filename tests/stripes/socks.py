"""Socks knitted once for all tests of stripes, and a ball that is unwound stitch by stitch to check them."""

from __future__ import annotations

import bisect
import itertools
from fractions import Fraction
from functools import cache

from hypothesis import strategies as st
from parts.combining import pattern_of

from grader.loading import load_text
from grader.models.pattern import Pattern
from grader.models.stripes import Ask, Stripe, StripedPair
from grader.pipeline import Sock, grade_all, open_pattern, work_one
from grader.resources import folder
from grader.striping import stripe_pair
from grader.vocabulary.size_charts import read_chart

PLAIN, TOE_UP, COLOURED = "ninepenny_bridge", "weir_walk", "first_steps"
PAIR = ("cuff-2x2-rib", "leg-straight", "heel-german-short-row", "foot-plain", "toe-anatomical")
AFTERTHOUGHT = ("cuff-2x2-rib", "leg-straight", "heel-afterthought", "foot-plain", "toe-wedge")
FOUR = (
    Stripe("blue", Fraction(4)),
    Stripe("cream", Fraction(2)),
    Stripe("red", Fraction(4)),
    Stripe("cream", Fraction(2)),
)

PATTERNS: dict[str | tuple[str, ...], Pattern] = {}  # as `sock` has read them


@cache
def sock(name: str | tuple[str, ...], size: int = 7) -> Sock:
    """A size of a pattern that ships, or of one put together from parts, on double-pointed needles."""
    if isinstance(name, str):
        pattern, findings = open_pattern(str(folder("patterns") / f"{name}.yaml"))
    else:
        pattern, findings = load_text(pattern_of(name), str(folder("patterns") / "put_together.yaml"), read_chart)
    assert pattern is not None, findings
    sizes, _ = grade_all(pattern)
    made, findings = work_one(pattern, sizes[min(size, len(sizes) - 1)], "double-pointed, set of 5")
    assert made is not None, findings
    PATTERNS[name] = pattern
    return made


def striped(name: str | tuple[str, ...], ask: Ask) -> StripedPair:
    """That sock and its fellow in stripes."""
    made = sock(name)
    return stripe_pair(PATTERNS[name], made.graded, made.records, ask)


class Ball:
    """A ball unwound from its beginning, repeat after repeat, so that any place of it can be looked at."""

    def __init__(self, repeat: tuple[Stripe, ...], metres: Fraction) -> None:
        self.ends: list[Fraction] = []
        self.colours: list[str] = []
        at = Fraction(0)
        for stripe in itertools.cycle(repeat):
            at += stripe.metres
            self.ends.append(at)
            self.colours.append(stripe.colour)
            if at > metres:
                break

    def colour_at(self, metres: Fraction) -> str:
        """The colour so many metres from its beginning."""
        return self.colours[bisect.bisect_right(self.ends, metres)]


def repeats() -> st.SearchStrategy[tuple[Stripe, ...]]:
    """Any repeat of two to seven stripes, from 20 cm to 30 m."""
    metres = st.fractions(Fraction(1, 5), 30, max_denominator=1000)
    stripe = st.builds(Stripe, st.sampled_from(["blue", "cream", "red", "moss"]), metres)
    return st.lists(stripe, min_size=2, max_size=7).map(tuple)
