"""The sock drawn from its own numbers: a side view, cuff up and toe to the right, to scale."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grader.models.drawing import Drawing, Label, Stroke
from grader.models.profile import SockProfile, fitted_profile, outline

MEASURES = ("leg_length", "cuff_length", "circumference", "flap_height", "foot_length", "toe_length")
_WORDS = {
    "leg_length": "leg",
    "cuff_length": "cuff",
    "circumference": "tube",
    "flap_height": "heel",
    "foot_length": "foot",
    "toe_length": "toe",
}
_WIDTH, _HEIGHT = 60.0, 78.0  # the most the drawing takes of a page, in mm
_GUTTER, _TOP, _BOTTOM = 7.5, 6.5, 8.0  # room for the dimension lines
_OUTLINE, _HAIR = 0.3, 0.12
_CHARACTER = 1.6  # mean width in mm of a character at 9 pt
_RIBS = 12

Point = tuple[float, float]


def sock_schematic(measures: Mapping[str, tuple[str, Fraction]], flap: bool = True) -> Drawing:
    """Draw a cuff-down sock from the side with its measurements.

    Args:
        measures: the `MEASURES`, each with the words to print beside it and its length in cm.
            No words, no dimension line. `circumference` is drawn as half of it, lying flat.
        flap: whether the heel has a flap and a gusset; else it is a cup between two slanting lines.

    Raises:
        ValueError: a measure is missing or not above zero.
    """
    given = {name.replace(" ", "_"): value for name, value in measures.items()}
    for name in MEASURES:
        if name not in given or given[name][1] <= 0:
            raise ValueError(f"the drawing needs {name} as a length above zero")
    words = {name: given[name][0] for name in MEASURES}
    sock, width, height = _fitted({name: float(given[name][1]) for name in MEASURES}, words["cuff_length"])
    lines, labels = _dimensions(sock, words)
    said = ", ".join(f"{_WORDS[name]} {words[name]}" for name in MEASURES if words[name])
    alt = f"Outline of the sock from the side, cuff at the top and toe to the right: {said}."
    return Drawing(
        width, height, (Stroke(outline(sock), _OUTLINE, closed=True), *_seams(sock, flap), *lines), labels, alt
    )


def _fitted(cm: Mapping[str, float], beside: str) -> tuple[SockProfile, float, float]:
    room = {"wide": _WIDTH - _GUTTER - 1.5, "high": _HEIGHT - _TOP - _BOTTOM}
    sock, scale = fitted_profile(cm, left=_GUTTER, top=_TOP, **room)
    width = _GUTTER + max(
        sock.foot + 1.5, sock.flat + 4.4 + _CHARACTER * len(beside)
    )  # as far as what stands beside the cuff
    drop = cm["leg_length"] + cm["flap_height"] + 0.3 * (cm["circumference"] / 2)
    return sock, round(width, 3), round(_TOP + drop * scale + _BOTTOM, 3)


def _seams(s: SockProfile, flap: bool) -> tuple[Stroke, ...]:
    """Where one part meets the next, and the ribs of the cuff."""
    half = s.left + s.flat / 2
    rib_end = s.top + s.cuff
    foot = min(half + 0.95 * s.flat, s.toe_start - 0.1 * s.flat)
    bow = s.toe_start + 0.07 * s.flat
    toe = _curve(
        s, (s.toe_start, s.instep + 0.06 * s.flat), (bow, s.instep + 0.3 * s.flat),
        (bow, s.sole - 0.3 * s.flat), (s.toe_start, s.sole),
    )  # fmt: skip
    parts = (_line(s.left, rib_end, s.front, rib_end), toe, *(_flap(s, half, foot) if flap else _cup(s, half)))
    across = [s.left + s.flat * step / _RIBS for step in range(1, _RIBS)]
    return parts + tuple(_line(x, s.top, x, rib_end) for x in across)


def _flap(s: SockProfile, half: float, foot: float) -> tuple[Stroke, ...]:
    """The flap, the edge of the turned heel, and the line of the gusset."""
    return (
        _line(s.left, s.flap_top, half, s.flap_top),
        _line(half, s.flap_top, half, s.flap_end),
        _line(s.left, s.flap_end, half, s.flap_end),
        _curve(
            s, (half, s.flap_end), (half, s.flap_end + 0.14 * s.flat),
            (half + 0.05 * s.flat, s.sole - 0.1 * s.flat), (half + 0.14 * s.flat, s.sole),
        ),
        _curve(
            s, (half, s.flap_top), (half + 0.2 * s.flat, s.flap_top + 0.25 * s.flat),
            (foot - 0.3 * s.flat, s.sole - 0.5 * s.flat), (foot, s.sole - 0.45 * s.flat),
        ),
    )  # fmt: skip


def _cup(s: SockProfile, half: float) -> tuple[Stroke, ...]:
    """A heel of short rows: from the back of the ankle and from the sole to its corner, and the fold between."""
    corner = (half + 0.1 * s.flat, (s.flap_top + s.sole) / 2)
    return (
        _line(s.left, s.flap_top, *corner),
        _line(half, s.sole, *corner),
        _line(s.left + 0.07 * s.flat, s.sole - 0.09 * s.flat, *corner),
    )


def _curve(s: SockProfile, start: Point, *points: Point) -> Stroke:
    """A fine curve from `start` by two control points to its end, none of them outside the sock's own height."""
    flat = [each for x, y in points for each in (x, min(max(y, s.top), s.sole))]
    return Stroke((("M", start), ("C", tuple(flat))), _HAIR)


