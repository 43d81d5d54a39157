"""A drawing as SVG, for the Markdown to show and for the web: what every kind of page that is not paper needs."""

from __future__ import annotations

from html import escape

from grader.models.drawing import Drawing, Label, Stroke

_MM_PER_POINT = 25.4 / 72
INK = "#1a1a1a"


def drawing_svg(drawing: Drawing) -> str:
    """The drawing as one SVG text in true millimetres, with its description for those who can't see it."""
    width, height = _short(drawing.width_mm), _short(drawing.height_mm)
    body = "".join(f"  {_stroke(stroke)}\n" for stroke in drawing.strokes)
    body += "".join(f"  {_label(label)}\n" for label in drawing.labels)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(drawing.alt)}" '
        f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">\n'
        f"  <title>{escape(drawing.alt)}</title>\n{body}</svg>\n"
    )


def _stroke(stroke: Stroke) -> str:
    path = " ".join(f"{command}{' '.join(_short(n) for n in points)}" for command, points in stroke.path)
    fill = "#e9e7e3" if stroke.tinted else _grey(stroke.shade) if stroke.shade else "none"
    end = " Z" if stroke.closed else ""
    if not stroke.weight:
        return f'<path d="{path}{end}" fill="{fill}"/>'
    return (
        f'<path d="{path}{end}" fill="{fill}" stroke="{INK}" stroke-width="{_short(stroke.weight)}" '
        f'stroke-linejoin="round" stroke-linecap="round"/>'
    )


def _grey(shade: float) -> str:
    """A share of black as a colour of the web."""
    level = round(255 * (1 - shade))
    return f"#{level:02x}{level:02x}{level:02x}"


def _label(label: Label) -> str:
    x, y = _short(label.x), _short(label.y)
    turn = f' transform="rotate({_short(-label.angle)} {x} {y})"' if label.angle else ""
    return (
        f'<text x="{x}" y="{y}" text-anchor="{label.anchor}" font-family="sans-serif" '
        f'font-size="{_short(label.size * _MM_PER_POINT)}" fill="{INK}"{turn}>{escape(label.text)}</text>'
    )


def _short(number: float) -> str:
    """At most three decimals and no minus zero, so that the same drawing gives the same text."""
    text = f"{number:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
