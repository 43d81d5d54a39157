"""How the measures of a foot and its leg go together in the people that were measured, and shares that are estimates.

Women's and men's means and covariances come from a survey of 6068 adults; children's girths and legs and the instep of
anybody were found in no survey and are marked as estimates. Lengths in cm.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from grader.vocabulary.reference import read_reference

WORDS = {
    "foot_circumference": "round the ball of the foot",
    "foot_length": "the length of the foot",
    "heel_diagonal": "round heel and ankle bend",
    "instep_girth": "round the instep",
    "ankle": "round the ankle",
    "calf": "round the calf",
    "knee_height": "the height of the knee",
}

LIMITS = {  # cm; outside no foot or leg of a person from six months on is known: an estimate, on the wide side
    "foot_length": (7, 36),
    "foot_circumference": (8, 40),
    "heel_diagonal": (12, 48),
    "instep_girth": (9, 40),
    "ankle": (9, 40),
    "calf": (12, 65),
    "knee_height": (12, 65),
}
RARE = 0.001  # rarer than one in a thousand is a measure to be asked about, and no foot that a range must fit


@dataclass(frozen=True, slots=True)
class People:
    """One kind of people that was measured: the mean of each measure and how any two vary together (cm, square cm)."""

    name: str
    mean: dict[str, float]
    covariance: dict[tuple[str, str], float]


@dataclass(frozen=True, slots=True)
class Share:
    """A measure as a share of another, and how far feet spread about it (a standard deviation, as a share of it)."""

    of: str
    share: float
    spread: float


@cache
def adults() -> tuple[People, ...]:
    """Women and men of the survey."""
    data = read_reference("foot_measures")
    names = data["measures"]
    found = []
    for row in data["rows"]:
        mean = dict(zip(names, row["mean"], strict=True))
        together = {
            (first, second): value
            for first, line in zip(names, row["covariance"], strict=True)
            for second, value in zip(names, line, strict=True)
        }
        found.append(People(row["people"], mean, together))
    return tuple(found)


@cache
def _child_curves() -> dict[str, tuple[str, float, tuple[tuple[float, float], ...]]]:
    """Of what each measure of a child is a share, how far children spread, and the share by length of foot."""
    data = read_reference("foot_measures")["estimates"]["children"]
    names = {"circumference": "foot_circumference"}
    return {
        names.get(name, name): (row["of"], row["spread"], tuple((long, share) for long, share in row["by_length"]))
        for name, row in data.items()
    }


def child_share(name: str, length: float) -> Share:
    """What a measure of a child with a foot of this length (cm) is estimated from; `KeyError` for other measures."""
    of, spread, points = _child_curves()[name]
    return Share(of, on_straight_lines(points, length), spread)


@cache
def instep_share() -> Share:
    """The girth of anybody's instep, by that of the ball: an estimate."""
    data = read_reference("foot_measures")["estimates"]["instep_girth"]
    return Share("foot_circumference", data["of_circumference"], data["spread"])


@cache
def growing_feet() -> tuple[float, float]:
    """The lengths in cm from which on a foot may be an adult's, and from which on it is taken for one."""
    shorter, longer = read_reference("foot_measures")["estimates"]["growing"]
    return float(shorter), float(longer)


def on_straight_lines(points: Sequence[tuple[float, float]], place: float) -> float:
    """The height at a place on straight lines from point to point, level beyond both ends; places in order."""
    if place <= points[0][0]:
        return points[0][1]
    for (left, low), (right, high) in itertools.pairwise(points):
        if place <= right:
            return low + (high - low) * (place - left) / (right - left)
    return points[-1][1]
