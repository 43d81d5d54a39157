"""Pieces -> pages: where to turn, weighing torn passages against empty paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from grader.pages.pieces import ALWAYS, Note, Page, Piece, Placed

_APART = 8.0  # between notes in the outer column
_EMPTY_ALLOWED = 1 / 3
_HARDLY_FILLED, _MOSTLY_EMPTY = 1 / 3, 60.0  # a page less full than that costs so much more, unless a part follows
_PAGE_MORE = 30.0  # a page more in a document that another follows
_FIRST_PAGE = 8.0  # how much more an empty end counts on the first page, which should hold all there is to buy
_SHORT_LAST_PAGE = 0.14


@dataclass(slots=True)
class _Filling:
    """A page as it fills. Notes wait in `waiting` until a wide piece or the page's end settles them.

    Most pages are only tried: then nothing is kept in `placed`.
    """

    depth: float
    kept: bool = True
    opens: bool = True
    y: float = 0.0
    placed: list[Placed] = field(default_factory=list)
    waiting: list[tuple[float, Note]] = field(default_factory=list)
    fixed: list[tuple[float, float]] = field(default_factory=list)
    start: float = 0.0

    def add(self, piece: Piece) -> bool:
        """Put the piece under the others; False when it doesn't fit any more."""
        top = self.y if self.opens else self.y + piece.before
        if self.opens and piece.header is not None:
            self._place(0.0, piece.header, "header again")
            top = piece.header.height
        if piece.wide and self.waiting:
            top = self._clear(top)
        elif piece.wide and self.fixed:
            top = max(top, self.fixed[-1][1])
        bottom = top + piece.height
        if bottom > self.depth + 0.01 and not self.opens:
            return False
        self.opens = False
        self._place(top, piece, piece.role)
        for note in piece.notes:
            self.waiting.append((top + note.drop, note))
        for first, last in piece.fixed:
            self.fixed.append((top + first, top + last))
        if piece.wide:
            self.start = bottom
        self.y = bottom
        return True

    def _place(self, top: float, piece: Piece, role: str) -> None:
        if self.kept:
            self.placed.append(Placed(top, piece.marks, role, piece.bookmark, piece.height))

    def _clear(self, top: float) -> float:
        """Settle the waiting notes above a wide piece, which moves down for them where it must."""
        tops = self._settled(top - _APART)
        if tops is None:
            tops = self._downward()
            top = max(top, tops[-1] + self.waiting[-1][1].height + _APART)
        self._put(tops)
        return top

    def settle(self) -> bool:
        """Give the waiting notes their places above the page's end; False when there is no room."""
        if not self.waiting:
            return True
        tops = self._settled(self.depth)
        if tops is None:
            return False
        self._put(tops)
        return True

    def fits(self) -> bool:
        """Whether `settle` would succeed."""
        return not self.waiting or self._settled(self.depth) is not None

    def _put(self, tops: list[float]) -> None:
        for y, (_, note) in zip(tops, self.waiting, strict=True):
            self.placed.append(Placed(y, note.marks, "note", None, note.height))
        self.waiting = []
        self.fixed = []

    def _downward(self) -> list[float]:
        """Each note at its own height, or below the one before it, clear of what is fixed."""
        tops: list[float] = []
        free = self.start
        for wished, note in self.waiting:
            y = max(wished, free)
            for first, last in self.fixed:
                if y < last and y + note.height > first:
                    y = last + _APART / 2
            tops.append(y)
            free = y + note.height + _APART
        return tops

    def _settled(self, limit: float) -> list[float] | None:
        """The notes' places above `limit`: as wished, or slid up; None when they don't all fit."""
        tops = self._downward()
        for index in range(len(tops) - 1, -1, -1):
            height = self.waiting[index][1].height
            y = min(tops[index], limit - height)
            for first, last in reversed(self.fixed):
                if y < last and y + height > first:
                    y = first - _APART / 2 - height
            if y < self.start - 0.01:
                return None
            tops[index] = y
            limit = y - _APART
        return tops


def divide(pieces: Sequence[Piece], depth: float) -> tuple[Page, ...] | None:
    """The pages of least cost over the whole document; None when the notes nowhere find room."""
    count = len(pieces)
    best = [float("inf")] * (count + 1)
    came = [0] * (count + 1)
    best[0] = 0.0
    for start in range(count):
        if best[start] == float("inf"):
            continue
        page = _Filling(depth, kept=False)
        for end in range(start + 1, count + 1):
            if not page.add(pieces[end - 1]):
                break
            turn = pieces[end].turn if end < count else 0.0
            if best[start] + turn >= best[end]:  # the end itself costs nothing at best
                continue
            filled = page.y / depth
            cost = best[start] + turn + _ending(filled, start / count, turn, end == count)
            if cost < best[end] and page.fits():
                best[end], came[end] = cost, start
    if best[count] == float("inf"):
        return None
    return _drawn(pieces, came, depth)


def _ending(filled: float, along: float, turn: float, is_last: bool) -> float:
    """The cost of a page's end, before what costs `turn`.

    The last page of a document, even if another follows it in the file, may end where it does; but if that can be
    had, one page fewer is better.
    """
    if is_last:
        return _shortness(filled)
    empty = _emptiness(filled, along)
    if turn == ALWAYS:
        return min(empty, _PAGE_MORE)
    return empty + (_MOSTLY_EMPTY if filled < _HARDLY_FILLED and turn >= 0 else 0.0)


def _emptiness(filled: float, along: float) -> float:
    """The cost of a page's empty end: small up to a third of it, then more than a torn passage.

    It grows evenly at first, and more for pages early in the document (`along` runs from 0 to 1), so that
    the first pages fill and what is left over is left at the end.
    """
    empty = max(0.0, 1 - filled)
    weight = 1.3 - 0.3 * along if along else _FIRST_PAGE
    if empty <= _EMPTY_ALLOWED:
        return 15 * empty * weight
    return max(30.0, 15 * _EMPTY_ALLOWED * weight) + 100 * (empty - _EMPTY_ALLOWED)


def _shortness(filled: float) -> float:
    return 8.0 if filled < _SHORT_LAST_PAGE else 0.0


def _drawn(pieces: Sequence[Piece], came: list[int], depth: float) -> tuple[Page, ...]:
    pages: list[Page] = []
    end = len(pieces)
    while end > 0:
        start = came[end]
        page = _Filling(depth)
        for piece in pieces[start:end]:
            page.add(piece)
        page.settle()
        pages.append(tuple(page.placed))
        end = start
    return tuple(reversed(pages))
