"""How the techniques that a pattern names are done, in words of our own, for who has never done them.

Sources: grafting after the steps in *Grafting (knitting)*, an open encyclopedia, and a knitting magazine,
2021-2022 (looked up); the others are common practice.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Way:
    """One way to cast on or to bind off (`step` is that step word).

    `name` is what the page calls it, with {bind_off} for the term; `closed` a cast-on without an opening, for a toe.
    """

    step: str
    name: str
    how: str
    closed: bool = False


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
    "change": (
        "Change of yarn",
        "Drop the yarn in hand on the inside of the sock and begin with the other, leaving an end long enough to weave"
        " in. Where the first comes back within a few rounds, let it hang and lead it up along the inside, loose enough"
        " not to pucker; else break it.",
    ),
    "strand": (
        "Two yarns in one round",
        "Carry both yarns along; the one that rests passes loosely behind the stitches on the inside. Spread the"
        " stitches on the right needle before you change, so that the strand is as long as they are wide, and keep the"
        " same yarn always below the other. Where a strand passes more than about five stitches, cross the two yarns"
        " once on the way.",
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

WAYS = {
    "long-tail": Way(
        "cast_on",
        "long-tail cast-on over two needles",
        "Hold two needles together and cast on over both with the two ends of the yarn, the slip knot as far from"
        " the end as the tail is to be long. Draw one needle out before you work the first round: every loop has"
        " room to stretch.",
    ),
    "rib": Way(
        "cast_on",
        "alternating cast-on for rib",
        "Cast on with the two ends of the yarn, in turn one stitch as usual, which looks knitted, and one with"
        " the moves mirrored, which looks purled. The edge runs on into the rib and stretches as it does.",
    ),
    "figure-eight": Way(
        "cast_on",
        "figure-eight cast-on",
        "Hold two needles together, one above the other. Lead the yarn round them in a figure of eight, over the upper"
        " and under the lower one, until each holds half of the stitches. Knit those of the upper needle, turn both"
        " needles round, and knit the others through the back loop, as they hang the other way: this is the first round"
        " of the pattern, and in it the stitches are shared out. To join is only to go on with the other"
        " needle. Then draw the loops between the two needles tight one by one: the toe is closed without a seam.",
        closed=True,
    ),
    "circle": Way(
        "cast_on",
        "circle cast-on",
        "Lay the yarn in a ring with its end hanging down. In turn draw a loop up through the ring and make a yarn over"
        " on the needle, and end with a loop; for an even number draw up two loops one after the other at the end."
        " Share the stitches out, knit a round, then pull the end: the ring closes.",
        closed=True,
    ),
    "sewn": Way(
        "bind_off",
        "sewn {bind_off}",
        "Thread the end of the yarn into a wool needle. Over and over: through two stitches purlwise and leave them on;"
        " back through the first of them knitwise and slip it off. Keep the yarn loose, so that the edge stretches.",
    ),
    "decrease": Way(
        "bind_off",
        "stretchy decrease {bind_off}",
        "Knit 2 stitches together through the back loop, put the new stitch back on the left needle, and so on;"
        " in rib purl together what would be purled. Work it loosely.",
    ),
}
