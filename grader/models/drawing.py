"""A line drawing in millimetres that every kind of page can draw in its own way.

Points run from the upper left corner, x to the right and y downwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line. `path` holds ("M", (x, y)), ("L", (x, y)) and ("C", (x1, y1, x2, y2, x, y)); weight in mm.

    A closed path may be filled: `tinted` with the paler grey of the pages, or with `shade`, the share of black. A
    weight of 0 draws no line round it.
    """

    path: tuple[tuple[str, tuple[float, ...]], ...]
    weight: float = 0.2
    closed: bool = False
    tinted: bool = False
    shade: float = 0.0


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a point of their baseline; `angle` turns them anticlockwise in degrees, `size` is in points."""

    x: float
    y: float
    text: str
    anchor: Anchor = "middle"
    angle: float = 0
    size: float = 9


@dataclass(frozen=True, slots=True)
class Drawing:
    """Strokes and labels on a sheet of width by height millimetres; `alt` says in words what it shows.

    One of `true_size` is never made larger or smaller: it is to be measured with.
    """

    width_mm: float
    height_mm: float
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    alt: str
    true_size: bool = False
