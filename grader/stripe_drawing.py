"""Both socks of a pair with their stripes, from the side and to scale: tints, marks and letters, never colour alone."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from grader.models.drawing import Drawing, Label, Stroke
from grader.models.profile import SockProfile, fitted_profile, outline
from grader.models.stripes import StripedPair, StripedSock

MEASURES = ("leg_length", "cuff_length", "circumference", "flap_height", "foot_length", "toe_length")
CONTRAST = ""  # the key of another yarn, which no colour of a repeat can have
_WIDE, _HIGH = 72.0, 66.0  # the most that one sock takes, in mm, and that socks and key take of the height
_TOP, _SIDE, _GAP, _UNDER, _ROW = 7.0, 6.0, 9.0, 9.0, 5.0
_DARKEST = 0.42  # so that words in ink on it still have five times its light
_HAIR, _OUTLINE = 0.12, 0.3
_STEP = 0.04  # of a zone: how finely its curves are followed
_MARKS = ("", "along", "across", "both")
_COLUMNS, _APART = 9, 1.1  # marks: stitches across a sock, and mm between lines
_SMALL, _LETTER_MM = 7.0, 2.6
_MOST_TOLD = 24  # letters of one part in the words for the drawing
_BOX = (7.0, 3.6)  # of the key, in mm

Say = Callable[[str], str]
Point = tuple[float, float]
Curve = tuple[Point, ...]
_ZONES = {"cuff": "leg", "leg": "leg", "heel": "heel", "gusset": "foot", "foot": "foot", "toe": "toe"}


@dataclass(frozen=True, slots=True)
class _Look:
    """How a colour is drawn: its letter, its share of black, and the lines over it."""

    letter: str
    shade: float
    marks: str


@dataclass(frozen=True, slots=True)
class _Band:
    """A stretch of a zone in one colour, from the cuff or the ankle on: shares of the zone's rounds."""

    zone: str
    begin: float
    end: float
    colour: str


def _as_it_is(text: str) -> str:
    return text


def draw_stripes(pair: StripedPair, measures_cm: Mapping[str, Fraction], say: Say = _as_it_is) -> Drawing:
    """Draw sock one and sock two side by side with a key of the colours.

    Args:
        pair: the socks as laid out along the yarn.
        measures_cm: the `MEASURES` of the sock, in cm, all above zero; `KeyError` for one that is missing.
        say: how words are told in another language; the names of the colours stay as they are.

    The rounds of a part are drawn equally high. Gusset and ankle lie as flat as a folded sock does, so that rounds fan
    out there; the front of the leg is a little shorter than its back.
    """
    cm = {name: float(measures_cm[name]) for name in MEASURES}
    looks = _looks(pair)
    strokes: list[Stroke] = []
    labels: list[Label] = []
    left, deepest = _SIDE, 0.0
    high = _HIGH - math.ceil(len(looks) / 2) * _ROW
    for number, sock in (("one", pair.first), ("two", pair.second)):
        profile, _ = fitted_profile(cm, left=left, top=_TOP, wide=_WIDE, high=high)
        bands = list(_bands(sock, pair))
        for band in bands:
            strokes += _painted(profile, band, looks[band.colour])
        strokes.append(Stroke(outline(profile), _OUTLINE, closed=True))
        strokes += _seams(profile, sock)
        labels.append(Label(left, _TOP - 3, say(f"Sock {number}"), "start"))
        labels += _letters(profile, bands, looks)
        left, deepest = profile.tip + _GAP, profile.sole
    key_strokes, key_labels, bottom = _key(pair, looks, deepest + _UNDER, say)
    width = max(left - _GAP + 2, _SIDE + 2 * _WIDE + _GAP)
    return Drawing(
        round(width, 3), round(bottom, 3), (*strokes, *key_strokes), (*labels, *key_labels), _told(pair, looks, say)
    )


def _looks(pair: StripedPair) -> dict[str, _Look]:
    """A letter, a tint and marks for every colour; those in a row differ in both tint and marks."""
    names = [*pair.ask.colours, *([CONTRAST] if pair.other else [])]
    looks: dict[str, _Look] = {}
    for at, name in enumerate(names):
        taken = {look.letter for look in looks.values()}
        own = [letter for letter in (name.upper() or "X") if letter.isalpha()]
        free = (letter for letter in (*own, *"ABCDEFGHIJKLMNOPQRSTUVWXYZ") if letter not in taken)
        shade = _DARKEST * at / max(1, len(names) - 1)
        looks[name] = _Look(next(free, str(at + 1)), round(shade, 3), _MARKS[at % len(_MARKS)])
    return looks


