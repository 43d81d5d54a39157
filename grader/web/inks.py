"""The colours of a page on a screen, by day and by night, and a designer's own among them kept readable.

Contrast and its bounds are those of WCAG 2.2 (W3C recommendation, 2023): 4.5 to 1 for text.
"""

from __future__ import annotations

from collections.abc import Mapping

Ink = tuple[float, float, float]  # shares of red, green and blue

ENOUGH = 4.5  # to one, between text and what it stands on
DAY: Mapping[str, str] = {
    **{"paper": "#ffffff", "ink": "#1f1b19", "quiet": "#5a534e", "accent": "#6e2129", "band": "#f5f2ee"},
    **{"rule": "#cfc8c0", "mine": "#ffe3a3", "mine-ink": "#1f1b19"},
}
NIGHT: Mapping[str, str] = {
    **{"paper": "#1a1817", "ink": "#ece7e2", "quiet": "#b8afa7", "accent": "#f2aeb2", "band": "#272422"},
    **{"rule": "#514a45", "mine": "#5e4803", "mine-ink": "#fff6df"},
}


def ink(colour: str) -> Ink:
    """The shares of a colour written as #rrggbb."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return red, green, blue


def written(colour: Ink) -> str:
    """A colour as #rrggbb."""
    return "#" + "".join(f"{round(255 * min(1.0, max(0.0, share))):02x}" for share in colour)


def contrast(one: Ink, other: Ink) -> float:
    """How much lighter the lighter of two colours is, 1 to 21."""
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def inks(accent: Ink | None = None) -> tuple[Mapping[str, str], Mapping[str, str]]:
    """The colours by day and by night; an accent too pale or too dark for either is deepened or lightened for it."""
    if accent is None:
        return DAY, NIGHT
    return {**DAY, "accent": _readable(accent, DAY)}, {**NIGHT, "accent": _readable(accent, NIGHT)}


def _readable(accent: Ink, on: Mapping[str, str]) -> str:
    """The accent, mixed with the ink of the page until it can be read on its paper and on its bands."""
    towards = ink(on["ink"])
    for share in range(0, 101, 5):
        mixed = tuple(mine + (its - mine) * share / 100 for mine, its in zip(accent, towards, strict=True))
        colour = written((mixed[0], mixed[1], mixed[2]))
        if min(contrast(ink(colour), ink(on[ground])) for ground in ("paper", "band")) >= ENOUGH:
            return colour
    return on["ink"]


def _luminance(colour: Ink) -> float:
    """The relative luminance of WCAG, of sRGB."""
    red, green, blue = (
        share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4) for share in colour
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
