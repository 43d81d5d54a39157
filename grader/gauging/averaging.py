"""Several counts of a swatch as one, and how sure it is.

A count over a longer stretch weighs more, because it is read to the same half stitch: the mean is all stitches over
all lengths. Few counts tell little of how a hand scatters, one nothing at all; so their scatter is pooled with what is
usual, which weighs as much as a few counts do (an estimate). The standard error never falls below what reading alone
leaves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from grader.models.swatch import Averaged, Tally
from grader.vocabulary.fabric import reading_error, usual_scatter

_UNIFORM = math.sqrt(3)  # an error anywhere between -h and +h has the standard deviation h / sqrt(3)


def average(tallies: Sequence[Tally]) -> Averaged:
    """The mean of counts to 10 cm and its standard error; `ValueError` where nothing was counted."""
    if not tallies:
        raise ValueError("nothing was counted")
    width = sum((each.over_cm for each in tallies), Fraction(0))
    mean = 10 * sum((each.number for each in tallies), Fraction(0)) / width
    reading = 10 * float(reading_error()) / _UNIFORM * math.sqrt(len(tallies)) / float(width)
    squares = sum(float(each.over_cm) * float(each.to_10_cm - mean) ** 2 for each in tallies) / float(width)
    usual = usual_scatter().to_10_cm ** 2 * 10 / float(width) + reading**2
    known = usual_scatter().counts - 1
    freedom = known + len(tallies) - 1
    pooled = math.sqrt((known * usual + squares) / freedom)
    return Averaged(tuple(tallies), mean, max(reading, pooled), freedom)