def _bands(sock: StripedSock, pair: StripedPair) -> Iterator[_Band]:
    """The stripes as shares of the zones they lie in, in working order; a sock from the toe up runs backwards."""
    zones = [_ZONES[each.part] for each in sock.passes]
    counts = {zone: zones.count(zone) for zone in zones}
    toe_up = bool(zones) and zones.index("toe") < zones.index("leg") if {"toe", "leg"} <= set(zones) else False
    pieces: dict[int, list[tuple[float, float, str]]] = {}
    for laid in sock.stripes:
        colour = pair.ask.repeat[laid.index].colour
        for share in laid.shares:
            pieces.setdefault(share.at, []).append((float(share.begin), float(share.end), colour))
    seen: dict[str, int] = dict.fromkeys(counts, 0)
    cut: list[_Band] = []
    for at, zone in enumerate(zones):
        for begin, end, colour in pieces.get(at, [(0.0, 1.0, CONTRAST)]):
            low, high = (seen[zone] + begin) / counts[zone], (seen[zone] + end) / counts[zone]
            cut.append(_Band(zone, 1 - high, 1 - low, colour) if toe_up else _Band(zone, low, high, colour))
        seen[zone] += 1
    for (zone, colour), group in itertools.groupby(cut, key=lambda each: (each.zone, each.colour)):
        alike = list(group)
        yield _Band(zone, min(each.begin for each in alike), max(each.end for each in alike), colour)


def _painted(s: SockProfile, band: _Band, look: _Look) -> list[Stroke]:
    """The tint of a band, a hairline at each end, and its marks."""
    inner = [share for share in _shares(band) if band.begin < share < band.end]
    curves = [_curve(s, band.zone, share) for share in (band.begin, *inner, band.end)]
    ring = (*curves[0], *(each[-1] for each in curves[1:-1]), *reversed(curves[-1]))
    ring = (*ring, *(each[0] for each in reversed(curves[1:-1])))
    strokes = [Stroke(_path(ring), 0, closed=True, shade=look.shade)] if look.shade else []
    strokes += [Stroke(_path(curves[0]), _HAIR), Stroke(_path(curves[-1]), _HAIR)]
    if look.marks in ("along", "both"):
        lines = int(_thickness(curves) / _APART)
        for line in range(1, lines + 1):
            share = band.begin + (band.end - band.begin) * line / (lines + 1)
            strokes.append(Stroke(_path(_curve(s, band.zone, share)), _HAIR))
    if look.marks in ("across", "both"):
        for column in range(1, _COLUMNS):
            strokes.append(Stroke(_path(tuple(_along(each, column / _COLUMNS) for each in curves)), _HAIR))
    return strokes


def _shares(band: _Band) -> Iterator[float]:
    first, last = math.floor(band.begin / _STEP), math.ceil(band.end / _STEP)
    return (step * _STEP for step in range(first, last + 1))


def _thickness(curves: Sequence[Curve]) -> float:
    """How far a band reaches in mm, half way across."""
    middles = [_along(each, 0.5) for each in curves]
    return sum(math.dist(a, b) for a, b in itertools.pairwise(middles))


def _curve(s: SockProfile, zone: str, share: float) -> Curve:
    """The round that lies at a share of its zone, from the back or the sole to the front or the instep."""
    half = s.left + s.flat / 2
    upper, lower = _edges(s)
    ankle = s.instep - s.bend - s.top + s.flat + 0.5 * s.bend  # along the top edge, down the front, into the bend
    if zone == "leg":
        y = s.top + share * s.leg
        return ((s.left, y), (half, y), _at(upper, s.flat + share * (ankle - s.flat)))
    if zone == "heel":
        y = s.flap_top + share * (s.sole - s.flap_top)
        down = max(0.0, (y - s.flap_end) / (s.sole - s.flap_end))
        return (_left_edge(s, y), (half + 0.14 * s.flat * down, y))
    toe_top = _across(upper, s.toe_start)
    if zone == "foot":
        last = _length(upper, toe_top)
        top = _at(upper, ankle + share * (last - ankle))
        bottom = (half + 0.14 * s.flat + share * (s.toe_start - half - 0.14 * s.flat), s.sole)
        high, low = (half, s.flap_top), (half, s.flap_end)
        end_high = (s.toe_start, toe_top[1] + 0.33 * (s.sole - toe_top[1]))
        end_low = (s.toe_start, toe_top[1] + 0.67 * (s.sole - toe_top[1]))
        return (bottom, _between(low, end_low, share), _between(high, end_high, share), top)
    x = s.toe_start + share * (s.tip - s.toe_start)
    return (_across(lower, x), _across(upper, x))


