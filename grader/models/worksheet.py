"""A worksheet: every number of a sock worked by hand, with room to write and one example beside it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WorkedNumber:
    """One number: what it is called, its rule in words, the sum with blanks, and the same sum for the example.

    `rounding` says what is done with the result before it counts ("to the nearest multiple of 4"); it is empty where
    nothing is. `example` ends in the sign before its `result`, which has its unit.
    """

    label: str
    rule: str
    blanks: str
    example: str
    result: str
    rounding: str = ""


@dataclass(frozen=True, slots=True)
class AnswerKey:
    """The numbers of all sizes: the sizes by name, and for each number its label, its unit and a value a size."""

    sizes: tuple[str, ...]
    rows: tuple[tuple[str, str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Worksheet:
    """`measures` are what to measure, with the example's values; `checks` what must agree at the end.

    `answers` has the numbers of all sizes, a row a number and a column a size.
    """

    example: str
    measures: tuple[tuple[str, str], ...]
    numbers: tuple[WorkedNumber, ...]
    checks: tuple[str, ...]
    answers: AnswerKey
