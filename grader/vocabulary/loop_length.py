"""How much yarn one stitch takes, worked out from the gauge.

Source: Munden, The Geometry and Dimensional Properties of Plain-Knit Fabrics, Journal of the
Textile Institute 50 (1959), T448-T471. Status: the constants are memory, but for k_c and k_w
of the fully relaxed state, which were looked up. They are for plain knitting (stocking stitch).

Relaxation states: "dry relaxed", off the needles and left to lie; "wet relaxed", soaked and
dried flat, as a swatch is blocked; "fully relaxed", washed and tumbled until it shrinks no more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from grader.vocabulary.reference import read_reference


@dataclass(frozen=True, slots=True)
class RelaxationState:
    """The constants of one state, without units: courses = k_c / l, wales = k_w / l, density = k_s / l squared."""

    name: str
    k_c: float
    k_w: float
    k_s: float
    status: str


def loop_length_cm(stitches_per_cm: float, rounds_per_cm: float, state: str = "wet relaxed") -> float:
    """The yarn in one stitch, in cm: sqrt(k_s / (stitches per cm x rounds per cm)).

    Source: Munden 1959, from memory but for the fully relaxed state (half looked up); see the
    module. The relaxation states are "dry relaxed", "wet relaxed" and "fully relaxed";
    `KeyError` for any other, `ValueError` for a gauge that is not above zero.
    """
    if stitches_per_cm <= 0 or rounds_per_cm <= 0:
        raise ValueError("a gauge is more than no stitches and no rounds")
    return math.sqrt(relaxation_state(state).k_s / (stitches_per_cm * rounds_per_cm))


def relaxation_state(name: str) -> RelaxationState:
    """The constants of one relaxation state; `KeyError` lists the states there are."""
    if name not in _states():
        raise KeyError(f"no relaxation state {name!r}; there are {', '.join(_states())}")
    return _states()[name]


@cache
def _states() -> dict[str, RelaxationState]:
    rows = read_reference("loop_length")["rows"]
    states = (RelaxationState(row["state"], row["k_c"], row["k_w"], row["k_s"], row["status"]) for row in rows)
    return {each.name: each for each in states}
