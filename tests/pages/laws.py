"""What holds of every page that is laid out, whatever it says; told of a page before ink."""

from __future__ import annotations

import itertools
import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from grader.pages.pieces import Fill, Page, Photo, Placed, Ring, Rule, Sketch, Square, Text
from grader.pages.setting import LaidOut
from grader.pages.structure import Element
from grader.pages.typefaces import width

_NEAR = 0.6  # points by which a mark may miss its place: half the line round a box, sums of widths
_UP, _DOWN = 0.64, 0.18  # of the size: how far letters reach over their baseline and below it
_POINTS_PER_MM = 72 / 25.4
_SIZES = r"\d\s.,;:/–¼½¾⅓⅔⅛⅜⅝⅞"
_OPEN = re.compile(rf"\S*[\d–¼½¾⅓⅔⅛⅜⅝⅞] \([{_SIZES}]*$")  # a row of sizes that isn't closed
_FIRST = re.compile(r"\S*[\d–¼½¾⅓⅔⅛⅜⅝⅞]$")  # its first number, where the bracket stands on the next line
_OTHERS = re.compile(rf"\([\d–¼½¾][{_SIZES}]*,[{_SIZES}]*(?:\)|$)")
_ROW = re.compile(r"[^()]*\([^()]*\)(?:\S| (?:sts?|cm|in|rounds|rows|times)\b)*")  # all of it, with its unit
_TALLEST, _MOST_LINES = 200.0, 12  # of a cell; a taller one goes on in further pieces


