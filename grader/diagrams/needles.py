"""How the stitches lie on the needles when a section is done, seen from above with the work hanging down."""

from __future__ import annotations

import math
from dataclasses import replace

from grader.diagrams.lines import FIRM, HEAVY, LINE, arrow, dots, drawing, ellipse, line, words_wide
from grader.models.drawing import Drawing, Label, Stroke
from grader.models.instructions import Regions

Held = tuple[tuple[int, str], ...]  # for each needle its stitches, and the part of the foot they belong to


def held_by(needles: tuple[int, ...], regions: Regions) -> Held:
    """What each needle holds; a needle with stitches of two regions names both."""
    names = [name for name, count in regions for _ in range(count)]
    told = []
    at = 0
    for count in needles:
        here = dict.fromkeys(names[at : at + count])
        told.append((count, " and ".join(here)))
        at += count
    return tuple(told)


def _sts(count: int) -> str:
    return f"{count} {'st' if count == 1 else 'sts'}"


def draw_needles(needles: tuple[int, ...], regions: Regions, loop: bool) -> Drawing:
    """One circular needle as a ring, two as a magic loop (`loop`) or side by side, three or four as a polygon."""
    held = held_by(needles, regions)
    if len(needles) == 1:
        return _ring(needles[0], regions)
    if len(needles) == 2:
        return _two(held, loop)
    return _set(held)


def _ring(count: int, regions: Regions) -> Drawing:
    """One needle: the regions share the ring, a marker stands where the round starts and where they meet."""
    x, y, wide, high = 34.0, 20.0, 22.0, 13.0
    strokes: list[Stroke] = [ellipse((x, y), wide, high, HEAVY)]
    labels = [Label(x, y + 1.2, _sts(count))]
    total = sum(each for _, each in regions) or count
    at = 0
    told = []
    for name, each in regions or (("", count),):
        turn = math.pi / 2 + 2 * math.pi * at / total
        mark = (x + wide * math.cos(turn), y + high * math.sin(turn))
        out = (x + (wide + 3) * math.cos(turn), y + (high + 3) * math.sin(turn))
        strokes.append(line(mark, out, FIRM))
        middle = math.pi / 2 + 2 * math.pi * (at + each / 2) / total
        words = f"{name}, {_sts(each)}" if name else _sts(each)
        beside = (x + (wide + 4) * math.cos(middle), y + (high + 5) * math.sin(middle))
        if len(regions) > 1:
            anchor = "start" if beside[0] > x + 4 else "end" if beside[0] < x - 4 else "middle"
            labels.append(Label(beside[0], beside[1] + 1.2, words, anchor))  # type: ignore[arg-type]
        told.append(words)
        at += each
    strokes += arrow((x + 2, y + high + 3.5), (x + 11, y + high + 2.4))
    labels.append(Label(x - 1, y + high + 6.5, "start of round", "end"))
    left = max((words_wide(each.text) - each.x for each in labels if each.anchor == "end"), default=0.0)
    right = max((each.x + words_wide(each.text) for each in labels if each.anchor == "start"), default=x + wide)
    strokes, labels = _moved(strokes, labels, max(0.0, left) + 1)
    alt = f"All {_sts(count)} on one circular needle, from the start of the round: {', '.join(told)}."
    return drawing(max(right, x + wide + 4) + max(0.0, left) + 2, y + high + 8, strokes, labels, alt)


def _moved(strokes: list[Stroke], labels: list[Label], right: float) -> tuple[list[Stroke], list[Label]]:
    """All of it so much further to the right."""
    shifted = [
        replace(
            stroke,
            path=tuple(
                (command, tuple(n + right if not i % 2 else n for i, n in enumerate(points)))
                for command, points in stroke.path
            ),
        )
        for stroke in strokes
    ]
    return shifted, [replace(label, x=label.x + right) for label in labels]


