"""What was counted in a swatch, and what it means for a pattern."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Tally:
    """So many stitches or rounds over a length in cm, as counted once."""

    number: Fraction
    over_cm: Fraction

    @property
    def to_10_cm(self) -> Fraction:
        """The same over 10 cm."""
        return 10 * self.number / self.over_cm


@dataclass(frozen=True, slots=True)
class Averaged:
    """Several counts as one: the mean to 10 cm, its standard error in the same unit, and with how many degrees of
    freedom that was found."""

    tallies: tuple[Tally, ...]
    mean: Fraction
    error: float
    freedom: int

    @property
    def width(self) -> Fraction:
        """All lengths counted over, together, in cm."""
        return sum((each.over_cm for each in self.tallies), Fraction(0))

    @property
    def lowest(self) -> Fraction:
        """The loosest count, to 10 cm."""
        return min(each.to_10_cm for each in self.tallies)

    @property
    def highest(self) -> Fraction:
        """The tightest count, to 10 cm."""
        return max(each.to_10_cm for each in self.tallies)


@dataclass(frozen=True, slots=True)
class Swatch:
    """A swatch as counted; `rounds` is None where only stitches were, `before` the counts before it was washed."""

    stitches: Averaged
    rounds: Averaged | None
    washed: bool
    before_stitches: Averaged | None = None
    before_rounds: Averaged | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure of the sock in cm: as the pattern has it, as it comes out at the swatch's gauge when worked by the
    pattern's numbers, and how far one stitch or round more to 10 cm moves it."""

    name: str
    stated: Fraction
    own: Fraction
    for_one_more: Fraction


@dataclass(frozen=True, slots=True)
class FootMade:
    """What the length of a knitted foot is made of at the pattern's gauge, in cm: so much of rounds and rows, and so
    much of the width of stitches, as at the depth of a heel."""

    of_rounds: Fraction
    of_stitches: Fraction


@dataclass(frozen=True, slots=True)
class NeedleAdvice:
    """By how many sizes to change the needle: above zero thicker. Sizes in mm, None where they are not known."""

    sizes: int
    in_use: Fraction | None
    take: Fraction | None
    too_far: bool = False


@dataclass(frozen=True, slots=True)
class Comparison:
    """A swatch beside a pattern, for one of its sizes.

    `stitches_off` and `rounds_off` are the swatch less the pattern, to 10 cm; `told_apart` is False where the counts
    are not sure enough to tell the two gauges apart (alike, they are told apart once in 20 swatches at the most).
    `ease` is that of the sock knitted as printed, `fits` whether the pattern allows it; `better_size` and its measure
    in cm where another size's numbers come nearer to this foot. `cover` is the cover factor, `yarn_weight` the weight
    of the yarn, `own_weights` those usual at this gauge.
    """

    size: str
    stitches_off: Fraction
    rounds_off: Fraction | None
    told_apart: bool
    measures: tuple[Measure, ...]
    ease: Fraction | None
    fits: bool
    better_size: str
    better_cm: Fraction | None
    needle: NeedleAdvice
    cover: float | None
    yarn_weight: str
    own_weights: tuple[str, ...]
