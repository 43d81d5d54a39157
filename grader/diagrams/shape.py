"""The shape that rounds make where their stitches change: gusset, toe, calf; to the scale of the gauge."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from grader.diagrams.lines import FINE, TALLEST, drawing, line, polygon
from grader.models.drawing import Drawing, Label, Stroke
from grader.models.pattern import Gauge
from grader.models.record import WorkedLine

_WIDEST = 64.0


def widths(lines: Sequence[WorkedLine]) -> list[tuple[int, int]]:
    """Stitches and for how many rounds in a row, from the first round on; the start counts for no round."""
    found: list[tuple[int, int]] = []
    for each in lines:
        if each.kind != "round" or each.after is None or each.before is None:
            continue
        if not found:
            found.append((each.before, 0))
        found.append((each.after, each.times * each.block_times))
    return found


def draw_shape(lines: Sequence[WorkedLine], gauge: Gauge) -> Drawing | None:
    """Half of the tube, lying flat, from its first round at the top; nothing where the stitches never change."""
    found = widths(lines)
    if len({count for count, _ in found}) < 2:
        return None
    first, last = found[0][0], found[-1][0]
    rounds = sum(count for _, count in found)
    most = max(count for count, _ in found)
    wide, high = Fraction(most, 2) / gauge.stitches, Fraction(rounds) / gauge.rounds
    unit = min(_WIDEST / float(wide), (TALLEST - 16) / float(high), 10.0)  # at the most as large as life
    across, down = unit / float(gauge.stitches) / 2, unit / float(gauge.rounds)
    middle, top = 42.0, 9.0
    right: list[tuple[float, float]] = []
    y = top
    for count, times in found:
        y += times * down
        right.append((middle + count * across / 2, y))
    left = [(2 * middle - x, each) for x, each in reversed(right)]
    bottom = y
    strokes: list[Stroke] = [polygon([*right, *left])]
    labels = [
        Label(middle, top - 3.2, f"{first} sts"),
        Label(middle, bottom + 5, f"{last} sts"),
    ]
    edge = middle + most * across / 2 + 4
    strokes += [line((edge, top), (edge, bottom))]
    strokes += [line((edge - 1, at), (edge + 1, at), FINE) for at in (top, bottom)]
    labels.append(Label(edge + 2.5, (top + bottom) / 2 + 1.2, f"{rounds} rounds", "start"))
    turns = _turning(found)
    for count, done in turns:
        at = top + done * down
        if top + 6 < at < bottom - 6:
            strokes.append(line((middle - count * across / 2, at), (middle + count * across / 2, at)))
            labels.append(Label(middle, at - 1.2, f"{count} sts", size=8))
    told = "".join(f", {count} after {done} rounds" for count, done in turns)
    alt = f"The outline of the part, lying flat: {first} sts at its start{told}, {last} sts after {rounds} rounds."
    return drawing(edge + 24, bottom + 8, strokes, labels, alt)


def _turning(found: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Where the shaping becomes quicker or slower: the stitches there, and the rounds done."""
    steps: list[tuple[int, int, int]] = []  # stitches after a change, rounds done, rounds since the last change
    done = since = 0
    before = found[0][0]
    for count, times in found[1:]:
        done += times
        since += times
        if count != before:
            steps.append((count, done, since))
            since, before = 0, count
    turns = []
    for last, early, late in zip(steps, steps[1:], steps[2:], strict=False):
        if late[2] < early[2]:  # quicker from here on: the plain rounds before it are the last of the slow ones
            turns.append((last[0], early[1] - 1))
        elif late[2] > early[2]:
            turns.append((early[0], early[1]))
    return turns[:1]  # one is told; more would be a list, and the words have that