def _dimensions(s: SockProfile, words: Mapping[str, str]) -> tuple[tuple[Stroke, ...], tuple[Label, ...]]:
    """The dimension lines with their ends, and the words beside them."""
    strokes: list[Stroke] = []
    labels: list[Label] = []
    side = s.left - 3.0
    leg_middle = s.top + s.leg / 2
    if words["leg_length"]:
        strokes += _upright(side, s.top, s.flap_top)
        labels.append(Label(side - 1.7, leg_middle, words["leg_length"], "middle", 90))
    if words["flap_height"]:
        strokes += _upright(side, s.flap_top, s.flap_end)
        clear = leg_middle + _CHARACTER * (len(words["leg_length"]) + len(words["flap_height"])) / 2 + 2
        centre = max(s.flap_top + s.flap / 2, clear if words["leg_length"] else 0)
        labels.append(Label(side - 1.7, centre, words["flap_height"], "middle", 90))
    if words["circumference"]:
        strokes += _level(s.top - 2.6, s.left, s.front)
        labels.append(Label(s.left, s.top - 3.8, words["circumference"], "start"))
    if words["cuff_length"]:
        strokes += _upright(s.front + 2.6, s.top, s.top + s.cuff)
        labels.append(Label(s.front + 4.4, s.top + s.cuff / 2 + 1.1, words["cuff_length"], "start"))
    if words["foot_length"]:
        strokes += _level(s.sole + 2.8, s.left, s.tip)
        labels.append(Label((s.left + s.tip) / 2, s.sole + 6.6, words["foot_length"]))
    if words["toe_length"]:
        strokes += _level(s.instep - 1.8, s.toe_start, s.tip)
        labels.append(Label(s.tip, s.instep - 3.2, words["toe_length"], "end"))
    return tuple(strokes), tuple(labels)


def _line(x1: float, y1: float, x2: float, y2: float) -> Stroke:
    return Stroke((("M", (x1, y1)), ("L", (x2, y2))), _HAIR)


def _upright(x: float, y1: float, y2: float) -> list[Stroke]:
    return [_line(x, y1, x, y2), _line(x - 0.8, y1, x + 0.8, y1), _line(x - 0.8, y2, x + 0.8, y2)]


def _level(y: float, x1: float, x2: float) -> list[Stroke]:
    return [_line(x1, y, x2, y), _line(x1, y - 0.8, x1, y + 0.8), _line(x2, y - 0.8, x2, y + 0.8)]
