"""Socks of other constructions to make mistakes in: from the toe up, short rows, calves, lace, cables, colours."""

from __future__ import annotations

from tests.parts.combining import twelve_legs

from .flattening import flat

_FLAP = ("heel-flap-slipped", "turn-round", "gusset-motif")
CONSTRUCTIONS: dict[str, tuple[str, ...]] = {
    "up-gusset": ("toe-up-wedge", "toe-up-foot", "toe-up-heel-gusset", "toe-up-leg", "toe-up-cuff-2x2-rib"),
    "up-short-row": ("toe-up-short-row", "toe-up-foot", "heel-german-short-row", "toe-up-leg", "toe-up-cuff-picot"),
    "up-star": ("toe-up-star", "toe-up-foot", "heel-afterthought", "toe-up-leg", "toe-up-cuff-rolled"),
    "afterthought": ("cuff-picot", "leg-straight", "heel-afterthought", "foot-plain", "toe-round"),
    "calf-panel": ("stitch-rope-panel", "cuff-2x2-rib", "leg-calf", *_FLAP, "foot-panel", "toe-anatomical"),
    "lace": ("stitch-arrowhead-lace", "cuff-2x2-rib", "leg-front", *_FLAP, "foot-motif", "toe-star"),
    "braid": (
        "stitch-braid-panel",
        "cuff-2x2-rib",
        "leg-front",
        "heel-wrapped-short-row",
        "foot-panel",
        "toe-short-row",
    ),
    "colours": ("stitch-checks", "cuff-1x1-rib", "leg-motif", "heel-german-short-row", "foot-plain", "toe-wedge"),
}


def text_of(name: str, sizes: str = "") -> str:
    """The pattern of a construction in one text that needs no parts; `sizes` is what stands after that key."""
    parts = CONSTRUCTIONS[name]
    repeat = "cuff.repeat, " if any("-rib" in part for part in parts) else ""
    more = " + drawn_in" if "foot-panel" in parts else ""
    legs = "leg-calf" in parts
    return flat(f"""
title: Put together
version: "1"
gauge: {{stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}}
yarn: {{weight: super fine, metres: 420, per: 100 g}}
fit: {{foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}}
sizes: {sizes or (twelve_legs() if legs else "{chart: adult-feet}")}
parts: [{", ".join(parts)}]
numbers:
  cast_on:
    nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches{more}
    multiple_of: [{repeat}4]
    label: stitches to cast on
    why: The tube is smaller than the foot, so that it stays up.
""")
