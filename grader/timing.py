"""How long a pair takes: the stitches of the worked record at a speed, with the rests that hands need."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from grader.models.hours import PairTime, PartTime
from grader.models.record import Record
from grader.vocabulary.knitting_speed import breaks


def time_for_pair(records: Sequence[Record], speed: Fraction) -> PairTime:
    """The time for two socks.

    Args:
        records: the sock as knitted, which is then knitted twice; or the left and the right one, where they differ.
        speed: stitches a minute, above zero.

    Stitches slipped, grafted or cast off make no new loop and are not counted; casting on and picking up are as
    knitting. Sewing in ends and washing are left out.
    """
    if speed <= 0:
        raise ValueError("a speed is more than no stitches a minute")
    counts: dict[str, int] = {}
    for record in (records[0], records[-1]):
        for line in record.lines:
            loops = line.loops * line.times * line.block_times
            counts[line.section] = counts.get(line.section, 0) + loops
    parts = tuple(PartTime(name, count, count / speed) for name, count in counts.items() if count)
    every, rest = breaks()
    whole = sum((each.minutes for each in parts), Fraction(0))
    return PairTime(records[0].size, parts, speed, every, rest, max(0, math.ceil(whole / every) - 1))
