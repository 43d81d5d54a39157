"""How the needle setups hold the stitches: which needles there are, and what each gets.

Source: `grader/data/needle_setups.yaml`; the shares are common practice (a half or a quarter a needle).
"""

from __future__ import annotations

from dataclasses import dataclass


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
FEWEST_ON_A_NEEDLE = 2


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


def by_regions(setup: Setup, spans: tuple[int, ...]) -> tuple[int, ...]:
    """Needles that begin and end where the regions do.

    `spans` are the stretches in working order: two where the round starts between the halves; three
    where it starts in the middle of one, whose parts then keep a needle each.
    """
    if setup.marker:
        return (sum(spans),)
    if len(spans) == 3:
        middle = halved(spans[1], 2 if setup.halves == (2, 2) else 1)
        return (spans[0], *middle, spans[2])
    if len(spans) == 2:
        return halved(spans[0], setup.halves[0]) + halved(spans[1], setup.halves[1])
    return whole_repeats(setup, sum(spans), 1)


OFF_THE_CIRCULAR = (
    "Slip the sts over without working them and take off any markers; the first needle begins where the round starts."
)
ONTO_THE_LAST = "Knit them off the first needle with the last one, and leave them on it."
