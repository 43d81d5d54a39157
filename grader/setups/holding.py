"""How the needle setups hold the stitches: which needles there are, and what each gets.

Source: `grader/data/needle_setups.yaml`; the shares are common practice (a half or a quarter a needle).
"""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.instructions import Regions


@dataclass(frozen=True, slots=True)
class Setup:
    """One way to hold a tube of stitches; `halves` says over how many needles each half lies."""

    name: str
    halves: tuple[int, int]
    marker: bool = False

    @property
    def needles(self) -> int:
        """Needles that hold stitches."""
        return sum(self.halves)


SHORT_CIRCULAR = Setup("short circular", (1, 0), marker=True)
LONG_CIRCULAR = Setup("long circular (magic loop)", (1, 1))
SET_OF_5 = Setup("double-pointed, set of 5", (2, 2))
SET_OF_4 = Setup("double-pointed, set of 4", (2, 1))
SETUPS = {each.name: each for each in (SHORT_CIRCULAR, LONG_CIRCULAR, SET_OF_5, SET_OF_4)}


def halved(count: int, over: int, unit: int = 1) -> tuple[int, ...]:
    """A stretch spread over needles as evenly as whole units allow, the larger shares first."""
    units = count // unit
    shares = [(units + over - 1 - place) // over * unit for place in range(over)] if over else []
    if shares:
        shares[-1] += count - sum(shares)
    return tuple(shares)


def whole_repeats(setup: Setup, total: int, unit: int) -> tuple[int, ...]:
    """Needles that each hold whole repeats of `unit` stitches: 16, 12, 16, 16 for 60 of 4."""
    if setup.marker:
        return (total,)
    first = total // unit // 2 * unit
    return halved(first, setup.halves[0], unit) + halved(total - first, setup.halves[1], unit)


def by_regions(setup: Setup, spans: Regions) -> tuple[int, ...]:
    """Needles that begin and end where the regions do, as far as there are needles enough.

    `spans` are the stretches in working order: two where the round starts between the halves; three
    where it starts in the middle of one, whose parts then keep a needle each. Of more regions, those of one half
    of the foot share its needles.
    """
    counts = tuple(count for _, count in spans)
    if setup.marker:
        return (sum(counts),)
    if len(spans) == 3 and spans[0][0] == spans[-1][0]:
        middle = halved(counts[1], 2 if setup.halves == (2, 2) else 1)
        return (counts[0], *middle, counts[2])
    if len(spans) < 2:
        return whole_repeats(setup, sum(counts), 1)
    half = _first_half(spans)
    return _shared(counts[:half], setup.halves[0]) + _shared(counts[half:], setup.halves[1])


def _first_half(spans: Regions) -> int:
    """How many regions make the first half: those that share a last word (right back, left back), else by stitches."""
    kinds = [name.split()[-1] for name, _ in spans]
    changes = [place for place in range(1, len(kinds)) if kinds[place] != kinds[place - 1]]
    if len(changes) == 1:
        return changes[0]
    counts = [count for _, count in spans]
    return min(range(1, len(counts)), key=lambda place: abs(sum(counts[:place]) - sum(counts[place:])))


def _shared(counts: tuple[int, ...], needles: int) -> tuple[int, ...]:
    """The regions of one half over its needles: one each, the rest together on the last."""
    if len(counts) == 1:
        return halved(counts[0], needles)
    return (*counts[: needles - 1], sum(counts[needles - 1 :]))


OFF_THE_CIRCULAR = (
    "Slip the sts over without working them and take off any markers; the first needle begins where the round starts."
)
ON_DOUBLE_POINTED = (
    "Begin on double-pointed needles; the circular one follows when there are stitches enough to reach round it."
)
ONTO_THE_CIRCULAR = "Slip the sts over without working them; the round still begins where it did."
ONTO_THE_LAST = "Knit them off the first needle with the last one, and leave them on it."
