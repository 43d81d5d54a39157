"""The time a pair takes as text for the terminal: a row for each size, a column for each part."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from grader.models.hours import PairTime


def print_time(times: Sequence[PairTime]) -> str:
    """Stitches of a pair, hours and minutes of each part, of all the knitting, and with the rests."""
    if not times:
        return "no size was knitted"
    sections = list(dict.fromkeys(part.section for time in times for part in time.parts))
    table = [["size", "stitches", *sections, "knitting", "breaks", "in all"]]
    for time in times:
        minutes = {part.section: _hours(part.minutes) for part in time.parts}
        row = [time.size, str(time.stitches), *(minutes.get(section, "-") for section in sections)]
        table.append([*row, _hours(time.minutes), str(time.rests), _hours(time.minutes + time.minutes_resting)])
    widths = [max(len(row[column]) for row in table) for column in range(len(table[0]))]
    lines = [
        row[0].ljust(widths[0])
        + "".join(f"  {cell.rjust(width)}" for cell, width in zip(row[1:], widths[1:], strict=True))
        for row in table
    ]
    first = times[0]
    lines.append(
        f"hours:minutes for a pair at {float(first.speed):g} stitches a minute, an estimate: time a round of your own;"
    )
    lines.append(
        f"in all with {float(first.rest):g} minutes of rest after every {float(first.every):g} of knitting,"
        " without sewing in and washing"
    )
    return "\n".join(lines)


def _hours(minutes: Fraction) -> str:
    """ "12:05", to the nearest minute."""
    whole = int(minutes + Fraction(1, 2))
    return f"{whole // 60}:{whole % 60:02}"
