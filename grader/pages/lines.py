"""Runs of text -> lines of a measure, ragged right."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from grader.pages.binding import bind
from grader.pages.blocks import Runs, plain
from grader.pages.dividing import places
from grader.pages.typefaces import BOLD, NO_BREAK, REGULAR, SOFT_HYPHEN, width

# A number to find: written to a letter (K18) or before its unit (64 sts); small ones stay with the text.
_FOUND = re.compile(
    r"(?:(?<=[^\W\d_])|^)(\d*[1-9]\d+(?:\.\d+)?[½¼¾]?|[4-9](?:\.\d+)?[½¼¾]?)(?=\u00a0(?![×x])|[,.;:]?$)"
)
_NUMBER = re.compile(r"(?<!\d)(?<![^\W\d_]{2})(\d+(?:[.,]\d+)?[½¼¾⅛⅜⅝⅞]?)(?![^\W_])")
_RAGGED = 0.17  # of the measure: a line left shorter than that divides the next word
BASELINE = 0.73  # of the leading


class Span(NamedTuple):
    """Text in one font, `x` points from the start of its line."""

    x: float
    text: str
    font: str
    size: float
    link: str


@dataclass(frozen=True, slots=True)
class Line:
    """One set line and its width in points."""

    spans: tuple[Span, ...]
    width: float


class Look(NamedTuple):
    """How text is set: `lift`, where not 0, makes numbers that stand alone so many times as large as the text.

    Where `chosen`, only those numbers that are in bold.
    `language` is the tag by whose rules words are divided at the end of a line; "" divides none.
    """

    size: float
    leading: float
    bold: bool = False
    lift: float = 0.0
    regular: str = REGULAR
    heavy: str = BOLD
    language: str = ""
    chosen: bool = False

    @property
    def baseline(self) -> float:
        """How far the baseline of a line lies below its top."""
        return self.leading * BASELINE

    def no_less(self, size: float, spread: float) -> Look:
        """The same at a size no less, its lines so many times that size apart at the least."""
        return self._replace(size=max(self.size, size), leading=max(self.leading, size * spread))


class _Bit(NamedTuple):
    text: str
    font: str
    size: float
    link: str


@dataclass(slots=True)
class _Word:
    bits: list[_Bit] = field(default_factory=list)
    width: float = 0.0
    ends_line: bool = False

    def add(self, bit: _Bit) -> None:
        self.bits.append(bit)
        self.width += width(bit.text, bit.font, bit.size)


@lru_cache(maxsize=8192)
def natural_width(runs: Runs, look: Look) -> float:
    """The width of the text on one line, forced breaks apart."""
    lines = break_lines(runs, look, 1e6, 1e6)
    return max((line.width for line in lines), default=0.0)


@lru_cache(maxsize=8192)
def longest_word(runs: Runs, look: Look) -> float:
    """The width of the widest stretch that must not break."""
    return max((word.width for word in _words(runs, look)), default=0.0)


@lru_cache(maxsize=8192)
def break_lines(runs: Runs, look: Look, first: float, rest: float) -> tuple[Line, ...]:
    """Fill lines of `first` and then `rest` points; a word too long for a line is broken where it must be."""
    lines: list[Line] = []
    current: list[_Word] = []
    used = 0.0
    space = width(" ", look.regular, look.size)
    measure = max(first, look.size)
    for word in _fitting(_words(runs, look), measure + 0.01, max(rest, look.size) + 0.01):
        needed = word.width + (space if current else 0.0)
        if current and used + needed > measure + 0.01:
            if look.language and measure - used > _RAGGED * measure:
                head, word = _divided(word, measure - used - space, look.language)
                current += [head] if head else []
            lines.append(_line(current, space))
            current, used, needed = [], 0.0, word.width
            measure = max(rest, look.size)
        current.append(word)
        used += needed
        if word.ends_line:
            lines.append(_line(current, space))
            current, used, measure = [], 0.0, max(rest, look.size)
    if current:
        lines.append(_line(current, space))
    return tuple(lines)


def _divided(word: _Word, room: float, language: str) -> tuple[_Word | None, _Word]:
    """As much of a word as there is room for, with a hyphen, and the rest; nothing and the word where it can't be."""
    if len(word.bits) != 1:
        return None, word
    bit = word.bits[0]
    for place in reversed(places(bit.text, language)):
        head, rest = _Word(), _Word(ends_line=word.ends_line)
        head.add(bit._replace(text=bit.text[:place] + SOFT_HYPHEN))
        if head.width <= room:
            rest.add(bit._replace(text=bit.text[place:]))
            return head, rest
    return None, word