@cache
def _edges(s: SockProfile) -> tuple[Curve, Curve]:
    """The outline as two lines of short pieces: front and instep down to the tip, and from the tip back the sole."""
    points: list[Point] = []
    upper: Curve = ()
    for command, flat in outline(s):
        ends = list(zip(flat[::2], flat[1::2], strict=True))
        if command == "C":
            begin = points[-1]
            points += [_bezier((begin, *ends), step / 16) for step in range(1, 17)]
        else:
            points += ends
        if not upper and command == "C" and math.isclose(points[-1][0], s.tip):
            upper, points = tuple(points), [points[-1]]
    return upper, tuple(points)


def _bezier(points: Sequence[Point], t: float) -> Point:
    """The point of a cubic curve at a share of its parameter, from its start, two control points and its end."""
    u = 1 - t
    weights = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
    weighed = [(weight * x, weight * y) for weight, (x, y) in zip(weights, points, strict=True)]
    return sum(x for x, _ in weighed), sum(y for _, y in weighed)


def _left_edge(s: SockProfile, y: float) -> Point:
    """The back of the heel at a height."""
    _, lower = _edges(s)
    heel = [each for each in lower if each[0] <= s.left + 0.5 * s.flat + 1e-9]
    for (x1, y1), (x2, y2) in itertools.pairwise(heel):
        if y2 <= y <= y1 and y1 > y2:
            return x1 + (x2 - x1) * (y1 - y) / (y1 - y2), y
    return heel[0] if y > s.flap_end else (s.left, y)


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _at(line: Curve, length: float) -> Point:
    """The point so many mm along a line; its end where it is no longer."""
    for a, b in itertools.pairwise(line):
        piece = math.dist(a, b)
        if piece and length <= piece:
            return _between(a, b, max(0.0, length / piece))
        length -= piece
    return line[-1]


def _along(line: Curve, share: float) -> Point:
    """The point at a share of a line's length."""
    return _at(line, share * sum(math.dist(a, b) for a, b in itertools.pairwise(line)))


def _across(line: Curve, x: float) -> Point:
    """Where a line that runs one way passes an x; the nearer end where it doesn't."""
    for a, b in itertools.pairwise(line):
        low, high = min(a[0], b[0]), max(a[0], b[0])
        if low <= x <= high and high > low:
            return x, a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0])
    return max(line, key=lambda each: each[0])


def _length(line: Curve, point: Point) -> float:
    """How many mm along a line a point of it lies."""
    length = 0.0
    for a, b in itertools.pairwise(line):
        if math.dist(a, point) + math.dist(point, b) <= math.dist(a, b) + 1e-6:
            return length + math.dist(a, point)
        length += math.dist(a, b)
    return length


def _path(points: Sequence[Point]) -> tuple[tuple[str, tuple[float, ...]], ...]:
    return tuple(("L" if at else "M", point) for at, point in enumerate(points))


def _seams(s: SockProfile, sock: StripedSock) -> list[Stroke]:
    """The bounds of heel and toe, which the stripes meet."""
    heel = any(each.part == "heel" for each in sock.passes)
    bounds = [_curve(s, "toe", 0.0), *([_curve(s, "leg", 1.0), _curve(s, "foot", 0.0)] if heel else [])]
    return [Stroke(_path(each), _OUTLINE * 0.8) for each in bounds]


