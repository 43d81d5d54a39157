"""Which feet a graded sock fits, and what a range of socks makes of a population."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from statistics import median_low

from grader.covering.reaching import Feet, Foot, Reach, reach, together, within
from grader.covering.search import largest_cover
from grader.models.coverage import Choice, Coverage, LeftOut, ServedBy
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.vocabulary.population import Population


def cover(pattern: Pattern, sizes: Sequence[Graded], candidates: Sequence[Graded], people: Population) -> Coverage:
    """How far the graded sizes serve a population, and which one of the candidates to add.

    A foot is served if the sock, as it is after rounding, lies inside the allowed ease of that foot, round and long;
    only long where the population has no girths.
    """
    feet, has_girth = together(people), people.has_girth
    reaches = [reach(pattern, each, has_girth) for each in sizes]
    served = [within(each, feet) for each in reaches]
    everyone = frozenset().union(*served)
    times = Counter(kind for each in served for kind in each)
    rows = tuple(
        ServedBy(size.body, *fits, feet.weigh(each), feet.weigh(frozenset(kind for kind in each if times[kind] == 1)))
        for size, fits, each in zip(sizes, reaches, served, strict=True)
    )
    more = [feet.weigh(within(reach(pattern, each, has_girth), feet) - everyone) for each in candidates]
    best = max(range(len(more)), key=lambda each: (more[each], -each), default=None)
    helps = best is not None and more[best] > 0
    return Coverage(
        people.name,
        people.source,
        sum(feet.counts),
        feet.weigh(everyone),
        rows,
        _left_out(reaches, feet, everyone),
        candidates[best].body if best is not None and helps else None,
        more[best] if best is not None and helps else 0,
    )


def choose(
    pattern: Pattern, candidates: Sequence[Graded], even: Sequence[Graded], people: Population, count: int
) -> Choice:
    """The `count` candidates that together serve the most people, exactly, beside the `even` sizes.

    Of the candidates that are the same sock, the foot is taken that the sock fits most nearly as the pattern aims at.
    """
    feet, has_girth = together(people), people.has_girth
    socks = _distinct(pattern, candidates)
    served = [within(reach(pattern, each, has_girth), feet) for each in socks]
    best = [socks[each] for each in largest_cover(served, feet.counts, count)]
    return Choice(cover(pattern, best, socks, people), cover(pattern, even, (), people), len(socks))


def _distinct(pattern: Pattern, candidates: Sequence[Graded]) -> list[Graded]:
    """One candidate for each sock, in the order of girth and length."""
    nearest: dict[tuple[Fraction, ...], Graded] = {}

    def beside(each: Graded) -> Fraction:
        aims = {"foot_circumference": pattern.fit.foot_circumference, "foot_length": pattern.fit.foot_length}
        return sum((abs(each.ease[name] - aim) for name, aim in aims.items() if name in each.ease), Fraction(0))

    for each in candidates:
        sock = tuple(each.finished.get(name, Fraction(0)) for name in ("foot_circumference", "foot_length"))
        if sock not in nearest or beside(each) < beside(nearest[sock]):
            nearest[sock] = each
    return [nearest[sock] for sock in sorted(nearest)]


def _left_out(reaches: Sequence[Reach], feet: Feet, everyone: frozenset[int]) -> tuple[LeftOut, ...]:
    """Those no size fits, by reason, most first."""
    if not reaches:
        return ()
    groups: dict[str, list[Foot]] = {}
    for place, foot in enumerate(feet.kinds):
        if place not in everyone:
            groups.setdefault(_reason(reaches, foot), []).extend([foot] * feet.counts[place])
    found = []
    for reason, those in groups.items():
        girths = [girth for girth, _ in those if girth is not None]
        girth = Fraction(median_low(girths), 10) if girths else None
        found.append(LeftOut(reason, len(those), girth, Fraction(median_low([length for _, length in those]), 10)))
    return tuple(sorted(found, key=lambda each: (-each.feet, each.reason)))


def _reason(reaches: Sequence[Reach], foot: Foot) -> str:
    """Why no size fits this foot: first its girth is asked, then its length among the sizes that fit it round."""
    girth, length = foot
    rounds = [each[0] for each in reaches if each[0] is not None]
    if girth is not None and rounds and len(rounds) == len(reaches):
        if all(girth < low * 10 for low, _ in rounds):
            return "too narrow for the smallest size"
        if all(girth > high * 10 for _, high in rounds):
            return "too wide for the largest size"
        fitting = [each for each in reaches if each[0] and each[0][0] * 10 <= girth <= each[0][1] * 10]
        if not fitting:
            return "between two sizes, wider than the one and narrower than the other"
        words = ("too short for their girth", "too long for their girth")
    else:
        fitting, words = list(reaches), ("too short for the smallest size", "too long for the largest size")
    lengths = [each[1] for each in fitting if each[1] is not None]
    if all(length < low * 10 for low, _ in lengths):
        return words[0]
    if all(length > high * 10 for _, high in lengths):
        return words[1]
    return "between two sizes, longer than the one and shorter than the other"
