"""How the techniques that a pattern names are done, in words of our own, for who has never done them.

Sources: grafting after the steps in *Grafting (knitting)*, an open encyclopedia, and a knitting magazine,
2021-2022 (looked up); the others are common practice.
"""

from __future__ import annotations

TECHNIQUES = {
    "cast_on": (
        "Stretchy cast-on",
        "A long-tail cast-on made over two needles held together is stretchy. Begin with the slip knot as far from the"
        " end of the yarn as the tail is to be long, and draw one of the needles out before you work the first round.",
    ),
    "join": (
        "Join in the round",
        "Lay the cast-on edge along the inside of the needles without a twist, and knit the first stitch you cast on"
        " with the yarn that hangs from the last.",
    ),
    "turn": (
        "Turn",
        "Take the work round so that its other side faces you, and work back. Where a row works every stitch, turn at"
        " its end all the same.",
    ),
    "pick_up": (
        "Pick up and knit",
        "With the right side facing you, put the needle under both threads of the edge stitch, lay the yarn round it"
        " and draw a loop through: one new stitch. The left edge is on your left as you look at the right side of the"
        " piece with the needle at the top. The corner is where the edge meets the stitches that waited.",
    ),
    "graft": (
        "Graft",
        "Hold the two needles side by side with the wrong sides together; the yarn comes from the back needle, at the"
        " right. Thread the tail into the wool needle. To begin, go through the first stitch of the front needle"
        " purlwise and of the back needle knitwise, and leave both on. Then, over and over: front stitch knitwise and"
        " off, next front stitch purlwise and leave it on; back stitch purlwise and off, next back stitch knitwise and"
        " leave it on. Draw the yarn as loose as the knitting. When one stitch is left on each needle: front knitwise"
        " and off, back purlwise and off.",
    ),
}