@dataclass(frozen=True, slots=True)
class Box:
    """The ink of a mark on its page, from the upper left corner of the text; `said` names it in a message."""

    left: float
    top: float
    right: float
    bottom: float
    said: str

    def meets(self, other: Box) -> bool:
        """Whether the two share more than a hair's breadth."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > _NEAR and down > _NEAR


def broken(laid_out: LaidOut) -> list[str]:
    """Every law that a document breaks, with the number of the page and the words it is broken at."""
    found = [
        f"{law}: page {number + 1}: {said}"
        for number, page in enumerate(laid_out.pages)
        for law, laws in (
            ("heading last", _headings_last(page)),
            ("outside", _outside(page, laid_out)),
            ("overlap", _overlaps(page)),
        )
        for said in laws
    ]
    found += [f"row of sizes broken: {said}" for said in _rows_of_sizes_broken(laid_out)]
    found += [f"row split: {said}" for said in _rows_split(laid_out)]
    found += [f"label alone: {said}" for said in _labels_alone(laid_out)]
    return found + [f"empty: {said}" for said in _empty(laid_out)]


def _text(placed: Placed) -> str:
    return " ".join(mark.text for mark in placed.marks if isinstance(mark, Text))


def _headings_last(page: Page) -> Iterator[str]:
    """A heading, or the head of a table, with nothing of its own below it."""
    flow = [placed for placed in page if placed.role != "note"]
    if flow and flow[-1].role in ("heading", "table head", "table top", "header again"):
        yield _text(flow[-1])


def _rows_of_sizes_broken(laid_out: LaidOut) -> Iterator[str]:
    """A bracket of numbers that does not close on the line on which it opens, though it is no wider than a line."""
    sheet = laid_out.sheet
    lines: dict[int, dict[tuple[int, float], list[Text]]] = defaultdict(lambda: defaultdict(list))
    for number, page in enumerate(laid_out.pages):
        for placed in page:
            for mark in placed.marks:
                if isinstance(mark, Text) and mark.of is not None:
                    lines[id(mark.of)][number, round(placed.y + mark.y, 1)].append(mark)
    for element in lines.values():
        rows = [sorted(element[place], key=lambda mark: mark.x) for place in sorted(element)]
        said = ["".join(mark.text for mark in row).strip() for row in rows]
        for at, (place, text, after) in enumerate(zip(sorted(element), said, [*said[1:], ""], strict=True)):
            opened = _OPEN.search(text) or (_OTHERS.match(after) and _FIRST.search(text))
            if not opened:
                continue
            whole = _ROW.match(" ".join((text[opened.start() :], *said[at + 1 :])))
            last, left = rows[at][-1], rows[min(at + 1, len(rows) - 1)][0].x
            across = width(whole[0] if whole else text, last.font, last.size)
            right = sheet.column if left < sheet.column else sheet.wide
            if across <= right - left:
                yield f"page {place[0] + 1}: {text[-40:]!r}, {across:.0f} wide, on a line of {right - left:.0f}"


def boxes_of(page: Page, font: str) -> Iterator[tuple[str, Box]]:
    """What every mark of a page covers, with the kind of the mark; `font` is that of the words of drawings."""
    for placed in page:
        for mark in placed.marks:
            y = placed.y
            kind = type(mark).__name__
            if isinstance(mark, Text):
                said = mark.text.strip()
                start = mark.x + width(mark.text[: len(mark.text) - len(mark.text.lstrip())], mark.font, mark.size)
                if said:
                    top, bottom = y + mark.y - _UP * mark.size, y + mark.y + _DOWN * mark.size
                    yield kind, Box(start, top, start + width(said, mark.font, mark.size), bottom, said)
            elif isinstance(mark, Rule):
                xs, ys = sorted((mark.x1, mark.x2)), sorted((mark.y1, mark.y2))
                yield kind, Box(xs[0], y + ys[0], xs[1], y + ys[1], kind)
            elif isinstance(mark, Fill | Photo):
                yield kind, Box(mark.x, y + mark.y, mark.x + mark.width, y + mark.y + mark.height, kind)
            elif isinstance(mark, Ring):
                r = mark.radius
                yield kind, Box(mark.x - r, y + mark.y - r, mark.x + r, y + mark.y + r, kind)
            elif isinstance(mark, Square):
                yield kind, Box(mark.x, y + mark.y, mark.x + (mark.across or mark.side), y + mark.y + mark.side, kind)
            elif isinstance(mark, Sketch):
                yield kind, _sketched(mark, y)
                for label in _labels(mark, y, font):
                    yield "Label", label


def _sketched(mark: Sketch, y: float) -> Box:
    unit = _POINTS_PER_MM * mark.scale
    wide, high = mark.drawing.width_mm * unit, mark.drawing.height_mm * unit
    return Box(mark.x, y + mark.y, mark.x + wide, y + mark.y + high, mark.drawing.alt[:40])


def _labels(mark: Sketch, y: float, font: str) -> Iterator[Box]:
    """The level words of a drawing, as large as they are painted."""
    unit = _POINTS_PER_MM * mark.scale
    for label in mark.drawing.labels:
        if label.angle or not label.text.strip():
            continue
        size = label.size * max(1.0, mark.scale) if mark.scale > 0.85 else label.size * 0.85
        across = width(label.text, font, size)
        left = mark.x + label.x * unit - {"start": 0.0, "middle": across / 2, "end": across}[label.anchor]
        base = y + mark.y + label.y * unit
        yield Box(left, base - _UP * size, left + across, base + _DOWN * size, label.text)


def _outside(page: Page, laid_out: LaidOut) -> Iterator[str]:
    """Text, a rule or a drawing beyond the margins; a note beyond its column's end."""
    sheet = laid_out.sheet
    for kind, box in boxes_of(page, laid_out.style.family.regular):
        inside = (
            box.left >= -_NEAR
            and box.right <= sheet.wide + _NEAR
            and box.top >= -_NEAR
            and box.bottom <= sheet.depth + _NEAR
        )
        if not inside:
            yield f"{kind} {box.said!r} at {box.left:.0f}, {box.top:.0f} to {box.right:.0f}, {box.bottom:.0f}"
    for placed in page:
        if placed.role == "note" and not (placed.y >= -_NEAR and placed.y + placed.height <= sheet.depth + _NEAR):
            yield f"note {_text(placed)!r}"


def _overlaps(page: Page) -> Iterator[str]:
    """Two texts, or a text and a drawing or picture, on one place."""
    boxes = [
        (kind, box)
        for kind, box in boxes_of(page, "Pattern-Regular")
        if kind in ("Text", "Sketch", "Photo") or (kind == "Square" and box.right - box.left > 20)
    ]
    boxes.sort(key=lambda each: each[1].top)
    for place, (kind, box) in enumerate(boxes):
        for other, against in boxes[place + 1 :]:
            if against.top > box.bottom:
                break
            if box.meets(against):
                yield f"{kind} {box.said!r} and {other} {against.said!r}"


