"""The cautions the trade prints with socks: general advice that defers to a professional's."""

from __future__ import annotations

from collections.abc import Sequence

CAUTIONS = (
    "Knitted soles are slippery on smooth floors. Take care on stairs, and use non-slip soles for children and for"
    " anyone unsteady on their feet.",
    "A loose end or thread inside a small child's sock can wind tightly round a toe. Secure all ends and look inside"
    " the sock each time before it is put on.",
    "A top that is too tight can hinder the blood in the leg. For feet that feel little, are swollen or heal badly, and"
    " with diabetes, choose loose tops and smooth seams, and ask a doctor or podiatrist first.",
    "Wool can prickle or irritate the skin. If a rash appears, stop wearing the sock and ask for medical advice.",
    "Rest your hands every half hour or so, and stop when something hurts.",
)
FLOATS = (
    "Strands that lie loose inside a sock of two colours catch toes and nails, small ones most of all. Catch long"
    " strands in as you knit, and turn the sock inside out to look it over before it is worn.",
)
FINISHING = (
    "Work the second sock like the first.",
    "Weave in all ends on the inside, following a column of stitches, and trim them.",
    "Wash the socks as the ball band says, press the water out in a towel and let them dry flat. They take their size"
    " in the first wash.",
)
PAIR_FINISHING = "Work the left and the right sock alike, but for the sections that name one of them."
_IN_SHORT = (
    "Knitted soles are slippery: take care on stairs; non-slip soles for children and the unsteady.",
    "Secure all ends: a loose thread inside can wind round a small child's toe. Look before each wearing.",
    "No tight tops, above all with diabetes or feet that feel little or swell: ask a doctor or podiatrist first.",
    "If wool prickles or a rash appears, stop wearing the sock and ask for medical advice.",
    "Rest your hands every half hour or so, and stop when something hurts.",
)
_FLOATS_IN_SHORT = ("Loose strands inside catch toes and nails: catch long ones in as you knit.",)


def in_short(cautions: Sequence[str]) -> tuple[str, ...]:
    """The same cautions in one line each; one that is none of ours stays as it is."""
    short = dict(zip((*CAUTIONS, *FLOATS), (*_IN_SHORT, *_FLOATS_IN_SHORT), strict=True))
    return tuple(short.get(caution, caution) for caution in cautions)
