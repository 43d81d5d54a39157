"""What differs between two versions of one sock, piece by piece, whatever was put in or taken out between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from grader.comparing.aligning import align, overlap
from grader.comparing.printed import Piece, PrintedSection

_ENOUGH = 0.5  # of the words in common: the same line, changed; with less it is another line
_LAST = 10**6  # behind every piece
_BESIDE = ("say", "check", "why")


@dataclass(frozen=True, slots=True)
class Difference:
    """One printed thing that stands differently; "" where it stood not, or stands no more.

    `at` is how far down the section it stands, which says nothing of what it is.
    """

    sort: str
    place: str
    before: str
    after: str
    label: str = ""
    at: int = field(default=0, compare=False)


def differences(old: PrintedSection | None, new: PrintedSection | None) -> Iterator[Difference]:
    """Everything that differs in a section; None for one that was not there, or is gone (which goes as a whole)."""
    if new is None:
        return
    fresh = old is None
    if old is None:
        old = PrintedSection(new.name, (), "", "", "", "", "")
        yield from _beside(old, new, "")
        new = replace(new, say="", check="", why="", takes="")
    if old == new:
        return
    before = ""
    if old.takes != new.takes:
        yield Difference("takes", "", old.takes, new.takes)
    yield from _beside(old, new, "")
    pairs: list[tuple[Piece | None, Piece | None]] = [*align(old.pieces, new.pieces, _likeness, _words)]
    for at, (mine, yours) in enumerate(pairs, 1):
        yield from (replace(each, at=at) for each in _of_pieces(mine, yours, None if fresh else before))
        if mine is not None:
            before = next((place for place in reversed(mine.places) if place), before)
    if old.ends != new.ends:
        yield Difference("ends", "", old.ends, new.ends, at=_LAST)


def _words(piece: Piece) -> tuple[str, ...]:
    return piece.words


def _likeness(old: Piece, new: Piece) -> float:
    """How much a piece is worth as the other's like: equal lines before equal wording before common words."""
    same_place = 0.25 if old.key == new.key else 0.0
    if not old.texts and not new.texts:
        shared = overlap(old.say, new.say)
        return 1 + 4 * shared + same_place if shared >= _ENOUGH or same_place else 0.0
    if old.kinds[:1] != new.kinds[:1]:
        return 0.0
    if old.texts == new.texts:
        return 7 + (old.often == new.often) + same_place
    if old.forms == new.forms:
        return 6 + same_place
    shared = overlap(" ".join(old.forms), " ".join(new.forms))
    return 1 + 4 * shared + same_place if shared >= _ENOUGH or same_place else 0.0


def _of_pieces(old: Piece | None, new: Piece | None, before: str | None) -> Iterator[Difference]:
    """`before` is the place of the line before in the old print; None in a section that is new as a whole."""
    if old is not None and new is not None:
        before = before or ""
        place = old.place or new.place or before
        if old.say != new.say:
            yield Difference("say", place, old.say, new.say)
        yield from _of_lines(old, new, before)
        if old.often != new.often:
            yield Difference("often", place, old.often, new.often)
        if old.count != new.count:
            yield Difference("count", place, old.count, new.count)
        for sort in _BESIDE[1:]:
            if getattr(old, sort) != getattr(new, sort):
                yield Difference(sort, place, getattr(old, sort), getattr(new, sort))
        return
    if old is not None:
        for sort, place, _, text in _told(old):
            yield Difference(sort, place, text, "")
    elif new is not None:
        for sort, place, label, text in _told(new):
            if sort == "line" and before is not None:
                yield Difference(sort, _after(before), "", text, label)
            else:
                yield Difference(sort, place, "", text)


def _told(piece: Piece) -> Iterator[tuple[str, str, str, str]]:
    """All that a piece prints: what sort it is, its place, the label of a line, and the text."""
    if piece.say:
        yield "say", piece.place, "", piece.say
    for label, place, text in _lines(piece):
        yield "line", place, label, text
    for sort, text in (("often", piece.often), ("count", piece.count), ("check", piece.check), ("why", piece.why)):
        if text:
            yield sort, piece.place, "", text


def _after(label: str) -> str:
    return f"After {label}" if label else "At the beginning"


def _of_lines(old: Piece, new: Piece, before: str) -> Iterator[Difference]:
    mine, yours = _lines(old), _lines(new)
    if len(mine) == len(yours):
        pairs = list(zip(mine, yours, strict=True))
        yield from (Difference("line", a[1], a[2], b[2]) for a, b in pairs if a[2] != b[2])
        return
    for one, other in align(mine, yours, lambda a, b: _line_likeness(a[2], b[2]), lambda each: each):
        if one is None and other is not None:
            yield Difference("line", _after(before), "", other[2], other[0])
        elif one is not None and (other is None or one[2] != other[2]):
            yield Difference("line", one[1], one[2], other[2] if other else "")
        before = one[1] if one and one[1] else before


def _lines(piece: Piece) -> list[tuple[str, str, str]]:
    """Label, place and text of each line."""
    return list(zip(piece.labels, piece.places, piece.texts, strict=True))


def _line_likeness(old: str, new: str) -> float:
    if old == new:
        return 6.0
    shared = overlap(old, new)
    return 1 + 4 * shared if shared >= _ENOUGH else 0.0


def _beside(old: PrintedSection, new: PrintedSection, place: str) -> Iterator[Difference]:
    for sort in _BESIDE:
        if getattr(old, sort) != getattr(new, sort):
            yield Difference(sort, place, getattr(old, sort), getattr(new, sort))
