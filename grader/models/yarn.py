"""How much yarn a pair of socks takes: in all, by part and by colour, with what is sure of it; and the balls to buy."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction

PARTS = ("cuff", "leg", "heel", "foot", "toe")


@dataclass(frozen=True, slots=True)
class Amount:
    """So many metres of yarn, and their weight in grams."""

    metres: float = 0.0
    grams: float = 0.0

    def __add__(self, other: Amount) -> Amount:
        return Amount(self.metres + other.metres, self.grams + other.grams)


@dataclass(frozen=True, slots=True)
class YarnUse:
    """Yarn for a pair: `metres_pair` and `grams_pair` lie in the middle of the range and hold all there is below.

    `parts` are cuff, leg, heel, foot and toe as far as the sock has them, and others by their own name; `ends` the ends
    to weave in, `swatch` the knitting in which the gauge is counted. `give` is how far the whole may lie off to either
    side, as a share. `by_colour`, where there are several, has what each takes: they add up to the whole.
    """

    metres_pair: float
    grams_pair: float
    parts: dict[str, Amount]
    ends: Amount
    swatch: Amount
    give: float
    by_colour: dict[str, YarnUse] = field(default_factory=dict)

    @property
    def metres_range(self) -> tuple[float, float]:
        """The least and the most metres that a pair is likely to take."""
        return self.metres_pair * (1 - self.give), self.metres_pair * (1 + self.give)

    @property
    def grams_range(self) -> tuple[float, float]:
        """The same in grams."""
        return self.grams_pair * (1 - self.give), self.grams_pair * (1 + self.give)

    @property
    def knitted(self) -> Amount:
        """The pair itself, without ends and swatch: what a scale tells of it."""
        return sum(self.parts.values(), Amount())

    def part(self, name: str) -> Amount:
        """What one part takes; nothing if the sock has no such part."""
        return self.parts.get(name, Amount())


@dataclass(frozen=True, slots=True)
class Balls:
    """Balls to buy: `expected` if all comes as written, `safe` if the pair takes more and the balls are light."""

    expected: int
    safe: int


def balls_to_buy(use: YarnUse, ball_metres: float, lightest: float) -> Balls:
    """Whole balls of so many metres for a pair; `lightest` is the share of its weight that a light ball has."""
    expected = math.ceil(round(use.metres_pair / ball_metres, 9))
    return Balls(expected, max(expected, math.ceil(round(use.metres_range[1] / (ball_metres * lightest), 9))))


@dataclass(frozen=True, slots=True)
class Ball:
    """What a knitter has: `count` balls of so many metres and grams each."""

    metres: float
    grams: float
    count: int = 1

    @property
    def whole(self) -> float:
        """All its metres."""
        return self.metres * self.count


@dataclass(frozen=True, slots=True)
class Contrast:
    """A pair with some `parts` in another yarn: what is left for the main yarn, and what the other takes."""

    parts: tuple[str, ...]
    main: Amount
    contrast: Amount


@dataclass(frozen=True, slots=True)
class Leg:
    """The longest leg for which a given amount of yarn does, in cm; `more` if a still longer one was not tried."""

    length: Fraction
    use: YarnUse
    more: bool = False


@dataclass(frozen=True, slots=True)
class Enough:
    """Whether what a knitter has is enough for a pair of one size.

    `use` is what the pair takes of that yarn, `have` the metres there are. `written` is the leg of the size in cm, None
    where the pattern's leg hangs on other measures; `leg` is None there too, and where no leg does; `contrast` where
    none is needed, or none is enough.
    """

    size: str
    use: YarnUse
    have: float
    written: Fraction | None
    leg: Leg | None
    contrast: Contrast | None

    @property
    def verdict(self) -> str:
        """ "yes" if the most that is likely is there, "perhaps" if the middle is, else "no"."""
        if self.use.metres_range[1] <= self.have:
            return "yes"
        return "perhaps" if self.use.metres_pair <= self.have else "no"
