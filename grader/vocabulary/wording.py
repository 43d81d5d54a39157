"""The two vocabularies of the trade in English, UK and US, from one glossary.

Source: Craft Yarn Council master list and common practice; see `grader/data/abbreviations.yaml`.
"""

from __future__ import annotations

TERMS: dict[str, dict[str, str]] = {
    "UK": {
        "gauge": "tension",
        "bind_off": "cast off",
        "stockinette": "stocking stitch",
        "centre": "centre",
        "colour": "colour",
        "fingering": "4-ply",
        "metre": "metre",
        "gray": "grey",
    },
    "US": {
        "gauge": "gauge",
        "bind_off": "bind off",
        "stockinette": "stockinette stitch",
        "centre": "center",
        "colour": "color",
        "fingering": "fingering",
        "metre": "meter",
        "gray": "gray",
    },
}


def joined(words: list[str] | tuple[str, ...], conjunction: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {conjunction} {words[-1]}"


def counted(count: int, singular: str, plural: str = "") -> str:
    """ "1 st", "2 sts": a number with the word that agrees with it."""
    return f"{count} {singular if count == 1 else plural or singular + 's'}"


def times(count: int) -> str:
    """ "once", "twice", "3 times"."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
