"""A drawing on a page, by its upper left corner; line weights are kept where it is made smaller."""

from __future__ import annotations

import math
from typing import Any

from grader.models.drawing import Drawing
from grader.pages.pens import Pen
from grader.pages.styles import BAND, BLACK
from grader.pages.typefaces import width

_POINTS_PER_MM = 72 / 25.4


def draw_sketch(canvas: Any, pen: Pen, drawing: Drawing, left: float, top: float, scale: float, font: str) -> None:
    """Draw the strokes, then the words; `font` is what the words are set in."""
    unit = _POINTS_PER_MM * scale
    canvas.saveState()
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    pen.forget()
    for stroke in drawing.strokes:
        path = canvas.beginPath()
        for command, points in stroke.path:
            flat = [left + n * unit if not i % 2 else top - n * unit for i, n in enumerate(points)]
            {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo}[command](*flat)
        if stroke.closed:
            path.close()
        pen.stroke(BLACK, stroke.weight * _POINTS_PER_MM)
        pen.fill(BAND if stroke.tinted else (1 - stroke.shade,) * 3)
        canvas.drawPath(path, stroke=1 if stroke.weight else 0, fill=1 if stroke.tinted or stroke.shade else 0)
    for label in drawing.labels:
        size = label.size * max(1.0, scale) if scale > 0.85 else label.size * 0.85
        across = width(label.text, font, size)
        back = {"start": 0.0, "middle": across / 2, "end": across}[label.anchor]
        turn = math.radians(label.angle)
        x, y = left + label.x * unit - back * math.cos(turn), top - label.y * unit - back * math.sin(turn)
        pen.words(x, y, label.text, font, size, BLACK, label.angle)
    canvas.restoreState()
    pen.forget()
