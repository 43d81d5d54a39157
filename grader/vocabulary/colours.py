"""The words for the yarns of a sock of several colours: MC, and CC or CC1 to CC9.

Source: Craft Yarn Council master list of abbreviations (MC main colour, CC contrasting colour); numbering
several contrasting colours is common practice.
"""

from __future__ import annotations

import re

MAIN, CONTRAST = "MC", "CC"
_COLOUR = re.compile(r"MC|CC[1-9]?", re.I)
LONGEST_FLOAT = 5  # stitches a yarn passes over; longer ones catch toes (common practice)


def colour_named(word: str) -> str:
    """The colour of that word in any case, as it is printed; "" where the word is none."""
    return word.upper() if _COLOUR.fullmatch(word) else ""


def colour_label(name: str, terms: str = "UK") -> str:
    """What a colour is called where its pattern does not say: "main colour", "contrast colour 2"."""
    colour = "colour" if terms == "UK" else "color"
    return f"main {colour}" if name == MAIN else f"contrast {colour} {name.removeprefix(CONTRAST)}".strip()
