"""Tools to cut out of paper, true to scale: a ruler with a line that checks the printer, and a window for gauge."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from fractions import Fraction

from grader.models.drawing import Drawing, Label, Stroke

CHECK_MM = 100.0
CHECK_IN = 4  # the check line of a ruler in inches alone, of which every ruler of inches has as many
WINDOW_MM = 50.0
_MM_PER_INCH = 25.4
_EDGE = 4.5  # beyond both ends of the ruler: half a label's width
_HAIR, _LINE, _CUT = 0.15, 0.25, 0.35
_TICKS_MM = {10: 5.0, 5: 3.6, 1: 2.2}  # millimetres apart -> length of the tick
_TICKS_EIGHTH = {8: 5.0, 4: 3.6, 2: 2.8, 1: 2.0}  # eighths of an inch apart -> length of the tick
_SCALE_HIGH = 12.0  # one scale with its numbers
_NUMBER_DROP = 3.6  # from the end of the longest tick to the baseline of its number
_CHECK_HIGH = 12.0
_FRAME = 6.0  # of the window, round its opening
_BESIDE = 42.0  # room for the words at its right
_COLUMN = 24  # characters of those words in a line
_WORDS, _FIGURES, _STEP = 9.0, 14.0, 4.2
_CHARACTER = 1.36  # mean width in mm of a character of a sentence at `_WORDS` points
_LEAST_APART = 0.5  # millimetres between two ticks that can still be told apart


def ruler(length_mm: int, units: str = "both") -> Drawing:
    """A ruler of so many millimetres, in centimetres above, inches below or both, over a line to check the printer by.

    Args:
        length_mm: 102 at the least where `units` is "in", else 100, so that the check line fits; the drawing is 9 mm
            wider.

    Raises:
        ValueError: the ruler is shorter than its check line.
    """
    check = CHECK_IN * _MM_PER_INCH if units == "in" else CHECK_MM
    if length_mm < check:
        raise ValueError(f"a ruler of {length_mm} mm is too short for its check line of {check:g} mm")
    strokes: list[Stroke] = []
    labels: list[Label] = []
    high = 0.0
    if units != "in":
        strokes += _scale(_ticks(float(length_mm), 1.0, _TICKS_MM), 0.0, down=True)
        for cm in range(length_mm // 10 + 1):
            labels.append(Label(_EDGE + 10 * cm, _TICKS_MM[10] + _NUMBER_DROP, str(cm)))
        high += _SCALE_HIGH
    if units != "cm":
        high += _SCALE_HIGH - 2.0
        strokes += _scale(_ticks(float(length_mm), _MM_PER_INCH / 8, _TICKS_EIGHTH), high, down=False)
        for inch in range(int(length_mm / _MM_PER_INCH) + 1):
            labels.append(Label(_EDGE + _MM_PER_INCH * inch, high - _TICKS_EIGHTH[8] - 1.2, str(inch)))
    edges = {"cm": (0.0,), "in": (high,), "both": (0.0, high)}[units]
    strokes += [_line(_EDGE, y, _EDGE + length_mm, y, _LINE) for y in edges]
    for scale, y in (("cm", 5.0 + _NUMBER_DROP), ("in", high - 6.2)):
        if units in (scale, "both"):
            labels.append(Label(_EDGE + 1.4, y, scale, "start", size=7.0))
    y = high + 5.0
    strokes += [_line(_EDGE, y, _EDGE + check, y, _CUT), *(_line(x, y - 1.5, x, y + 1.5, _CUT) for x in _ends(check))]
    said = f"{CHECK_IN} in" if units == "in" else f"{CHECK_MM:g} mm"
    words = f"This line is {said} long when printed at 100 %: measure it with a ruler of your own."
    fitting = min(_WORDS, _WORDS * (_EDGE + length_mm) / (_CHARACTER * len(words)))
    labels.append(Label(_EDGE, y + 5.2, words, "start", size=fitting))
    told = {"cm": "centimetres", "in": "inches", "both": "centimetres and inches"}[units]
    alt = f"A ruler in {told}, and a line of {said} to check it by: measure that line with a ruler of your own."
    return Drawing(length_mm + 2 * _EDGE, high + _CHECK_HIGH, tuple(strokes), tuple(labels), alt, true_size=True)


def gauge_window(stitches: Fraction, rounds: Fraction, word: str = "gauge") -> Drawing:
    """A frame round a square of 5 x 5 cm to cut out and lay on knitting, with what should be seen in it.

    Args:
        stitches, rounds: to one centimetre, as the pattern is knitted.
        word: gauge, or tension.

    Each tick above and below the opening is the edge of a stitch, each tick at its sides that of a round, every fifth
    longer; where they lie closer than half a millimetre only every fifth is drawn.
    """
    across, up = stitches * 5, rounds * 5
    begin, end = _FRAME, _FRAME + WINDOW_MM
    strokes = [_square(0.0, WINDOW_MM + 2 * _FRAME, _HAIR), _square(begin, end, _CUT)]
    for place, tall in _ticks(WINDOW_MM, WINDOW_MM / float(across), {5: 3.4, 1: 2.0}):
        strokes += [
            _line(begin + place, y, begin + place, y + tall * side, _HAIR) for y, side in ((begin, -1), (end, 1))
        ]
    for place, tall in _ticks(WINDOW_MM, WINDOW_MM / float(up), {5: 3.4, 1: 2.0}):
        y = end - place
        strokes += [_line(x, y, x + tall * side, y, _HAIR) for x, side in ((begin, -1), (end, 1))]
    middle = (begin + end) / 2
    labels = [
        Label(middle, middle - 1.0, "cut out this square"),
        Label(middle, middle + 4.0, "5 cm × 5 cm"),
    ]
    x = end + _FRAME + 4.0
    y = 3.0
    for words, size in (
        ("Lay the window on washed, dry knitting. It should show", _WORDS),
        (f"{_counted(across)} stitches", _FIGURES),
        (f"{_counted(up)} rounds", _FIGURES),
        ("A tick for each, every fifth longer.", _WORDS),
        ("If there are more, take larger needles; if fewer, smaller ones.", _WORDS),
    ):
        y += 2.4
        for text in textwrap.wrap(words, _COLUMN):
            y += _STEP
            labels.append(Label(x, y, text, "start", size=size))
    alt = (
        f"A window to cut out, 5 by 5 cm inside, for the {word}: it should show {_counted(across)} stitches"
        f" and {_counted(up)} rounds."
    )
    side = WINDOW_MM + 2 * _FRAME
    return Drawing(side + _BESIDE, side, tuple(strokes), tuple(labels), alt, true_size=True)


def _counted(amount: Fraction) -> str:
    """ "15½", to the nearest quarter: less can't be seen on knitting."""
    quarters = round(amount * 4)
    whole, part = divmod(quarters, 4)
    return f"{whole}{('', '¼', '½', '¾')[part]}"


def _ticks(length: float, apart: float, tall: dict[int, float]) -> Iterator[tuple[float, float]]:
    """Where the ticks of a scale stand, from its start, and how long each is."""
    step = 1 if apart >= _LEAST_APART else 5
    for number in range(0, int(length / apart + 1e-9) + 1, step):
        yield number * apart, next(size for every, size in tall.items() if number % every == 0)


def _scale(ticks: Iterator[tuple[float, float]], y: float, down: bool) -> list[Stroke]:
    return [_line(_EDGE + x, y, _EDGE + x, y + (tall if down else -tall), _HAIR) for x, tall in ticks]


def _ends(check: float) -> tuple[float, float]:
    return _EDGE, _EDGE + check


def _line(x1: float, y1: float, x2: float, y2: float, weight: float) -> Stroke:
    return Stroke((("M", (x1, y1)), ("L", (x2, y2))), weight)


def _square(begin: float, end: float, weight: float) -> Stroke:
    corners = ((begin, begin), (end, begin), (end, end), (begin, end))
    return Stroke(tuple(("L" if place else "M", corner) for place, corner in enumerate(corners)), weight, closed=True)