def _rows_split(laid_out: LaidOut) -> Iterator[str]:
    """A row of a table on two pages, unless its cells are very tall."""
    pages: dict[int, set[int]] = defaultdict(set)
    lines: dict[int, set[tuple[int, float]]] = defaultdict(set)
    words: dict[int, str] = defaultdict(str)
    for number, page in enumerate(laid_out.pages):
        for placed in page:
            for mark in placed.marks:
                row = _row(mark.of) if isinstance(mark, Text) else None
                if row is not None and isinstance(mark, Text):
                    pages[id(row)].add(number)
                    lines[id(row)].add((number, round(placed.y + mark.y, 1)))
                    words[id(row)] += mark.text
    leading = laid_out.style.cell.leading
    tallest = max(3, min(_MOST_LINES, int(_TALLEST / leading)))
    for row, on in pages.items():
        if len(on) > 1 and len(lines[row]) <= tallest:
            yield f"pages {sorted(number + 1 for number in on)}: {words[row][:60]!r}"


def _row(element: Element | None) -> Element | None:
    while element is not None and element.kind != "TR":
        element = element.parent
    return element


def _labels_alone(laid_out: LaidOut) -> Iterator[str]:
    """The label of an instruction on another page, or at another height, than the first line of its work."""
    first: dict[int, tuple[int, float]] = {}
    labels: list[tuple[Element, str, tuple[int, float]]] = []
    for number, page in enumerate(laid_out.pages):
        for placed in page:
            for mark in placed.marks:
                if not isinstance(mark, Text) or mark.of is None:
                    continue
                item = _item(mark.of)
                place = (number, round(placed.y + mark.y, 1))
                if mark.of.kind == "Lbl":
                    labels.append((mark.of, mark.text, place))
                elif item is not None:
                    first.setdefault(id(item), place)
    for element, said, place in labels:
        work = first.get(id(element.parent))
        if work is not None and work != place:
            yield f"{said!r} on page {place[0] + 1}, its work on page {work[0] + 1}"


def _item(element: Element | None) -> Element | None:
    while element is not None and element.kind != "LI":
        element = element.parent
    return element


def _empty(laid_out: LaidOut) -> Iterator[str]:
    """A page under a third full that is not the last of a document, though what follows would have found room on it.

    The pages before a part or another title may end where they do.
    """
    depth, style = laid_out.sheet.depth, laid_out.style
    for number, (page, following) in enumerate(itertools.pairwise(laid_out.pages)):
        used = max((placed.y + placed.height for placed in page if not _beside(placed, laid_out)), default=0.0)
        if used >= depth / 3:
            continue
        opens = following[0]
        size = max((mark.size for mark in opens.marks if isinstance(mark, Text)), default=0.0)
        if opens.role == "heading" and size >= style.part.size:
            continue
        apart = style.above if opens.role == "heading" else style.apart
        if used + apart + _whole(following) <= depth:
            yield f"page {number + 1} of {len(laid_out.pages)} ends at {used / depth:.0%}, before {_text(opens)[:50]!r}"


def _beside(placed: Placed, laid_out: LaidOut) -> bool:
    """Whether it is a note in the outer column; a note under its text takes part in filling the page."""
    sheet = laid_out.sheet
    xs = [mark.x1 if isinstance(mark, Rule) else mark.x for mark in placed.marks]
    return placed.role == "note" and sheet.margin > 0 and min(xs, default=0.0) >= sheet.column


def _whole(page: Page) -> float:
    """How much room what opens a page needs at the least: its headings and the first thing under them."""
    flow = [placed for placed in page if placed.role not in ("note", "header again")]
    height = 0.0
    for placed, after in itertools.zip_longest(flow, flow[1:]):
        height = placed.y + placed.height
        table = placed.role.startswith("table") and after is not None and after.role.startswith("table")
        if placed.role != "heading" and not table:
            break
    return height
