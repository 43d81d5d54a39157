"""How the measures of a foot and its leg go together in the people that were measured, and shares that are estimates.

Women's and men's means and covariances come from a survey of 6068 adults; children's girths and the instep of
anybody were found in no survey and are marked as estimates. Lengths in cm.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from grader.vocabulary.reference import exact, read_reference
from grader.vocabulary.size_charts import read_chart

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
def child_shares() -> dict[str, Share]:
    """What children's measures are estimated from, the circumference aside."""
    data = read_reference("foot_measures")["estimates"]["children"]
    return {
        name: Share("foot_length" if name == "knee_height" else "foot_circumference", data[name], data["spread"])
        for name in ("heel_diagonal", "ankle", "calf", "knee_height")
    }


@cache
def instep_share() -> Share:
    """The girth of anybody's instep, by that of the ball: an estimate."""
    data = read_reference("foot_measures")["estimates"]["instep_girth"]
    return Share("foot_circumference", data["of_circumference"], data["spread"])


def child_circumference(length: float) -> Share:
    """A child's circumference as a share of the foot's length, between the rows of the chart of children's feet."""
    rows = [
        (float(body.measures["foot_length"]), float(body.measures["foot_circumference"]))
        for body in read_chart("child-feet")
    ]
    spread = float(read_reference("foot_measures")["estimates"]["children"]["circumference_spread"])
    shares = [(long, girth / long) for long, girth in rows]
    if length <= shares[0][0]:
        return Share("foot_length", shares[0][1], spread)
    for (low, before), (high, after) in itertools.pairwise(shares):
        if length <= high:
            return Share("foot_length", before + (after - before) * (length - low) / (high - low), spread)
    return Share("foot_length", shares[-1][1], spread)


def longest_child_foot() -> float:
    """Feet shorter than this are taken for children's where nothing else is known."""
    return float(read_reference("foot_measures")["estimates"]["below_length"])


def length_at_age(years: Fraction) -> tuple[Fraction, Fraction, Fraction]:
    """The 5th, 50th and 95th percentile of the foot's length at an age of 2 to under 19; `KeyError` outside."""
    for row in read_reference("child_foot_length")["rows"]:
        if row["age"] <= years < row["age"] + 1:
            low, middle, high = (exact(row[name]) / 10 for name in ("p5", "p50", "p95"))
            return low, middle, high
    raise KeyError(f"no feet of {float(years):g} years were measured")
