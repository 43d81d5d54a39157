"""Short rows one under the other: how far each goes, which way, and how many stitches are left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grader.diagrams.lines import FINE, LINE, TALLEST, arrow, drawing, line
from grader.models.drawing import Drawing, Label, Stroke
from grader.models.record import WorkedLine


@dataclass(frozen=True, slots=True)
class Bar:
    """One row: the columns of the first row that it goes over, from the left, and the stitches there are after it."""

    left: float
    right: float
    side: str
    after: int


def bars(lines: Sequence[WorkedLine]) -> tuple[Bar, ...]:
    """The rows as they lie over the stitches of the first; each starts where the one before it ended."""
    first = lines[0].before or 0
    stitches = [(float(place), float(place + 1)) for place in range(first)]  # from the right edge to the left
    yarn = 0 if lines[0].side == "RS" else first
    found: list[Bar] = []
    for row in (again for each in lines for again in [each] * (each.times * each.block_times)):
        made = sum(count for _, count in row.made)
        taken = made + (row.before or 0) - (row.after or 0)
        low, high = (yarn, yarn + taken) if row.side == "RS" else (yarn - taken, yarn)
        over = stitches[max(0, low) : high]
        if not over:
            continue
        found.append(Bar(first - over[-1][1], first - over[0][0], row.side, row.after or 0))
        stitches[max(0, low) : high] = _joined(over, made, row)
        yarn = max(0, low) + made if row.side == "RS" else max(0, low)
    return tuple(found)


def _joined(over: list[tuple[float, float]], made: int, row: WorkedLine) -> list[tuple[float, float]]:
    """The stitches a row leaves: those that a decrease takes together lie over all of them."""
    order = list(over) if row.side == "RS" else list(reversed(over))
    left: list[tuple[float, float]] = []
    place = 0
    for each in sorted(row.shaping, key=lambda shape: shape.taken):
        left += order[place : each.taken]
        group = order[each.taken : each.taken + each.takes]
        if group:
            whole = (min(low for low, _ in group), max(high for _, high in group))
            left += [whole] * each.width
        place = each.taken + each.takes
    left += order[place:]
    left = left[:made] + [over[-1]] * (made - len(left))
    return left if row.side == "RS" else list(reversed(left))


def draw_rows(lines: Sequence[WorkedLine], region: str) -> Drawing | None:
    """The rows from the first down to the last; nothing where none of them is short."""
    found = bars(lines)
    whole = lines[0].before or 0
    if not whole or all(bar.right - bar.left >= whole - 0.5 for bar in found):
        return None
    step = min(3.4, (TALLEST - 12) / len(found))
    unit = min(2.2, 74.0 / whole)
    left, top = 16.0, 10.0
    high = top + step * len(found)
    strokes: list[Stroke] = [
        line((left, top - 3), (left + whole * unit, top - 3), 0.3),
        line((left, top - 4.2), (left, top - 1.8)),
        line((left + whole * unit, top - 4.2), (left + whole * unit, top - 1.8)),
    ]
    labels = [Label(left + whole * unit / 2, top - 4.6, f"{whole} {region} sts")]
    every = max(1, round(LINE / step))
    for number, bar in enumerate(found, start=1):
        y = top + (number - 0.5) * step
        ends = (left + bar.left * unit, left + bar.right * unit)
        strokes += arrow((ends[1], y), (ends[0], y)) if bar.side == "RS" else arrow((ends[0], y), (ends[1], y))
        apart = number > every and len(found) - number >= every
        told = number in (1, len(found)) or (number % every == 0 and apart)
        if told:
            labels.append(Label(left + whole * unit + 3, y + 1.1, f"{number}", "start", size=8))
            if bar.after != whole:
                labels.append(Label(left - 3, y + 1.1, f"{bar.after}", "end", size=8))
    labels.append(Label(left + whole * unit + 3, top - 2.2, "row", "start", size=8))
    if any(bar.after != whole for bar in found):
        labels.append(Label(left - 3, top - 2.2, "sts", "end", size=8))
    strokes.append(line((left, high + 1.5), (left + whole * unit, high + 1.5), FINE))
    shortest = min(round(bar.right - bar.left) for bar in found)
    last = found[-1].after
    alt = (
        f"{len(found)} short rows over {whole} {region} sts, the shortest over {shortest}; arrows to the left are RS"
        f" rows, arrows to the right WS rows. {last} sts are left."
    )
    return drawing(left + whole * unit + 14, high + 4, strokes, labels, alt)
