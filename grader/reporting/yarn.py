"""The yarn for a pair of every size as text for the terminal, by part and by colour, and whether a ball is enough."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from grader.models.pattern import Pattern
from grader.models.yarn import Ball, Enough, YarnUse, balls_to_buy
from grader.vocabulary.lengths import print_length
from grader.vocabulary.wording import joined
from grader.vocabulary.yarn_factors import ball_weights


def print_yarn(pattern: Pattern, uses: Mapping[str, YarnUse]) -> str:
    """A row a size, or a row for each colour of each size: metres and grams with their range, balls, and the parts."""
    parts = tuple(dict.fromkeys(name for use in uses.values() for name in use.parts))
    coloured = bool(pattern.colours)
    heads = ["size", *(["colour"] if coloured else []), "metres", "range", "grams", "range", "balls", *parts]
    rows = [[*heads, "ends", "swatch"]]
    for size, use in uses.items():
        for colour in pattern.colours:
            balls = _balls(use.by_colour[colour.name], float(colour.metres))
            rows.append([size, colour.name, *_row(use.by_colour[colour.name], balls, parts)])
        if coloured:
            rows.append([size, "all", *_row(use, "", parts)])
        else:
            rows.append([size, *_row(use, _balls(use, float(pattern.yarn.metres)), parts)])
    ball = {"": pattern.yarn} if not coloured else {f"{each.name} ": each for each in pattern.colours}
    sold = ", ".join(f"{name}{float(each.grams):g} g to {float(each.metres):g} m" for name, each in ball.items())
    light, heavy = ball_weights()
    return "\n".join(
        (
            _columns(rows, 2 if coloured else 1),
            "",
            "For a pair, ends and swatch included; the parts are in metres. Range: what your own hand, a gauge half a",
            "stitch and half a round off, the washing, and estimates for edges, slipped stitches and the like may",
            "come to.",
            f"Balls ({sold}): the second number is safe if the pair takes the most and the balls",
            f"are light; balls sold as 100 g weighed {100 * light:.0f} to {100 * heavy:.0f} g. Weigh yours.",
        )
    )


def print_enough(answers: Sequence[Enough], ball: Ball, units: str = "cm", colour: str = "") -> str:
    """Whether the yarn at hand is enough for each size, the longest leg for which it does, and contrasts."""
    rows = [["size", "metres", "range", "enough", "leg up to", "as written", "main", "contrast", "in contrast"]]
    for each in answers:
        low, high = each.use.metres_range
        contrast = each.contrast
        rows.append(
            [
                each.size,
                f"{each.use.metres_pair:.0f}",
                f"{low:.0f}-{high:.0f}",
                {"yes": "yes", "perhaps": "perhaps"}.get(each.verdict) or f"no, {high - each.have:.0f} m short",
                _leg(each, units),
                print_length(each.written, units) if each.written else "-",
                f"{contrast.main.metres:.0f}" if contrast else "-",
                f"{contrast.contrast.metres:.0f}" if contrast else "-",
                joined(contrast.parts) if contrast else "-" if each.verdict == "yes" or colour else "not enough",
            ]
        )
    balls = "1 ball" if ball.count == 1 else f"{ball.count} balls"
    of = f" of {colour}" if colour else ""
    swatch = max((each.use.swatch.metres for each in answers), default=0.0)
    light, heavy = ball_weights()
    return "\n".join(
        (
            f"{balls} of {ball.grams:g} g, {ball.metres:g} m{of} for a pair, ends and swatch included",
            "",
            _columns(rows, 1, words=(3, 8)),
            "",
            "Enough, the leg and the contrast are reckoned at the high end of the range. A leg marked + may be",
            f"longer still. The swatch holds {swatch:.0f} m, which can be unravelled and knitted up. Balls sold as",
            f"100 g weighed {100 * light:.0f} to {100 * heavy:.0f} g: weigh yours first.",
        )
    )


def _leg(answer: Enough, units: str) -> str:
    if answer.leg is None:
        return "none" if answer.written else "-"
    half = Fraction(1, 2) if units == "cm" else Fraction(254, 400)  # told to the half cm or the quarter inch below
    length = answer.leg.length // half * half
    return print_length(length, units) + ("+" if answer.leg.more else "")


def _row(use: YarnUse, balls: str, parts: Sequence[str]) -> list[str]:
    metres, grams = use.metres_range, use.grams_range
    return [
        f"{use.metres_pair:.0f}",
        f"{metres[0]:.0f}-{metres[1]:.0f}",
        f"{use.grams_pair:.0f}",
        f"{grams[0]:.0f}-{grams[1]:.0f}",
        balls,
        *(f"{use.part(name).metres:.0f}" if name in use.parts else "-" for name in parts),
        f"{use.ends.metres:.0f}",
        f"{use.swatch.metres:.0f}",
    ]


def _balls(use: YarnUse, metres: float) -> str:
    balls = balls_to_buy(use, metres, ball_weights()[0])
    return f"{balls.expected}" if balls.expected == balls.safe else f"{balls.expected}-{balls.safe}"


def _columns(rows: Sequence[Sequence[str]], names: int, words: Sequence[int] = ()) -> str:
    """Rows as columns: the first `names` and those of `words` to the left, numbers to the right."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    left = {*range(names), *words}
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column in left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )
