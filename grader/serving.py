"""The order of the work with a population: feet to try, graded by the pattern, held against everyone measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from grader.covering import between_sizes, choose, cover, even_range, grid
from grader.models.coverage import Choice, Coverage
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.pipeline import Progress, grade_all
from grader.sizing import grade
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Finding
from grader.vocabulary.population import read_population
from grader.vocabulary.shoe_sizes import print_size, shoe_scale

_WEARERS = {"women": "women", "men": "men", "adults": "men"}
LONGEST_CHILD = 23  # cm; a pattern whose feet are all shorter is one for children


def _silent(_what: str, _done: int, _whole: int) -> None:
    """No progress wanted."""


def usual_population(pattern: Pattern) -> str:
    """ "children" for a pattern whose feet are all shorter than 23 cm, else "adults"."""
    longest = max(body.measures["foot_length"] for body in pattern.bodies)
    return "children" if longest < LONGEST_CHILD else "adults"


def cover_sizes(pattern: Pattern, population: str, progress: Progress = _silent) -> tuple[Coverage, list[Finding]]:
    """Whom the pattern's sizes fit, of the population named; what stands in the way of sizes that can't be graded."""
    people = read_population(population)
    sizes, findings = grade_all(pattern)
    candidates = _graded(pattern, grid(pattern, people), progress)
    return cover(pattern, sizes, candidates, people), findings


def choose_sizes(pattern: Pattern, population: str, count: int, progress: Progress = _silent) -> Choice:
    """The `count` sizes that fit the most of a population, numbered from the smallest, with shoe sizes noted.

    Every foot of the grid is graded by the pattern's own rules at its own gauge. There may be fewer than `count`, where
    fewer fit everyone that any size fits.
    """
    people = read_population(population)
    candidates = _graded(pattern, grid(pattern, people), progress)
    choice = choose(pattern, candidates, _graded(pattern, even_range(pattern, people, count)), people, count)
    sizes = tuple(
        replace(each, body=_named(each.body, str(number), population))
        for number, each in enumerate(choice.chosen.sizes, start=1)
    )
    return replace(choice, chosen=replace(choice.chosen, sizes=sizes))


def feet_between(pattern: Pattern) -> list[Finding]:
    """A remark for every two sizes of a range between which adults or children measured have feet that neither fits."""
    if len(pattern.bodies) < 2:
        return []
    sizes, _ = grade_all(pattern)
    return between_sizes(pattern, sizes, [read_population(name) for name in ("adults", "children")])


def _graded(pattern: Pattern, bodies: Sequence[Body], progress: Progress = _silent) -> list[Graded]:
    """The feet that the pattern can be graded for."""
    found = []
    for done, body in enumerate(bodies):
        progress("grading", done, len(bodies))
        graded, _ = grade(pattern, body, done)
        if graded is not None:
            found.append(graded)
    return found


def _named(body: Body, name: str, population: str) -> Body:
    whom = _WEARERS.get(population, "child")
    size = shoe_scale("EU", whom).size(body.measures["foot_length"])
    return replace(body, name=name, note="" if size is None else f"about EU {print_size(size)}")