@lru_cache(maxsize=8192)
def _words(runs: Runs, look: Look) -> list[_Word]:
    """The stretches of the text that must not break; nobody changes them afterwards."""
    bound = bind(plain(runs))
    words: list[_Word] = []
    word = _Word()
    place = 0
    for run in runs:
        text = bound[place : place + len(run.text)]
        place += len(run.text)
        font = look.heavy if run.bold or look.bold else look.regular
        for index, row in enumerate(text.split("\n")):
            if index:
                word.ends_line = True
                words.append(word)
                word = _Word()
            for number, part in enumerate(row.split(" ")):
                if number and word.bits:
                    words.append(word)
                    word = _Word()
                if part:
                    _add_part(word, part, font, run.link, look)
    if word.bits:
        words.append(word)
    return words


def _add_part(word: _Word, part: str, font: str, link: str, look: Look) -> None:
    if not look.lift:
        word.add(_Bit(part, font, look.size, link))
        return
    lone = look.chosen or (NO_BREAK not in part and not part[0].isalpha())
    bits = _NUMBER.split(part) if font == look.heavy else [part] if lone else _FOUND.split(part)
    for index, bit in enumerate(bits):
        if bit:
            word.add(
                _Bit(bit, look.heavy, look.size * look.lift, link) if index % 2 else _Bit(bit, font, look.size, link)
            )


def _fitting(words: list[_Word], first: float, rest: float) -> list[_Word]:
    """The words, with those wider than any line broken at their fixed spaces, or else anywhere."""
    measure = min(first, rest)
    if all(word.width <= measure for word in words):
        return words
    fitting: list[_Word] = []
    for word in words:
        if word.width <= (rest if fitting else first):  # every word but the first may come to stand on a later line
            fitting.append(word)
        else:
            whole = _parted(word)
            fitting.extend(whole if all(part.width <= measure for part in whole) else _broken(word, measure))
    return fitting


def _parted(word: _Word) -> list[_Word]:
    """The word broken at its fixed spaces, but for those in brackets: a row of sizes stays whole before its unit."""
    parts = [_Word()]
    depth = 0
    for bit in word.bits:
        start = 0
        for place, character in enumerate(bit.text):
            depth += (character in "([") - (character in ")]")
            if character == NO_BREAK and depth <= 0 and not bit.text.startswith(("(", "["), place + 1):
                if place > start:
                    parts[-1].add(bit._replace(text=bit.text[start:place]))
                parts.append(_Word())
                start = place + 1
        if start < len(bit.text):
            parts[-1].add(bit._replace(text=bit.text[start:]))
    parts = [part for part in parts if part.bits]
    if parts:
        parts[-1].ends_line = word.ends_line
    return parts


def _broken(word: _Word, measure: float) -> list[_Word]:
    pieces: list[_Word] = [_Word()]
    for bit in word.bits:
        for number, part in enumerate(bit.text.split(NO_BREAK)):
            if number and pieces[-1].bits:
                pieces.append(_Word())
            if width(part, bit.font, bit.size) + pieces[-1].width <= measure:
                if part:
                    pieces[-1].add(_Bit(part, bit.font, bit.size, bit.link))
                continue
            for character in part:
                if pieces[-1].bits and pieces[-1].width + width(character, bit.font, bit.size) > measure:
                    pieces.append(_Word())
                pieces[-1].add(_Bit(character, bit.font, bit.size, bit.link))
    pieces = [piece for piece in pieces if piece.bits]
    if pieces:
        pieces[-1].ends_line = word.ends_line
    return pieces


def _line(words: list[_Word], space: float) -> Line:
    """Words in one font run together into one span."""
    spans: list[Span] = []
    x = start = 0.0
    text = ""
    look: tuple[str, float, str] | None = None
    for index, word in enumerate(words):
        gap = bool(index)
        if gap:
            x += space
        for bit in word.bits:
            if look == bit[1:]:
                text += (" " if gap else "") + bit.text
            else:
                if look is not None:
                    spans.append(Span(start, text + (" " if gap else ""), *look))
                text, start, look = bit.text, x, bit[1:]
            x += width(bit.text, bit.font, bit.size)
            gap = False
    if look is not None:
        spans.append(Span(start, text, *look))
    spans = [Span(span.x, span.text.replace(NO_BREAK, " "), *span[2:]) for span in spans]
    return Line(tuple(spans), x)
