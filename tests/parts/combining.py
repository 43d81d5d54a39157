"""Patterns put together from the parts that ship, for every combination that makes a sock."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

FLAPS = ("heel-flap-slipped", "heel-flap-plain", "heel-flap-garter-edged")
TURNS = ("turn-round", "turn-v", "turn-band")
SHORT_HEELS = (("heel-german-short-row",), ("heel-wrapped-short-row",), ("heel-afterthought",))
HEELS = (*((flap, turn, "gusset") for flap, turn in itertools.product(FLAPS, TURNS)), *SHORT_HEELS)
CUFFS = ("cuff-1x1-rib", "cuff-2x2-rib", "cuff-3x1-rib", "cuff-rolled", "cuff-picot")
LEGS = ("leg-straight", "leg-ankle", "leg-calf")
TOES = ("toe-wedge", "toe-wide-wedge", "toe-star", "toe-round", "toe-short-row", "toe-anatomical")
UP_TOES = ("toe-up-wedge", "toe-up-star", "toe-up-short-row")
UP_HEELS = (("toe-up-heel-gusset",), *SHORT_HEELS[:2], ("toe-up-heel-afterthought",))
UP_CUFFS = tuple(f"toe-up-{cuff}" for cuff in CUFFS)


def combinations() -> Iterator[tuple[str, ...]]:
    """Every cuff with every leg, heel and toe, from the cuff down; and every toe, heel and cuff from the toe up."""
    for cuff, leg, heel, toe in itertools.product(CUFFS, LEGS, HEELS, TOES):
        yield (cuff, leg, *heel, "foot-plain", toe)
    for toe, heel, cuff in itertools.product(UP_TOES, UP_HEELS, UP_CUFFS):
        yield (toe, "toe-up-foot", *heel, "toe-up-leg", cuff)


def twelve_legs() -> str:
    """Twelve feet with the legs above them, spaced as in the chart of adult feet, as a table of one's own."""
    rows = []
    for number in range(12):
        share = number / 11
        measures = {
            "foot_circumference": 19.5 + 7.5 * share,
            "foot_length": 23 + 5 * share,
            "leg_length": 16 + 4 * share,
            "calf": 33.5 + 8 * share,
            "knee_height": 41.5 + 6.5 * share,
        }
        told = ", ".join(f"{name}: {amount:.2f} cm" for name, amount in measures.items())
        rows.append(f"{{name: '{number + 1}', {told}}}")
    return f"{{own: [{', '.join(rows)}]}}"


def pattern_of(parts: tuple[str, ...], chart: str = "adult-feet", own: str = "") -> str:
    """A pattern file that says no more than its parts need; `own` is what it says beyond that.

    `chart` is the name of a chart, or "legs" for the twelve feet with their legs.
    """
    repeat = "cuff.repeat, " if any("-rib" in part for part in parts) else ""
    return f"""
title: Put together
version: "1"
gauge: {{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes: {twelve_legs() if chart == "legs" else f"{{chart: {chart}}}"}
parts: [{", ".join(parts)}]
numbers:
  cast_on:
    nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches
    multiple_of: [{repeat}4]
{own}"""
