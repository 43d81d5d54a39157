"""One budget of work for all stages: how much a pattern may ask for, counted in things and never in seconds.

A stage asks `allowed` before it does the work, and refuses with the words of `too_much` what would go beyond: the same
input is refused at the same place on every machine. A designer with an honest need raises a limit for one run with
`grader --limit NAME=NUMBER COMMAND`; the command line puts that into force with `raised`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Limit:
    """The most there may be of something; `what` is counted, in words that follow the number."""

    name: str
    most: int
    what: str


# No sock needs a third of these, and what lies within them is worked in seconds.
_LIMITS = (
    Limit("values", 20_000, "values in one file"),
    Limit("text", 4_000, "characters in one text"),
    Limit("numbers", 2_000, "numbers in one pattern"),
    Limit("sizes", 100, "sizes in one pattern"),
    Limit("digits", 300, "digits in a fraction"),
    Limit("stitches", 1_000, "stitches on the needles"),
    Limit("operations", 2_000, "things to work in one line"),
    Limit("rounds", 2_000, "rounds and rows in one sock"),
    Limit("work", 200_000, "rounds and rows over all sizes and setups"),
    Limit("pixels", 36_000_000, "pixels in one picture"),  # of a good camera; each takes four bytes while it is read
    Limit("columns", 200, "columns in a list"),
    Limit("steps", 50_000, "steps of a template: passes of its loops, uses of its macros"),
    Limit("seconds", 3_600, "seconds of processor time in one command"),
    Limit("characters", 6_000_000, "characters in one document"),
)
LIMITS: Mapping[str, Limit] = {limit.name: limit for limit in _LIMITS}
_in_force: dict[str, int] = {}


class OverBudget(ValueError):
    """More work than the budget holds, said in words; `mend` says how to come by more."""

    def __init__(self, name: str, found: int | None = None) -> None:
        message, self.mend = too_much(name, found)
        super().__init__(message)
        self.name = name


def allowed(name: str) -> int:
    """How much of it one run may take."""
    return _in_force.get(name, LIMITS[name].most)


def too_much(name: str, found: int | None = None) -> tuple[str, str]:
    """What a finding says beyond a limit, and what would mend it; `found` is how much was asked for, if that is known.

    A count beyond all reason is not spelled out.
    """
    most, what = allowed(name), LIMITS[name].what
    if found is None or found >= 10**12:
        asked = f"this comes to more than {most} {what}"
    else:
        asked = f"this comes to {found} {what}, and {most} are the most"
    return asked, f"correct it; where so much is meant, raise the limit: grader --limit {name}=NUMBER ..."


def spend(name: str, amount: int) -> None:
    """`OverBudget` if `amount` is more than one run may take."""
    if amount > allowed(name):
        raise OverBudget(name, amount)


@contextmanager
def raised(limits: Mapping[str, int]) -> Iterator[None]:
    """Other limits than those above for as long as the block lasts; `KeyError` for a name that none has."""
    before = dict(_in_force)
    _in_force.update({LIMITS[name].name: most for name, most in limits.items()})
    try:
        yield
    finally:
        _in_force.clear()
        _in_force.update(before)