def _two(held: Held, loop: bool) -> Drawing:
    """Two needles side by side; those of one circular with the cable drawn out between them at both ends."""
    left, right, front, back = 26.0, 70.0, 30.0, 14.0
    out = 12.0
    strokes = [line((left, back), (right, back), HEAVY), line((left, front), (right, front), HEAVY)]
    for x, far in ((left, -out), (right, out)) if loop else ():
        strokes.append(Stroke((("M", (x, back)), ("C", (x + far, back - 4, x + far, front + 4, x, front))), FIRM))
    strokes += dots(((left + right) / 2, back), held[1][0], (1.0, 0.0), right - left - 8)
    strokes += dots(((left + right) / 2, front), held[0][0], (1.0, 0.0), right - left - 8)
    strokes += arrow((right - 2, front + 3.4), (right - 14, front + 3.4))
    labels = [
        Label((left + right) / 2, back - 3.2, _named(2, held[1])),
        Label((left + right) / 2, front + 8.2, _named(1, held[0])),
        Label(right - 1, front + 4.6, "start of round", "start", size=8),
    ]
    how = "Two needle tips with the cable drawn out between them." if loop else "Two needles side by side."
    alt = f"{how} {_told(held)}"
    return drawing(right + words_wide("start of round", 8) + 3, front + 11, strokes, labels, alt)


def _set(held: Held) -> Drawing:
    """Needles as the sides of a triangle or a square, in the order of the work, which runs anticlockwise."""
    count = len(held)
    x, y, far = 48.0, 31.0, 17.0 if count == 4 else 19.0
    strokes: list[Stroke] = []
    labels: list[Label] = []
    for number, (stitches, region) in enumerate(held, start=1):
        middle = math.pi / 2 - 2 * math.pi * (number - 0.5) / count
        half = math.pi / count
        inner = far * math.cos(half)
        centre = (x + inner * math.cos(middle), y + inner * math.sin(middle))
        along = (math.sin(middle), -math.cos(middle))
        reach = far * math.sin(half) + 2.5
        ends = [(centre[0] + along[0] * way, centre[1] + along[1] * way) for way in (-reach, reach)]
        strokes.append(line(ends[0], ends[1], HEAVY))
        strokes += dots(centre, stitches, along, 2 * reach - 8)
        out = (x + (inner + 5) * math.cos(middle), y + (inner + 5) * math.sin(middle))
        side = math.cos(middle)
        anchor = "start" if side > 0.3 else "end" if side < -0.3 else "middle"
        below = math.sin(middle)
        lift = 2.5 if below > 0.3 else -LINE if below < -0.3 else -LINE / 2 + 1
        labels.append(Label(out[0], out[1] + lift, f"needle {number}", anchor, size=8))  # type: ignore[arg-type]
        words = f"{region}, {_sts(stitches)}" if region else _sts(stitches)
        labels.append(Label(out[0], out[1] + lift + LINE, words, anchor, size=8))  # type: ignore[arg-type]
    corner = (x, y + far)
    strokes += arrow((corner[0] - 3, corner[1] + 5.5), (corner[0], corner[1] + 1.2))
    labels.append(Label(corner[0] - 3.5, corner[1] + 8.5, "start of round", "end", size=8))
    left = max(words_wide(each.text, each.size) - each.x for each in labels if each.anchor == "end")
    strokes, labels = _moved(strokes, labels, max(0.0, left + 1))
    wide = max(each.x + (words_wide(each.text, each.size) if each.anchor == "start" else 0.0) for each in labels) + 2
    return drawing(max(wide, x + 2 * far), corner[1] + 11, strokes, labels, _told(held))


def _named(number: int, held: tuple[int, str]) -> str:
    count, region = held
    return f"needle {number}: {region}, {_sts(count)}" if region else f"needle {number}: {_sts(count)}"


def _told(held: Held) -> str:
    told = "; ".join(_named(number, each) for number, each in enumerate(held, start=1))
    return f"{told[:1].upper()}{told[1:]}. The round starts with needle 1."
