"""A pair of socks knitted from a yarn that changes colour over and over: where every stripe comes to lie.

Lengths of yarn are exact metres. A place along the yarn is measured from the first stitch of its sock; the tail of
the cast-on lies before it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

PARTS = ("cuff", "leg", "heel", "gusset", "foot", "toe")


@dataclass(frozen=True, slots=True)
class Stripe:
    """One stretch of the repeat: its colour and how many metres of yarn are in it."""

    colour: str
    metres: Fraction


@dataclass(frozen=True, slots=True)
class Ask:
    """What a knitter knows of her yarn.

    `repeat` is in the order in which it comes off the ball; `start` how far into it the first stitch lies; `contrast`
    names the sections that another yarn works. `tail` (before the first stitch) and `closing` (after the last) are
    None where they are to be estimated, `ball` (metres in hand) where it is one ball of the pattern's yarn.
    """

    repeat: tuple[Stripe, ...]
    start: Fraction = Fraction(0)
    contrast: tuple[str, ...] = ()
    tail: Fraction | None = None
    closing: Fraction | None = None
    ball: Fraction | None = None

    @property
    def length(self) -> Fraction:
        """Metres of yarn in one repeat."""
        return sum((each.metres for each in self.repeat), Fraction(0))

    @property
    def colours(self) -> tuple[str, ...]:
        """The colours in the order in which they first come."""
        return tuple(dict.fromkeys(each.colour for each in self.repeat))

    def at(self, metres: Fraction) -> tuple[Stripe, Fraction]:
        """The stripe that a place along the repeat lies in, and how far into it; the place may pass the end."""
        place = metres % self.length
        for stripe in self.repeat:
            if place < stripe.metres:
                return stripe, place
            place -= stripe.metres
        raise AssertionError("a place lies within its repeat")


@dataclass(frozen=True, slots=True)
class Pass:
    """One round, row or edge as it is worked: where its yarn begins, and its stitches in this yarn and in others.

    `number` counts the rounds and rows of its section from 1, and is 0 for a cast-on, a pick-up or a part of a round.
    """

    section: str
    part: str
    kind: str
    number: int
    loops: int
    other: int
    begin: Fraction
    end: Fraction


@dataclass(frozen=True, slots=True)
class Share:
    """What a stripe takes of one pass: from and to which share of its stitches."""

    at: int
    begin: Fraction
    end: Fraction


@dataclass(frozen=True, slots=True)
class Laid:
    """One stripe as knitted: its place in the repeat, where its yarn begins and ends, and the passes it lies in."""

    index: int
    begin: Fraction
    end: Fraction
    shares: tuple[Share, ...]

    @property
    def metres(self) -> Fraction:
        """The yarn of it that is knitted."""
        return self.end - self.begin


@dataclass(frozen=True, slots=True)
class StripedSock:
    """One sock: where in the repeat its first stitch lies, its passes in working order, and its stripes."""

    start: Fraction
    passes: tuple[Pass, ...]
    stripes: tuple[Laid, ...]

    @property
    def metres(self) -> Fraction:
        """Striping yarn in its stitches, without tails."""
        return self.passes[-1].end if self.passes else Fraction(0)

    @property
    def instep_gap(self) -> Fraction | None:
        """Metres of the striping yarn knitted into a heel worked between leg and foot; None where none is.

        So much of the repeat the instep lacks: nothing, and the stripes run on over it.
        """
        heel = [at for at, each in enumerate(self.passes) if each.part == "heel" and each.loops + each.other]
        if not heel or heel[0] == 0 or heel[-1] == len(self.passes) - 1:
            return None
        return self.passes[heel[-1]].end - self.passes[heel[0]].begin


@dataclass(frozen=True, slots=True)
class PartRounds:
    """One section of the sock: its rounds or rows, and the fewest and most stitches of one in the striping yarn.

    Of rows both sides are taken together, since slipped stitches take no yarn: the stitches are the mean of the two.
    """

    section: str
    rows: bool
    count: int
    fewest: Fraction
    most: Fraction


@dataclass(frozen=True, slots=True)
class StripedPair:
    """Both socks, the second begun where the stripes come out alike, and what that takes of the ball.

    `metres_per_stitch` follows from the gauge. `wound_off` lies between the end of sock one and the tail of sock two;
    `other` is the yarn of the parts in contrast, for both socks.
    """

    ask: Ask
    first: StripedSock
    second: StripedSock
    parts: tuple[PartRounds, ...]
    metres_per_stitch: Fraction
    tail: Fraction
    closing: Fraction
    wound_off: Fraction
    other: Fraction
    ball: Fraction

    def rounds(self, stripe: Stripe, stitches: Fraction) -> Fraction:
        """How many rounds of so many stitches a stripe makes."""
        return stripe.metres / (stitches * self.metres_per_stitch)

    @property
    def knitted(self) -> Fraction:
        """Striping yarn in both socks with their tails."""
        return self.first.metres + self.second.metres + 2 * (self.tail + self.closing)

    @property
    def needed(self) -> Fraction:
        """What the pair takes of the ball from the tail of sock one on."""
        return self.knitted + self.wound_off

    @property
    def at_most(self) -> Fraction:
        """The same with the most that finding the start in a new ball can cost: one repeat."""
        return self.needed + self.ask.length
