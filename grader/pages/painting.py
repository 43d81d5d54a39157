"""Pages -> the bytes of a PDF, through one canvas; the only place that writes with reportlab."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, Any

from grader.pages.conforming import conform, undated, written_by_rule
from grader.pages.filing import Reserved, pack_last_page, reserving, whole_file
from grader.pages.imposing import BLEED, MARK, MARK_GAP, stands
from grader.pages.pens import Pen
from grader.pages.pieces import Fill, Mark, Page, Photo, Ring, Rule, Sketch, Square, Text
from grader.pages.sheets import FOOT, HAIRLINE, Sheet
from grader.pages.sketching import draw_sketch
from grader.pages.styles import BLACK, GREY, Style
from grader.pages.tagging import Tags
from grader.pages.typefaces import typeface, width
from grader.pages.words import Words
from grader.pictures import printed_at

if TYPE_CHECKING:
    from grader.pages.setting import LaidOut, Press

_BOX_LINE = 0.6
_MAKER = "sock-grader"


@dataclass(frozen=True, slots=True)
class Imprint:
    """What the file says of itself, and what stands at the foot of each page."""

    title: str
    version: str
    author: str
    language: str
    date: str = ""
    words: Words = Words()

    @property
    def feet(self) -> tuple[str, ...]:
        """What stands at the foot, from the longest to the shortest."""
        version = self.words.version.format(version=self.version) if self.version else ""
        parts = [part for part in (self.title, version, self.date) if part]
        return tuple(" · ".join(parts[:count]) for count in range(len(parts), 0, -1))

    @property
    def foot(self) -> str:
        """All of it."""
        return self.feet[0] if self.feet else ""


def paint(parts: Iterable[LaidOut], imprint: Imprint, press: Press) -> bytes:
    """Draw the pages of one part, or of several, which are counted each by itself; the same pages give the same bytes.

    A part is asked for when those before it are drawn and forgotten. All stand on the sheet of the first.
    """
    from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

    further = iter(parts)
    first = next(further)
    sheet, style = first.sheet, first.style
    regular = style.family.regular
    typeface(regular)
    around = BLEED + MARK_GAP + MARK if press.marks else 0.0
    across = sheet.width * (2 if press.imposed else 1)
    size = (across + 2 * around, sheet.height + 2 * around)
    trim = (around, around, around + across, around + sheet.height)
    bleed = (trim[0] - BLEED, trim[1] - BLEED, trim[2] + BLEED, trim[3] + BLEED) if press.marks else trim
    with undated():
        canvas = Canvas(
            io.BytesIO(),
            pagesize=size,
            invariant=1,
            pageCompression=1,
            pdfVersion=(1, 7),
            lang=imprint.language,
            initialFontName=regular,
            initialFontSize=style.foot.size,
            trimBox=trim,
            bleedBox=bleed,
        )
    canvas.setTitle(imprint.title)
    canvas.setAuthor(imprint.author)
    canvas.setSubject(imprint.foot)
    canvas.setCreator(_MAKER)
    canvas.setProducer(_MAKER)
    canvas.setViewerPreference("DisplayDocTitle", "true")
    painter = _Painter(canvas, reserving(canvas), imprint, press)
    for laid_out in chain((first,), further):
        painter.begin(laid_out)
        for side in stands(len(laid_out.pages), sheet, press.bound, press.imposed, around):
            for stand in side:
                if stand.page is not None:
                    painter.page(stand.page, stand.x, stand.y)
            if press.marks:
                painter.crop_marks(trim)
            painter.turn()
        painter.end(laid_out)
    painter.finish()
    conform(canvas, imprint.title, imprint.author, imprint.foot, _MAKER)
    with written_by_rule():
        return whole_file(canvas)


class _Painter:
    """Draws the pages of one part after the other, in the order in which they stand on the sheets."""

    sheet: Sheet
    style: Style

    def __init__(self, canvas: Any, reserved: Reserved, imprint: Imprint, press: Press) -> None:
        self.canvas = canvas
        self.pages: Sequence[Page] = ()
        self.imprint = imprint
        self.tags = Tags(canvas, reserved)
        self._before = 0  # pages of the parts before
        self.pen = Pen(canvas, self.tags, press.one_ink)
        self.links: list[Any] = []
        self._marked: list[tuple[int, str, int, str]] = []  # page, name of the place, level, words

    def begin(self, laid_out: LaidOut) -> None:
        """A part begins."""
        self.pages, self.sheet, self.style = laid_out.pages, laid_out.sheet, laid_out.style

    def end(self, laid_out: LaidOut) -> None:
        """All its pages are drawn."""
        self.tags.end_part(laid_out.root)
        self._before += len(self.pages)
        self.pages = ()

    def page(self, number: int, x: float, y: float) -> None:
        """One page, its lower left corner at a place of the sheet: tints, then lines, then the words and pictures."""
        page = self.pages[number]
        left, top = x + self.sheet.left, y + self.sheet.height - self.sheet.top
        self.pen.artifact("Layout")
        for kind in (Fill, None):
            for placed in page:
                for mark in placed.marks:
                    if isinstance(mark, Fill) == (kind is Fill) and getattr(mark, "of", None) is None:
                        self._shape(mark, left, top - placed.y)
        self._foot(number, x, y)
        self.pen.close()
        self.tags.page = number
        for placed in page:
            if placed.bookmark is not None and placed.bookmark[1].strip():
                name = f"part-{len(self._marked) + 1}"
                self.canvas.bookmarkHorizontal(name, 0, top - placed.y + 12)
                self._marked.append((self._before + number, name, *placed.bookmark))
            for mark in placed.marks:
                if getattr(mark, "of", None) is not None:
                    self._tagged(mark, left, top - placed.y)
        self.pen.close()

    def turn(self) -> None:
        """The side of the sheet is done."""
        self.canvas.showPage()
        pack_last_page(self.canvas)
        self.pen.turn()
        self.tags.end_page()

    def finish(self) -> None:
        """All sides are done: bookmarks, nested by the level of their headings without leaving a level out."""
        levels: list[int] = []
        for _number, name, level, text in sorted(self._marked, key=lambda marked: marked[0]):
            while levels and levels[-1] >= level:
                levels.pop()
            levels.append(level)
            self.canvas.addOutlineEntry(text, name, len(levels) - 1, closed=len(levels) > 1)
        if levels:
            self.canvas.showOutline()
        self.tags.finish(self.links)

    def _shape(self, mark: Mark, left: float, base: float) -> None:
        canvas, pen = self.canvas, self.pen
        if isinstance(mark, Fill):
            pen.fill(mark.ink)
            pen.rectangle(left + mark.x, base - mark.y - mark.height, mark.width, mark.height, filled=True)
        elif isinstance(mark, Rule):
            pen.stroke(mark.ink, HAIRLINE)
            pen.line(left + mark.x1, base - mark.y1, left + mark.x2, base - mark.y2)
        elif isinstance(mark, Text):  # the head of a table, drawn again
            pen.words(left + mark.x, base - mark.y, mark.text, mark.font, mark.size, mark.ink)
        elif isinstance(mark, Ring):
            pen.stroke(BLACK, _BOX_LINE)
            canvas.circle(left + mark.x, base - mark.y, mark.radius, stroke=1, fill=0)
        elif isinstance(mark, Square):
            pen.stroke(BLACK, _BOX_LINE)
            pen.rectangle(left + mark.x, base - mark.y - mark.side, mark.across or mark.side, mark.side)

    def _tagged(self, mark: Mark, left: float, base: float) -> None:
        if isinstance(mark, Text):
            self._words(mark, left + mark.x, base - mark.y)
        elif isinstance(mark, Square) and mark.across:
            if mark.of is not None:
                figure = mark.of.add("Figure", self.imprint.words.blank)
                corner = (left + mark.x, base - mark.y - mark.side)
                self.tags.box(figure, (*corner, corner[0] + mark.across, corner[1] + mark.side))
                self.pen.inside(figure)
            self._shape(mark, left, base)
        elif isinstance(mark, Square) and mark.of is not None:
            self.pen.inside(mark.of)
            self._shape(mark, left, base)
        elif isinstance(mark, Sketch) and mark.of is not None:
            unit = 72 / 25.4 * mark.scale
            x, y = left + mark.x, base - mark.y
            wide, high = mark.drawing.width_mm * unit, mark.drawing.height_mm * unit
            self.tags.box(mark.of, (x, y - high, x + wide, y))
            self.pen.inside(mark.of)
            draw_sketch(self.canvas, self.pen, mark.drawing, x, y, mark.scale, self.style.family.regular)
        elif isinstance(mark, Photo) and mark.of is not None:
            self._photo(mark, left + mark.x, base - mark.y)

    def _words(self, mark: Text, x: float, y: float) -> None:
        if mark.of is None:
            return
        target = mark.of
        if mark.link.startswith(("http://", "https://", "mailto:")):
            target = mark.of.add("Link", self.imprint.words.link.format(target=mark.text))
            self._hotspot(mark, target, x, y)
        self.pen.inside(target)
        self.pen.words(x, y, mark.text, mark.font, mark.size, mark.ink)

    def _hotspot(self, mark: Text, link: Any, x: float, y: float) -> None:
        from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString  # type: ignore[import-untyped]

        name = f"link-{len(self.links)}"
        across = width(mark.text, mark.font, mark.size)
        annotation = PDFDictionary(
            {
                "Type": PDFName("Annot"),
                "Subtype": PDFName("Link"),
                "Rect": PDFArray([x, y - 3, x + across, y + mark.size - 2]),
                "Border": PDFArray([0, 0, 0]),
                "F": 4,
                "Contents": PDFString(link.alt),
                "A": PDFDictionary({"S": PDFName("URI"), "URI": PDFString(mark.link)}),
            }
        )
        self.canvas._addAnnotation(annotation, name)
        self.tags.link(link, name)
        self.links.append(annotation)

    def _photo(self, mark: Photo, x: float, top: float) -> None:
        from reportlab.lib.utils import ImageReader  # type: ignore[import-untyped]

        if mark.of is None:
            return
        picture = printed_at(mark.file, mark.width, mark.height)
        if self.pen.one_ink:
            picture = picture.convert("L")
        self.tags.box(mark.of, (x, top - mark.height, x + mark.width, top))
        self.pen.inside(mark.of)
        self.canvas.drawImage(ImageReader(picture), x, top - mark.height, mark.width, mark.height)

    def _foot(self, number: int, x: float, y: float) -> None:
        """Title and version left, page of pages right; part of no structure."""
        regular, size = self.style.family.regular, self.style.foot.size
        right = self.imprint.words.page.format(number=number + 1, count=len(self.pages))
        room = self.sheet.wide - width(right, regular, size) - 12
        left = next((told for told in self.imprint.feet if width(told, regular, size) <= room), self.imprint.title)
        while left and width(left, regular, size) > room:
            left = left[:-2].rstrip() + "…" if len(left) > 2 else ""
        at = x + self.sheet.left
        self.pen.words(at, y + FOOT, left, regular, size, GREY)
        self.pen.words(at + self.sheet.wide - width(right, regular, size), y + FOOT, right, regular, size, GREY)

    def crop_marks(self, trim: tuple[float, float, float, float]) -> None:
        """Where to cut: a hair at each corner, outside the bleed."""
        left, bottom, right, top = trim
        gap = BLEED + MARK_GAP
        self.pen.artifact("Layout")
        self.pen.stroke(BLACK, 0.25)
        for x in (left, right):
            self.pen.line(x, bottom - gap, x, bottom - gap - MARK)
            self.pen.line(x, top + gap, x, top + gap + MARK)
        for y in (bottom, top):
            self.pen.line(left - gap, y, left - gap - MARK, y)
            self.pen.line(right + gap, y, right + gap + MARK, y)
        self.pen.close()
