"""A swatch beside a pattern: how far off it is, what that does to the sock, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from grader.gauging.chance import CHANCE, times_the_error
from grader.models.graded import Graded
from grader.models.pattern import Gauge, Pattern, Yarn
from grader.models.swatch import Averaged, Comparison, FootMade, Measure, NeedleAdvice, Swatch
from grader.vocabulary.fabric import cover_of, needle_step, tex_of
from grader.vocabulary.needles import needle_sizes
from grader.vocabulary.yarn_weights import weights_at

_MOST_SIZES = 4  # a change of needle beyond that makes another fabric; an estimate


def compare(
    swatch: Swatch,
    pattern: Pattern,
    sizes: Sequence[Graded],
    which: Graded,
    needle_mm: Fraction | None = None,
    yarn: Yarn | None = None,
    foot: FootMade | None = None,
) -> Comparison:
    """What the swatch means for one of the graded sizes.

    `foot` is what the length of its foot is made of; without it nothing is said of the length. `needle_mm` is the
    needle it was knitted on and `yarn` its yarn, the pattern's where they are not given.
    """
    gauge = pattern.gauge
    off = swatch.stitches.mean - 10 * gauge.stitches
    rounds_off = swatch.rounds.mean - 10 * gauge.rounds if swatch.rounds else None
    around = _around(which, gauge, swatch.stitches.mean / 10)
    girth = which.body.measures.get("foot_circumference")
    ease = around.own / girth - 1 if around and girth else None
    low, high = pattern.fit.allowed
    better = _better(sizes, which, pattern, swatch.stitches.mean / 10)
    rounds = swatch.rounds.mean / 10 if swatch.rounds else None
    chance = CHANCE / (2 if swatch.rounds else 1)  # stitches and rounds share it
    apart = _apart(off, swatch.stitches, chance)
    length = _along(which, gauge, swatch.stitches.mean / 10, rounds, foot)
    return Comparison(
        size=which.body.name,
        stitches_off=off,
        rounds_off=rounds_off,
        told_apart=apart or _apart(rounds_off, swatch.rounds, chance),
        measures=tuple(each for each in (around, length) if each),
        ease=ease,
        fits=ease is not None and low <= ease <= high,
        better_size=better[0],
        better_cm=better[1],
        needle=_needle(off, apart, needle_mm or gauge.needle_mm),
        cover=_cover(swatch, yarn or pattern.yarn),
        yarn_weight=(yarn or pattern.yarn).weight,
        own_weights=tuple(each.name for each in weights_at(swatch.stitches.mean)),
    )


def _cover(swatch: Swatch, ball: Yarn) -> float | None:
    """How dense the swatch is; not known where its rounds were not counted."""
    if swatch.rounds is None:
        return None
    tex = tex_of(ball.metres, ball.grams)
    return cover_of(tex, swatch.stitches.mean / 10, swatch.rounds.mean / 10, swatch.washed)


def _apart(off: Fraction | None, counted: Averaged | None, chance: float) -> bool:
    """True if a mean lies further off than it would by this chance."""
    if off is None or counted is None:
        return False
    return abs(float(off)) > times_the_error(counted.freedom, chance) * counted.error


def _around(graded: Graded, gauge: Gauge, stitches: Fraction) -> Measure | None:
    """The circumference, made of stitches: as many of them lie over more or fewer cm."""
    stated = graded.finished.get("foot_circumference")
    if stated is None:
        return None
    count = stated * gauge.stitches
    return Measure("round the foot", stated, count / stitches, count / (gauge.stitches + Fraction(1, 10)) - stated)


def _along(
    graded: Graded, gauge: Gauge, stitches: Fraction, rounds: Fraction | None, foot: FootMade | None
) -> Measure | None:
    """The length: what is made of rounds goes by their gauge, what is made of the width of stitches by theirs."""
    stated = graded.finished.get("foot_length")
    if stated is None or rounds is None or foot is None:
        return None
    own = foot.of_rounds * gauge.rounds / rounds + foot.of_stitches * gauge.stitches / stitches
    one_more = foot.of_rounds * gauge.rounds / (gauge.rounds + Fraction(1, 10)) - foot.of_rounds
    return Measure("length of the foot", stated, own, one_more)


def _better(
    sizes: Sequence[Graded], which: Graded, pattern: Pattern, stitches: Fraction
) -> tuple[str, Fraction | None]:
    """The size whose stitches come nearest to what this size should be round the foot, if it fits and is another."""
    wanted, foot = which.finished.get("foot_circumference"), which.body.measures.get("foot_circumference")
    if wanted is None or not foot:
        return "", None
    found = {
        each.body.name: each.finished["foot_circumference"] * pattern.gauge.stitches / stitches
        for each in (which, *sizes)  # this one first: it wins where another is no nearer
        if "foot_circumference" in each.finished
    }
    best = min(found, key=lambda name: abs(found[name] - wanted))
    low, high = pattern.fit.allowed
    fits = low <= found[best] / foot - 1 <= high
    return (best, found[best]) if fits and best != which.body.name else ("", None)


def _needle(off: Fraction, sure: bool, in_use: Fraction | None) -> NeedleAdvice:
    """Too many stitches ask for a thicker needle (common practice); how many sizes is an estimate."""
    count = needle_step().sizes(off) if sure else 0
    if not count:
        return NeedleAdvice(0, in_use, in_use)
    steps = count if off > 0 else -count
    if count > _MOST_SIZES:
        return NeedleAdvice(steps, in_use, None, too_far=True)
    known = [each.mm for each in needle_sizes()]
    if in_use is None:
        return NeedleAdvice(steps, None, None)
    start = min(range(len(known)), key=lambda place: (abs(known[place] - in_use), place))
    place = start + steps
    take = known[place] if 0 <= place < len(known) else None
    return NeedleAdvice(steps, in_use, take, too_far=take is None)
