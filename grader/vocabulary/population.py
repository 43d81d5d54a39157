"""The feet that were measured in surveys: adults with girth and length, children with length and age.

Sources: ANSUR II (2014) and Snyder and others (1977), both looked up; `grader/data/populations/sources.yaml`
says who was measured and what is doubtful. Nothing is read until a population is asked for.
"""

from __future__ import annotations

import csv
import gzip
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources

from grader.vocabulary.reference import read_reference

POPULATIONS = ("women", "men", "adults", "children", "girls", "boys")
_SURVEYS = {
    "women": ("adults", "F"),
    "men": ("adults", "M"),
    "adults": ("adults", ""),
    "children": ("children", ""),
    "girls": ("children", "F"),
    "boys": ("children", "M"),
}


@dataclass(frozen=True, slots=True)
class MeasuredFoot:
    """One bare foot, in mm: its length, and its girth at the ball or the child's age in years where they are known."""

    length: int
    girth: int | None = None
    age: float | None = None


@dataclass(frozen=True, slots=True)
class Population:
    """Some people's feet, in the order of the survey. `has_girth` is False where only lengths were measured."""

    name: str
    feet: tuple[MeasuredFoot, ...]
    source: str

    @property
    def has_girth(self) -> bool:
        """True if the girth of every foot is known."""
        return all(foot.girth is not None for foot in self.feet)


@cache
def read_population(name: str) -> Population:
    """The feet of "women", "men", "adults", "children" (of 2 to 18 years), "girls" or "boys".

    `KeyError` names the populations there are.
    """
    if name not in POPULATIONS:
        raise KeyError(f"no population {name!r}; there are {', '.join(POPULATIONS)}")
    survey, sex = _SURVEYS[name]
    about = read_reference("populations/sources")["surveys"][survey]
    origin = about["source"]
    source = f"{origin['organisation']}: {origin['title']} ({origin['year']}); {about['status']}"
    feet = tuple(foot for whose, foot in _measured(about["file"]) if sex in ("", whose))
    return Population(name, feet, source)


@cache
def _measured(file: str) -> tuple[tuple[str, MeasuredFoot], ...]:
    """Everybody of a survey, with the sex as it stands there."""
    return tuple((row["sex"], _foot(row)) for row in _rows(file))


def _foot(row: dict[str, str]) -> MeasuredFoot:
    if "ball_girth" in row:
        return MeasuredFoot(int(row["foot_length"]), int(row["ball_girth"]))
    return MeasuredFoot(int(row["foot_length_mm"]), None, float(row["age_years"]))


def _rows(file: str) -> Iterator[dict[str, str]]:
    place = resources.files("grader").joinpath("data", "populations", file)
    with place.open("rb") as packed, gzip.open(packed, "rt", encoding="utf-8", newline="") as lines:
        yield from csv.DictReader(lines)
