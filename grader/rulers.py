"""Tools on paper, true to scale: a ruler with a line that checks the printer, and a window for gauge."""

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
_NUMBER_DROP = 3.6  # from the end of the longest tick to the baseline of its number
_SCALE_HIGH = 9.4  # one scale with its numbers
_CHECK_DROP, _WORDS_DROP = 2.4, 4.5  # from the scale to the check line, from there and on to the words below
_ENDS = 1.5  # of the check line, above it and below
_BESIDE = 44.0  # of the ruler beyond the check line, enough for a few words there
_FRAME = 3.0  # of the window, round its opening
_FIELD_X, _FIELD_WIDE, _FIELD_HIGH = 59.5, 20.5, 8.5  # room to write at its right
_FIELD_EVERY = 18.5
_WORDS, _FIGURES, _STEP, _SMALL = 9.0, 16.0, 3.9, 8.5
_CHARACTER = 1.36  # mean width in mm of a character of a sentence at `_WORDS` points
_LEAST_APART = 0.5  # millimetres between two ticks that can still be told apart


def ruler(length_mm: int, units: str = "both") -> Drawing:
    """A ruler of so many millimetres, in centimetres above, inches below or both, with a line to check the printer by.

    Its scales stand at its edges, so that a sheet folded there is a ruler.

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
        strokes += [*_scale(_ticks(float(length_mm), 1.0, _TICKS_MM), 0.0, down=True), _edge(length_mm, 0.0)]
        labels.append(Label(_EDGE + 1.4, _TICKS_MM[10] + _NUMBER_DROP, "cm", "start", size=7.0))
        for cm in range(length_mm // 10 + 1):
            labels.append(Label(_EDGE + 10 * cm, _TICKS_MM[10] + _NUMBER_DROP, str(cm)))
        high = _SCALE_HIGH
    y = high + _CHECK_DROP
    strokes += [
        _line(_EDGE, y, _EDGE + check, y, _CUT),
        *(_line(x, y - _ENDS, x, y + _ENDS, _CUT) for x in (_EDGE, _EDGE + check)),
    ]
    said = f"{CHECK_IN} in" if units == "in" else f"{CHECK_MM:g} mm"
    room = _EDGE + length_mm
    told = _lines(f"This line is {said} long when printed at 100 %: measure it with a ruler of your own.", room)
    fold = "Fold along the edge, or cut it out."
    beside = length_mm - check >= _BESIDE
    if beside:
        labels.append(Label(_EDGE + check + 2.5, y + 1.0, fold, "start", size=_WORDS))
    y += _WORDS_DROP - _STEP
    for text in (*told, *(() if beside else (fold,))):
        y += _STEP
        labels.append(Label(_EDGE, y, text, "start", size=_WORDS))
    high = y + 1.2
    if units != "cm":
        labels.append(Label(_EDGE + 1.4, high + _NUMBER_DROP, "in", "start", size=7.0))
        for inch in range(int(length_mm / _MM_PER_INCH) + 1):
            labels.append(Label(_EDGE + _MM_PER_INCH * inch, high + _NUMBER_DROP, str(inch)))
        high += _SCALE_HIGH
        eighths = _ticks(float(length_mm), _MM_PER_INCH / 8, _TICKS_EIGHTH)
        strokes += [*_scale(eighths, high, down=False), _edge(length_mm, high)]
    named = {"cm": "centimetres", "in": "inches", "both": "centimetres and inches"}[units]
    alt = f"A ruler in {named}, and a line of {said} to check it by: measure that line with a ruler of your own."
    return Drawing(length_mm + 2 * _EDGE, round(high, 3), tuple(strokes), tuple(labels), alt, true_size=True)


def gauge_window(stitches: Fraction, rounds: Fraction, word: str = "gauge") -> Drawing:
    """A frame round a square of 5 x 5 cm to lay on knitting, with what should be seen in it, and room for one's own.

    Args:
        stitches, rounds: to one centimetre, as the pattern is knitted.
        word: gauge, or tension.

    Each tick above and below the opening is the edge of a stitch, each tick at its sides that of a round, every fifth
    longer; where they lie closer than half a millimetre only every fifth is drawn.
    """
    across, up = stitches * 5, rounds * 5
    begin, end = _FRAME, _FRAME + WINDOW_MM
    side = WINDOW_MM + 2 * _FRAME
    strokes = [_box(0.0, 0.0, side, side, _HAIR), _box(begin, begin, end, end, _CUT)]
    for place, tall in _ticks(WINDOW_MM, WINDOW_MM / float(across), {5: 2.8, 1: 1.7}):
        strokes += [_line(begin + place, y, begin + place, y + tall * way, _HAIR) for y, way in ((begin, -1), (end, 1))]
    for place, tall in _ticks(WINDOW_MM, WINDOW_MM / float(up), {5: 2.8, 1: 1.7}):
        y = end - place
        strokes += [_line(x, y, x + tall * way, y, _HAIR) for x, way in ((begin, -1), (end, 1))]
    middle = side / 2
    labels = [
        Label(middle, middle - 8.0, "5 cm × 5 cm", size=_WORDS),
        Label(middle, middle + 1.5, f"{_counted(across)} stitches", size=_FIGURES),
        Label(middle, middle + 9.5, f"{_counted(up)} rounds", size=_FIGURES),
    ]
    for place, said in enumerate(("My needle", "My stitches", "My rounds")):
        y = place * _FIELD_EVERY + 3.0
        labels.append(Label(_FIELD_X, y, said, "start", size=_SMALL))
        strokes.append(_box(_FIELD_X, y + 1.8, _FIELD_X + _FIELD_WIDE, y + 1.8 + _FIELD_HIGH, _LINE))
    alt = (
        f"A window to cut out, 5 by 5 cm inside, for the {word}: it should show {_counted(across)} stitches"
        f" and {_counted(up)} rounds."
    )
    return Drawing(_FIELD_X + _FIELD_WIDE, side, tuple(strokes), tuple(labels), alt, true_size=True)


def _lines(words: str, room: float) -> list[str]:
    """The words on as few lines as the room in millimetres asks for."""
    return textwrap.wrap(words, max(1, int(room / _CHARACTER)))


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


def _line(x1: float, y1: float, x2: float, y2: float, weight: float) -> Stroke:
    return Stroke((("M", (x1, y1)), ("L", (x2, y2))), weight)


def _edge(length_mm: int, y: float) -> Stroke:
    return _line(_EDGE, y, _EDGE + length_mm, y, _LINE)


def _box(left: float, top: float, right: float, bottom: float, weight: float) -> Stroke:
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Stroke(tuple(("L" if place else "M", corner) for place, corner in enumerate(corners)), weight, closed=True)
