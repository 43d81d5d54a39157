"""The table of the yarn: what a pair of each size takes, in all and by part, and the balls to buy."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from grader.merging.front import rounded_yarn
from grader.models.document import Table
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.models.yarn import YarnUse, balls_to_buy
from grader.vocabulary.wording import TERMS
from grader.vocabulary.yarn_factors import ball_weights


def yarn_table(
    pattern: Pattern, sizes: Sequence[Graded], uses: Mapping[str, YarnUse], terms: str = "UK", one_size: bool = False
) -> Table | None:
    """A row a size, or a row for each colour of each size; None where nothing is known of the yarn."""
    known = [(graded.body.name, uses[graded.body.name]) for graded in sizes if graded.body.name in uses]
    if not known:
        return None
    parts = tuple(dict.fromkeys(name for _, use in known for name in use.parts))
    rows = []
    for size, use in known:
        for colour in pattern.colours:
            rows.append((size, colour.name, *_amounts(use.by_colour[colour.name], float(colour.metres), parts)))
        if not pattern.colours:
            rows.append((size, *_amounts(use, float(pattern.yarn.metres), parts)))
    named = ("Size", TERMS[terms]["colour"].capitalize()) if pattern.colours else ("Size",)
    heads = (*named, "Yarn m", "From–to m", "Yarn g", "Balls", *(_head(name) for name in parts), "Ends", "Swatch")
    align = "l" * len(named) + "r" * (len(heads) - len(named))
    if one_size:
        heads, rows, align = heads[1:], [row[1:] for row in rows], align[1:]
    return Table(
        heads, tuple(rows), align, _caption(pattern, any("–" in row[len(named) + 3 - one_size] for row in rows))
    )


def _head(part: str) -> str:
    return part[:1].upper() + part[1:]


def _amounts(use: YarnUse, ball: float, parts: Sequence[str]) -> tuple[str, ...]:
    low, high = use.metres_range
    metres, grams = rounded_yarn(use.metres_pair, use.grams_pair)
    balls = balls_to_buy(use, ball, ball_weights()[0])
    return (
        str(metres),
        f"{math.floor(low / 5) * 5}–{math.ceil(high / 5) * 5}",
        str(grams),
        str(balls.expected) if balls.expected == balls.safe else f"{balls.expected}–{balls.safe}",
        *(str(math.ceil(use.part(name).metres)) if name in use.parts else "–" for name in parts),
        *(str(math.ceil(each.metres)) if each.metres else "–" for each in (use.ends, use.swatch)),
    )


def _caption(pattern: Pattern, two: bool) -> str:
    light, heavy = ball_weights()
    balls = {(each.metres, each.grams) for each in pattern.colours or (pattern.yarn,)}
    of = f" of {float(pattern.yarn.grams):g} g" if len(balls) == 1 else ""
    second = (
        " Where two numbers stand, the second is safe if your pair takes the most and the balls are light."
        if two
        else ""
    )
    return (
        "For a pair, ends and swatch included; the parts are in metres. From–to: what your own hand, the washing, and"
        " estimates for edges and slipped stitches may make of it."
        f" Balls: whole ones{of}.{second} Balls sold as 100 g weighed {100 * light:.0f} to {100 * heavy:.0f} g: weigh"
        " yours, and after the first sock see that at least as much is left as it took."
    )
