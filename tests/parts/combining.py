"""Patterns put together from the parts that ship, for every combination that makes a sock."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

FLAPS = ("heel-flap-slipped", "heel-flap-plain", "heel-flap-garter-edged")
TURNS = ("turn-round", "turn-v", "turn-band")
HEELS = (
    *((flap, turn, "gusset") for flap, turn in itertools.product(FLAPS, TURNS)),
    ("heel-german-short-row",),
    ("heel-wrapped-short-row",),
)
CUFFS = ("cuff-1x1-rib", "cuff-2x2-rib", "cuff-3x1-rib", "cuff-rolled")
TOES = ("toe-wedge", "toe-wide-wedge", "toe-star")


def combinations() -> Iterator[tuple[str, ...]]:
    """Every cuff with every heel and every toe."""
    for cuff, heel, toe in itertools.product(CUFFS, HEELS, TOES):
        yield (cuff, "leg-straight", *heel, "foot-plain", toe)


def pattern_of(parts: tuple[str, ...], chart: str = "adult-feet", own: str = "") -> str:
    """A pattern file that says no more than its parts need; `own` is what it says beyond that."""
    repeat = "" if "cuff-rolled" in parts else "cuff.repeat, "
    return f"""
title: Put together
version: "1"
gauge: {{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes: {{chart: {chart}}}
parts: [{", ".join(parts)}]
numbers:
  cast_on:
    nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches
    multiple_of: [{repeat}4]
{own}"""
