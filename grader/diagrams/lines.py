"""The few strokes that all diagrams are made of, in millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence

from grader.models.drawing import Drawing, Label, Stroke

FINE, FIRM, HEAVY = 0.12, 0.25, 0.6
WIDEST, TALLEST = 112.0, 62.0  # the column of an A5 page, and a third of its height
LETTER = 1.75  # mean width of a character at 9 points, in mm
LINE = 4.0  # from one line of words to the next
Point = tuple[float, float]

_ROUND = 0.5523  # how far the handles of four curves stand off to make a circle


def line(start: Point, end: Point, weight: float = FINE) -> Stroke:
    """A straight stroke."""
    return Stroke((("M", start), ("L", end)), weight)


def polygon(points: Sequence[Point], weight: float = FIRM, tinted: bool = False) -> Stroke:
    """A closed outline with straight sides."""
    first, *others = points
    return Stroke((("M", first), *(("L", each) for each in others)), weight, closed=True, tinted=tinted)


def ellipse(centre: Point, wide: float, high: float, weight: float = FIRM) -> Stroke:
    """A closed curve, `wide` and `high` from its middle."""
    x, y = centre
    a, b = wide * _ROUND, high * _ROUND
    return Stroke(
        (
            ("M", (x + wide, y)),
            ("C", (x + wide, y + b, x + a, y + high, x, y + high)),
            ("C", (x - a, y + high, x - wide, y + b, x - wide, y)),
            ("C", (x - wide, y - b, x - a, y - high, x, y - high)),
            ("C", (x + a, y - high, x + wide, y - b, x + wide, y)),
        ),
        weight,
        closed=True,
    )


def arrow(start: Point, end: Point, head: float = 1.4) -> list[Stroke]:
    """A fine stroke with a filled head at its end."""
    turn = math.atan2(end[1] - start[1], end[0] - start[0])
    sides = [(end[0] - head * math.cos(turn + each), end[1] - head * math.sin(turn + each)) for each in (-0.4, 0.4)]
    tip = Stroke((("M", end), ("L", sides[0]), ("L", sides[1])), FINE, closed=True, shade=1.0)
    return [line(start, end), tip]


def dots(centre: Point, count: int, along: Point, room: float) -> list[Stroke]:
    """Short strokes across a needle, one for each stitch, or as many as can be told apart."""
    shown = max(1, min(count, int(room / 1.5)))
    step = room / shown
    across = (-along[1], along[0])
    strokes = []
    for number in range(shown):
        away = (number - (shown - 1) / 2) * step
        x, y = centre[0] + along[0] * away, centre[1] + along[1] * away
        strokes.append(line((x - across[0] * 1.1, y - across[1] * 1.1), (x + across[0] * 1.1, y + across[1] * 1.1)))
    return strokes


def words_wide(text: str, size: float = 9) -> float:
    """About how wide words are, in mm."""
    return len(text) * LETTER * size / 9


def drawing(wide: float, high: float, strokes: Sequence[Stroke], labels: Sequence[Label], alt: str) -> Drawing:
    """A sheet with everything on it, its size in whole tenths."""
    return Drawing(round(wide, 1), round(high, 1), tuple(strokes), tuple(labels), alt)
