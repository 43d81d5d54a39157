"""The strokes of the symbols, in a square from (0, 0) at its upper left to (1, 1); a crossing is wider."""

from __future__ import annotations

from grader.models.chart import Cell
from grader.vocabulary.chart_symbols import symbol_for

Point = tuple[float, float]
Path = tuple[tuple[str, tuple[float, ...]], ...]
_ARC = 0.5523  # the reach of the control points of a quarter circle, in radii
_HIGH, _LOW = 0.16, 0.84  # where the strands of a crossing end
_CLEAR = 0.2  # how far a strand behind stays off the ones in front, in columns


def _line(*points: Point) -> Path:
    return (("M", points[0]), *(("L", point) for point in points[1:]))


def _circle(x: float, y: float, r: float) -> Path:
    k = r * _ARC
    return (
        ("M", (x + r, y)),
        ("C", (x + r, y + k, x + k, y + r, x, y + r)),
        ("C", (x - k, y + r, x - r, y + k, x - r, y)),
        ("C", (x - r, y - k, x - k, y - r, x, y - r)),
        ("C", (x + k, y - r, x + r, y - k, x + r, y)),
    )


_FOOT = _line((0.25, 0.9), (0.75, 0.9))  # the bar that makes a purl of a symbol
_TWIST: Path = (("M", (0.24, 0.8)), ("C", (0.8, 0.5, 0.78, 0.16, 0.5, 0.16)), ("C", (0.22, 0.16, 0.2, 0.5, 0.76, 0.8)))
_VEE = _line((0.22, 0.22), (0.5, 0.76), (0.78, 0.22))
_RIGHT, _LEFT = _line((0.22, 0.78), (0.78, 0.2)), _line((0.22, 0.2), (0.78, 0.78))
_RIGHT_DOUBLE = (_line((0.14, 0.78), (0.6, 0.2)), _line((0.4, 0.78), (0.86, 0.2)))
_LEFT_DOUBLE = (_line((0.4, 0.2), (0.86, 0.78)), _line((0.14, 0.2), (0.6, 0.78)))
_MAKE = _line((0.22, 0.78), (0.22, 0.22), (0.5, 0.58), (0.78, 0.22), (0.78, 0.78))
_SMALL_MAKE = _line((0.12, 0.78), (0.12, 0.3), (0.34, 0.58), (0.56, 0.3), (0.56, 0.78))
_FORK = (_line((0.5, 0.8), (0.5, 0.5), (0.22, 0.18)), _line((0.5, 0.5), (0.78, 0.18)))
_SHAPES: dict[str, tuple[Path, ...]] = {
    "empty": (),
    "none": (),
    "letters": (),
    "bar": (_line((0.2, 0.5), (0.8, 0.5)),),
    "circle": (_circle(0.5, 0.5, 0.28),),
    "twist": (_TWIST,),
    "twist_bar": (_TWIST, _FOOT),
    "vee": (_VEE,),
    "vee_bar": (_VEE, _FOOT),
    "vee_twist": (_line((0.22, 0.2), (0.5, 0.58), (0.78, 0.2)), _line((0.5, 0.58), (0.5, 0.84))),
    "right": (_RIGHT,),
    "left": (_LEFT,),
    "right_bar": (_RIGHT, _FOOT),
    "left_bar": (_LEFT, _FOOT),
    "right_double": _RIGHT_DOUBLE,
    "left_double": _LEFT_DOUBLE,
    "right_double_bar": (*_RIGHT_DOUBLE, _FOOT),
    "left_foot": (_LEFT, _line((0.5, 0.49), (0.22, 0.78))),
    "centred": (_line((0.5, 0.14), (0.5, 0.84)), _line((0.2, 0.84), (0.5, 0.34), (0.8, 0.84))),
    "make": (_MAKE,),
    "make_bar": (_MAKE, _FOOT),
    "make_left": (_SMALL_MAKE, _line((0.66, 0.26), (0.9, 0.78))),
    "make_right": (_SMALL_MAKE, _line((0.9, 0.26), (0.66, 0.78))),
    "fork": _FORK,
    "fork_bar": (*_FORK, _FOOT),
    "trident": (_line((0.2, 0.2), (0.5, 0.84), (0.8, 0.2)), _line((0.5, 0.84), (0.5, 0.16))),
    "trident_circle": (_line((0.16, 0.24), (0.5, 0.84), (0.84, 0.24)), _circle(0.5, 0.3, 0.14)),
}


def symbol_paths(cell: Cell, side: str = "") -> tuple[Path, ...]:
    """The strokes of a cell's symbol, x from 0 to its columns, as it looks from the right side."""
    symbol = symbol_for(cell.name, side)
    if symbol.shape == "cable":
        return _crossing(cell)
    return _SHAPES[symbol.shape]


def _crossing(cell: Cell) -> tuple[Path, ...]:
    """One stroke a strand from the row below to the row above: whole in front, broken behind.

    Drawn to the right, where the strands in front come from the left; to the left it is mirrored. A purl behind
    has a bar at its upper end.
    """
    stitch = cell.stitch
    if stitch is None or stitch.crossing is None:
        raise AssertionError(f"{cell.name} crosses nothing")
    over, under, way = stitch.crossing
    wide = over + under
    ends: list[tuple[Point, Point]] = []
    for strand in range(over):
        ends.append(((strand + 0.5, 0.0), (strand + under + 0.5, 1.0)))
    for strand in range(under):
        for start, end in ((0.0, (strand + 0.5 + _CLEAR) / wide), ((strand + over + 0.5 - _CLEAR) / wide, 1.0)):
            ends.append(((over + strand + 0.5 - over * start, start), (over + strand + 0.5 - over * end, end)))
    paths = [tuple((x, _LOW + (_HIGH - _LOW) * y) for x, y in pair) for pair in ends]
    if stitch.face == "mixed":
        paths += [((strand + 0.25, _HIGH), (strand + 0.75, _HIGH)) for strand in range(under)]
    if way == "L":
        paths = [tuple((wide - x, y) for x, y in path) for path in paths]
    return tuple(_line(*path) for path in paths)
