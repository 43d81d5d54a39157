"""The parts of a sock by name, as the pattern's own sections call them."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from fractions import Fraction

from grader.diagrams.lines import FINE, drawing, line, words_wide
from grader.models.drawing import Drawing, Label, Stroke
from grader.models.profile import SockProfile, fitted_profile, outline

_PLACES = (
    "cuff",
    "leg",
    "calf",
    "heel flap",
    "flap",
    "heel turn",
    "turn",
    "heel",
    "gusset",
    "instep",
    "foot",
    "sole",
    "toe",
)


def draw_anatomy(measures: Mapping[str, Fraction], sections: Sequence[str]) -> Drawing:
    """The sock from the side with a line to each part.

    Args:
        measures: the lengths of the profile, in cm.
        sections: the names of the pattern's sections; instep and sole are added, which no section is called after.
    """
    cm = {name: float(amount) for name, amount in measures.items()}
    sock, _ = fitted_profile(cm, left=30.0, top=4.0, wide=52.0, high=56.0)
    flap = any("flap" in name.lower() for name in sections)
    strokes: list[Stroke] = [Stroke(outline(sock), 0.3, closed=True), *_borders(sock, flap)]
    labels: list[Label] = []
    used: set[str] = set()
    for name in (*sections, "Instep", "Sole"):
        place = _place(name, sock, flap)
        if place is None or name.lower() in used:
            continue
        used.add(name.lower())
        at, to, anchor = place
        strokes.append(line(at, to))
        gap = 1.2 if anchor == "start" else -1.2
        labels.append(Label(to[0] + gap, to[1] + 1.1, name.lower(), anchor))  # type: ignore[arg-type]
    wide = max(label.x + words_wide(label.text) for label in labels if label.anchor == "start") + 1
    names = ", ".join(label.text for label in labels)
    alt = f"A sock from the side, cuff at the top and toe to the right, with its parts named: {names}."
    return drawing(max(wide, sock.tip + 2), sock.sole + 12, strokes, labels, alt)


def _borders(s: SockProfile, flap: bool) -> list[Stroke]:
    """Where cuff, heel and toe begin and end."""
    half, bow = s.left + s.flat / 2, s.toe_start + 0.07 * s.flat
    toe = Stroke(
        (
            ("M", (s.toe_start, s.instep + 0.06 * s.flat)),
            ("C", (bow, s.instep + 0.3 * s.flat, bow, s.sole - 0.3 * s.flat, s.toe_start, s.sole)),
        ),
        FINE,
    )
    cuff = line((s.left, s.top + s.cuff), (s.front, s.top + s.cuff))
    if flap:
        box = [(s.left, s.flap_top), (half, s.flap_top), (half, s.flap_end), (s.left, s.flap_end)]
        heel = [line(start, end) for start, end in itertools.pairwise(box)]
    else:
        corner = (half + 0.1 * s.flat, (s.flap_top + s.sole) / 2)
        heel = [line((s.left, s.flap_top), corner), line((half, s.sole), corner)]
    return [cuff, toe, *heel]


Place = tuple[tuple[float, float], tuple[float, float], str]


def _place(name: str, s: SockProfile, flap: bool) -> Place | None:
    """Where a part is on the profile, and where its name stands; None for what is nowhere in particular."""
    word = next((each for each in _PLACES if each in name.lower()), None)
    right, left = s.front + 8, s.left - 8
    middle = s.left + s.flat / 2
    places: dict[str, Place] = {
        "cuff": ((s.front - 1, s.top + s.cuff / 2), (right, s.top + s.cuff / 2), "start"),
        "leg": ((s.front - 1, s.top + (s.cuff + s.leg) / 2), (right, s.top + (s.cuff + s.leg) / 2), "start"),
        "calf": ((s.left + 1, s.top + s.leg * 0.4), (left, s.top + s.leg * 0.4), "end"),
        "flap": ((s.left + 1, s.flap_top + s.flap / 2), (left, s.flap_top + s.flap / 2), "end"),
        "turn": ((s.left + 0.12 * s.flat, s.sole - 0.1 * s.flat), (left, s.sole + 1), "end"),
        "heel": ((s.left + 2, s.flap_end), (left, s.flap_end), "end"),
        "gusset": ((middle + 0.12 * s.flat, s.flap_end), (middle - 0.1 * s.flat, s.sole + 7), "end"),
        "instep": ((s.toe_start - 0.15 * s.foot, s.instep + 1.2), (s.toe_start - 0.1 * s.foot, s.instep - 7), "start"),
        "foot": ((s.toe_start - 3, (s.instep + s.sole) / 2 + 2), (s.tip + 4, s.sole + 4), "start"),
        "sole": ((s.toe_start - 0.2 * s.foot, s.sole - 0.6), (s.toe_start - 0.2 * s.foot + 3, s.sole + 7), "start"),
        "toe": ((s.tip - 2, s.sole - 0.5 * s.flat), (s.tip + 5, s.sole - 0.55 * s.flat), "start"),
    }
    return places.get(word or "") if not (word == "heel" and flap) else None