def _letters(s: SockProfile, bands: Sequence[_Band], looks: Mapping[str, _Look]) -> Iterator[Label]:
    """Letters beside the leg and the heel and under the foot, as far as there is room; the broad stripes go first."""
    down: list[float] = []
    along: list[float] = []
    for band in sorted(
        bands, key=lambda each: -_thickness([_curve(s, each.zone, each.begin), _curve(s, each.zone, each.end)])
    ):
        first = _curve(s, band.zone, (band.begin + band.end) / 2)[0]
        beside = band.zone in ("leg", "heel") and first[1] < s.flap_end
        places, place = (down, first[1]) if beside else (along, first[0])
        if band.zone == "heel" and not beside:
            continue
        if any(abs(place - other) < _LETTER_MM for other in places):
            continue
        places.append(place)
        letter = looks[band.colour].letter
        if beside:
            yield Label(s.left - 1.2, place + 0.9, letter, "end", size=_SMALL)
        else:
            yield Label(place, s.sole + 3.4, letter, size=_SMALL)


def _key(
    pair: StripedPair, looks: Mapping[str, _Look], top: float, say: Say
) -> tuple[list[Stroke], list[Label], float]:
    """A box of each colour with its letter, its name and its metres in the repeat."""
    strokes: list[Stroke] = []
    labels: list[Label] = []
    wide, high = _BOX
    for at, (name, look) in enumerate(looks.items()):
        left, y = _SIDE + at % 2 * (_WIDE + _GAP), top + at // 2 * _ROW
        right = left + wide
        corners = ((left, y), (right, y), (right, y + high), (left, y + high))
        strokes.append(Stroke(_path(corners), _HAIR * 1.5, closed=True, shade=look.shade))
        if look.marks in ("along", "both"):
            lines = [y + high * row / 4 for row in (1, 2, 3)]
            strokes += [Stroke(_path(((left, line), (right, line))), _HAIR) for line in lines]
        if look.marks in ("across", "both"):
            columns = [left + wide * column / 6 for column in range(1, 6)]
            strokes += [Stroke(_path(((x, y), (x, y + high))), _HAIR) for x in columns]
        labels.append(Label(right + 2, y + 3, f"{look.letter}  {_named(pair, name, say)}", "start"))
    return strokes, labels, top + math.ceil(len(looks) / 2) * _ROW


def _named(pair: StripedPair, name: str, say: Say) -> str:
    """A colour with its lengths in the repeat."""
    lengths = list(dict.fromkeys(f"{float(each.metres):.3g} m" for each in pair.ask.repeat if each.colour == name))
    if not lengths:
        return say("contrast, in another yarn")
    told = say(lengths[0] if len(lengths) == 1 else f"{len(lengths)} lengths")
    return f"{name}, {say(' and '.join(lengths)) if len(lengths) == 2 else told}"


def _told(pair: StripedPair, looks: Mapping[str, _Look], say: Say) -> str:
    """The same in words: the colours of both socks in working order, part by part."""
    key = "; ".join(f"{look.letter} {say('is')} {_named(pair, name, say)}" for name, look in looks.items())
    same = [_order(sock, pair, looks, say) for sock in (pair.first, pair.second)]
    one, two = say("Sock one"), say("Sock two")
    socks = f"{say('Both socks alike')}: {same[0]}" if same[0] == same[1] else f"{one}: {same[0]}. {two}: {same[1]}"
    return f"{say('Both socks of the pair from the side, striped to scale.')} {key}. {socks}."


def _order(sock: StripedSock, pair: StripedPair, looks: Mapping[str, _Look], say: Say) -> str:
    """The letters of one sock by part, in working order."""
    colours: dict[int, list[str]] = {}
    for laid in sock.stripes:
        for share in laid.shares:
            colours.setdefault(share.at, []).append(looks[pair.ask.repeat[laid.index].colour].letter)
    worked = [(each.part, colours.get(at) or [looks[CONTRAST].letter]) for at, each in enumerate(sock.passes)]
    told = []
    for part, group in itertools.groupby(worked, key=lambda each: each[0]):
        letters = [letter for letter, _ in itertools.groupby(itertools.chain(*(each[1] for each in group)))]
        if len(letters) > _MOST_TOLD:
            letters = [say(f"{len(letters)} stripes from {letters[0]} to {letters[-1]}")]
        told.append(f"{say(part)} {' '.join(letters)}")
    return ", ".join(told)
