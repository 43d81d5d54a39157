"""Several counts of a swatch as one, and how sure it is.

A count over a longer stretch weighs more, because it is read to the same half stitch: the mean is all stitches over
all lengths. Its standard error comes from the scatter of the counts, and never falls below what reading alone leaves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from grader.models.swatch import Averaged, Tally
from grader.vocabulary.fabric import reading_error

_UNIFORM = math.sqrt(3)  # an error anywhere between -h and +h has the standard deviation h / sqrt(3)


def average(tallies: Sequence[Tally]) -> Averaged:
    """The mean of counts to 10 cm and its standard error; `ValueError` where nothing was counted."""
    if not tallies:
        raise ValueError("nothing was counted")
    width = sum((each.over_cm for each in tallies), Fraction(0))
    mean = 10 * sum((each.number for each in tallies), Fraction(0)) / width
    reading = 10 * float(reading_error()) / _UNIFORM * math.sqrt(len(tallies)) / float(width)
    scatter = 0.0
    if len(tallies) > 1:
        squares = sum(float(each.over_cm) * float(each.to_10_cm - mean) ** 2 for each in tallies)
        scatter = math.sqrt(squares / (len(tallies) - 1) / float(width))
    return Averaged(tuple(tallies), mean, max(reading, scatter))
