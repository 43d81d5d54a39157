"""Pages -> the bytes of a PDF, through one canvas; the only place that writes with reportlab."""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from grader.models.drawing import Drawing
from grader.pages.pieces import Fill, Ink, Page, Ring, Rule, Sketch, Square, Text
from grader.pages.sheets import BAND, BLACK, FOOT, GREY, HAIRLINE, SMALL, Sheet
from grader.pages.typefaces import REGULAR, typeface, width

_POINTS_PER_MM = 72 / 25.4
_BOX_LINE = 0.6


@dataclass(frozen=True, slots=True)
class Imprint:
    """What the file says of itself, and what stands at the foot of each page."""

    title: str
    version: str
    author: str
    language: str

    @property
    def foot(self) -> str:
        return f"{self.title} · version {self.version}" if self.version else self.title


def paint(pages: Iterable[Page], sheet: Sheet, imprint: Imprint) -> bytes:
    """Draw the pages; the same pages give the same bytes."""
    from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

    typeface(REGULAR)
    buffer = io.BytesIO()
    canvas = Canvas(
        buffer,
        pagesize=(sheet.width, sheet.height),
        invariant=1,
        pageCompression=1,
        lang=imprint.language,
        initialFontName=REGULAR,
        initialFontSize=SMALL.size,
    )
    canvas.setTitle(imprint.title)
    canvas.setAuthor(imprint.author)
    canvas.setSubject(imprint.foot)
    canvas.setCreator("sock-grader")
    canvas.setProducer("sock-grader")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    pages = tuple(pages)
    outline = _Outline(canvas, sheet)
    for number, page in enumerate(pages, 1):
        _page(canvas, page, sheet)
        outline.add(page)
        _foot(canvas, sheet, imprint, number, len(pages))
        canvas.showPage()
    if outline.deepest >= 0:
        canvas.showOutline()
    canvas.save()
    return buffer.getvalue()


class _Outline:
    """Bookmarks, nested by the level of their headings without leaving a level out."""

    def __init__(self, canvas: Any, sheet: Sheet) -> None:
        self.canvas = canvas
        self.sheet = sheet
        self.deepest = -1
        self._levels: list[int] = []
        self._count = 0

    def add(self, page: Page) -> None:
        for placed in page:
            if placed.bookmark is None or not placed.bookmark[1].strip():
                continue
            level, text = placed.bookmark
            while self._levels and self._levels[-1] >= level:
                self._levels.pop()
            self._levels.append(level)
            depth = len(self._levels) - 1
            self._count += 1
            key = f"part-{self._count}"
            height = self.sheet.height - self.sheet.top - placed.y
            self.canvas.bookmarkHorizontal(key, 0, height + 12)
            self.canvas.addOutlineEntry(text, key, depth, closed=depth >= 1)
            self.deepest = max(self.deepest, depth)


def _page(canvas: Any, page: Page, sheet: Sheet) -> None:
    """Tints first, then lines, then the words: nothing covers a word."""
    left, top = sheet.left, sheet.height - sheet.top
    words: list[tuple[float, float, Text]] = []
    canvas.setLineWidth(HAIRLINE)
    for kind in (Fill, None):
        for placed in page:
            base = top - placed.y
            for mark in placed.marks:
                if isinstance(mark, Fill) != (kind is Fill):
                    continue
                if isinstance(mark, Text):
                    words.append((left + mark.x, base - mark.y, mark))
                else:
                    _shape(canvas, mark, left, base)
    _write(canvas, words)


def _shape(canvas: Any, mark: Any, left: float, base: float) -> None:
    if isinstance(mark, Fill):
        canvas.setFillColorRGB(*mark.ink)
        canvas.rect(left + mark.x, base - mark.y - mark.height, mark.width, mark.height, stroke=0, fill=1)
    elif isinstance(mark, Rule):
        canvas.setStrokeColorRGB(*mark.ink)
        canvas.setLineWidth(HAIRLINE)
        canvas.line(left + mark.x1, base - mark.y1, left + mark.x2, base - mark.y2)
    elif isinstance(mark, Sketch):
        _sketch(canvas, mark.drawing, left + mark.x, base - mark.y, mark.scale)
    else:
        canvas.setStrokeColorRGB(*BLACK)
        canvas.setLineWidth(_BOX_LINE)
        if isinstance(mark, Ring):
            canvas.circle(left + mark.x, base - mark.y, mark.radius, stroke=1, fill=0)
        elif isinstance(mark, Square):
            canvas.rect(left + mark.x, base - mark.y - mark.side, mark.side, mark.side, stroke=1, fill=0)


def _write(canvas: Any, words: list[tuple[float, float, Text]]) -> None:
    """All words of a page as one text object, changing font and ink only where they change."""
    text = canvas.beginText()
    font: tuple[str, float] | None = None
    ink: Ink | None = None
    for x, y, mark in words:
        if font != (mark.font, mark.size):
            font = (mark.font, mark.size)
            typeface(mark.font)
            text.setFont(*font)
        if ink != mark.ink:
            ink = mark.ink
            text.setFillColorRGB(*ink)
        text.setTextOrigin(x, y)
        text.textOut(mark.text)
    canvas.drawText(text)
    for x, y, mark in words:
        if mark.link.startswith(("http://", "https://", "mailto:")):
            across = width(mark.text, mark.font, mark.size)
            canvas.linkURL(mark.link, (x, y - 3, x + across, y + mark.size - 2), relative=0, thickness=0)


def _sketch(canvas: Any, drawing: Drawing, left: float, top: float, scale: float) -> None:
    """A drawing by its upper left corner; line weights are kept where the drawing is made smaller."""
    unit = _POINTS_PER_MM * scale
    canvas.saveState()
    canvas.setStrokeColorRGB(*BLACK)
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for stroke in drawing.strokes:
        path = canvas.beginPath()
        for command, points in stroke.path:
            flat = [left + n * unit if not i % 2 else top - n * unit for i, n in enumerate(points)]
            {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo}[command](*flat)
        if stroke.closed:
            path.close()
        canvas.setLineWidth(stroke.weight * _POINTS_PER_MM)
        canvas.setFillColorRGB(*BAND if stroke.tinted else (1 - stroke.shade,) * 3)
        canvas.drawPath(path, stroke=1 if stroke.weight else 0, fill=1 if stroke.tinted or stroke.shade else 0)
    canvas.setFillColorRGB(*BLACK)
    for label in drawing.labels:
        size = label.size if scale > 0.85 else label.size * 0.85
        across = width(label.text, REGULAR, size)
        back = {"start": 0.0, "middle": across / 2, "end": across}[label.anchor]
        canvas.saveState()
        canvas.translate(left + label.x * unit, top - label.y * unit)
        canvas.rotate(label.angle)
        canvas.setFont(REGULAR, size)
        canvas.drawString(-back, 0, label.text)
        canvas.restoreState()
    canvas.restoreState()


def _foot(canvas: Any, sheet: Sheet, imprint: Imprint, number: int, count: int) -> None:
    right = f"page {number} of {count}"
    left = imprint.foot
    room = sheet.wide - width(right, REGULAR, SMALL.size) - 12
    while left and width(left, REGULAR, SMALL.size) > room:
        left = left[:-2].rstrip() + "…" if len(left) > 2 else ""
    canvas.setFont(REGULAR, SMALL.size)
    canvas.setFillColorRGB(*GREY)
    canvas.drawString(sheet.left, FOOT, left)
    canvas.drawRightString(sheet.left + sheet.wide, FOOT, right)
