"""One text for many sizes: the numbers in which sizes differ, in brackets or under a letter.

`K16`, `K18`, `K18` become `K16 (18, 18)`; where all sizes agree the number stands once. A size that
works none of it shows an en dash. With more sizes than a bracket can carry, the numbers go into a
table under a letter.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

DASH = "–"
ABSENT = ""  # a size that does not have the text; unlike a size that has it and works none, it may share a letter
LONGEST_BRACKET = 8
_IN_INCHES = r" cm / (?:\d+[¼½¾]?|[¼½¾]) in\b"  # what follows in one length in both units
_NUMBER = re.compile(r"\d+(?:\.\d+)?[¼½¾]?|[¼½¾]")
_NUMBER_OR_DUAL = re.compile(rf"\d+(?:\.\d+)?(?:{_IN_INCHES}|[¼½¾])?|[¼½¾]")
_LETTERS = "ABCDEFGHJLNQRTUVWXYZ"  # no I or O (read as 1 and 0), no K, P, M or S (abbreviations)
_OF_SIZES = re.compile(r"[A-Z]+")
_ONE = re.compile(r"\b(st|round|row|stitch|time|chain)\b(?!s)")
_MANY = {"st": "sts", "round": "rounds", "row": "rows", "stitch": "stitches", "time": "times", "chain": "chains"}
_AS_NUMBERS = {
    "to last st": "to last 1 st",
    "once more": "1 more time",
    "twice more": "2 more times",
    "once": "1 time",
    "twice": "2 times",
}
_IN_WORDS = re.compile(r"\bto last st\b|\b(?:once|twice)(?: more)?\b", re.I)

Values = tuple[str, ...]


@dataclass(slots=True)
class Lettering:
    """The letters of a document: each stands for the same row of numbers, one for each size, all through it."""

    sizes: tuple[str, ...]
    bracket: int = LONGEST_BRACKET  # so many sizes may stand in brackets
    known: list[Values] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    used: set[int] = field(default_factory=set)

    def begin_section(self) -> None:
        """From here on, note which letters are used: those of the section's own table."""
        self.used.clear()

    @property
    def rows(self) -> list[tuple[str, Values]]:
        """Letter and numbers (a dash where a size has none) of the letters in use in this section."""
        return [(self.names[place], _dashed(self.known[place])) for place in sorted(self.used)]

    @property
    def in_use(self) -> bool:
        """True where there are too many sizes for brackets."""
        return len(self.sizes) > self.bracket

    @property
    def letters(self) -> str:
        """Those that stand for numbers: none that stands in the name of a size too, such as L or XL."""
        taken = {letter for size in self.sizes if _OF_SIZES.fullmatch(size) for letter in size}
        return "".join(letter for letter in _LETTERS if letter not in taken)

    @property
    def number(self) -> re.Pattern[str]:
        """What counts as one number: with letters, a length in both units is one."""
        return _NUMBER_OR_DUAL if self.in_use else _NUMBER

    def letter(self, values: Values) -> str:
        """The letter of these numbers; a row that only lacks some sizes shares the letter of the fuller one."""
        for place, row in enumerate(self.known):
            if _contains(row, values) or _contains(values, row):
                self.known[place] = row if _contains(row, values) else values
                self.used.add(place)
                return self.names[place]
        self.used.add(len(self.known))
        self.known.append(values)
        self.names.append(_letter_name(len(self.known) - 1, self.letters))
        return self.names[-1]

    def show(self, values: Values) -> str:
        """The numbers as printed in a line."""
        present = {value for value in values if value != ABSENT}
        if len(present) == 1:
            agreed = present.pop()
            return "0" if agreed == DASH else agreed
        if self.in_use:
            return f"**{self.letter(values)}**"
        first, *others = _dashed(values)
        return f"{first} ({', '.join(others)})"


def _dashed(values: Values) -> Values:
    return tuple(value or DASH for value in values)


def _contains(row: Values, values: Values) -> bool:
    """True if `values` are those of `row` with sizes left out, more than one of them there to tell."""
    if sum(value != ABSENT for value in values) < 2:
        return row == values
    return all(b in (ABSENT, a) for a, b in zip(row, values, strict=True))


def _letter_name(place: int, letters: str) -> str:
    turn, letter = divmod(place, len(letters))
    return letters[letter] * (turn + 1)


def skeleton(text: str, number: re.Pattern[str] = _NUMBER) -> str:
    """A text without its numbers and with its nouns in the plural: what must agree for sizes to merge."""
    return _made_plural(number.sub("#", text))


def numbered(text: str) -> str:
    """The text with those numbers as figures that are told in words: once, to last st."""
    return _IN_WORDS.sub(lambda match: _AS_NUMBERS[match[0].lower()], text)


def _told_alike(texts: dict[str, str], number: re.Pattern[str]) -> dict[str, str]:
    """The same texts; where that makes more of them alike, with figures for words."""
    told = {size: numbered(text) for size, text in texts.items()}
    skeletons = ({skeleton(text, number) for text in each.values()} for each in (told, texts))
    return told if len(next(skeletons)) < len(next(skeletons)) else texts


@dataclass(frozen=True, slots=True)
class Merged:
    """One text and the sizes it holds for; `sizes` is empty where it holds for all that there are."""

    text: str
    sizes: tuple[str, ...] = ()


def merge_texts(texts: dict[str, str], lettering: Lettering, available: tuple[str, ...]) -> list[Merged]:
    """Merge one text a size (sizes without it left out) into as few texts as their wording allows.

    `available` are the sizes that the setup can hold; texts for all of them need no note of sizes.
    """
    groups: dict[str, dict[str, str]] = {}
    for size, text in _told_alike(texts, lettering.number).items():
        groups.setdefault(skeleton(text, lettering.number), {})[size] = text
    merged = []
    for group in groups.values():
        whole = set(group) == set(available)
        merged.append(
            Merged(_merge_group(group, lettering), () if whole else tuple(s for s in lettering.sizes if s in group))
        )
    return merged


def _merge_group(group: dict[str, str], lettering: Lettering) -> str:
    number = lettering.number
    numbers = {size: number.findall(text) for size, text in group.items()}
    mixed = len({number.sub("#", text) for text in group.values()}) > 1
    pieces = number.split(next(iter(group.values())))
    if mixed:
        pieces = [_made_plural(piece) for piece in pieces]
    out = [pieces[0]]
    for place, piece in enumerate(pieces[1:]):
        values = tuple(_shown(numbers[size][place]) if size in numbers else ABSENT for size in lettering.sizes)
        shown = lettering.show(values)
        if shown.startswith("**") and out[-1][-1:].isalpha():
            out.append("\u00a0")  # "K E", not "KE": a letter beside an abbreviation reads as another one
        out += [shown, piece]
    return "".join(out)


def _made_plural(piece: str) -> str:
    return _ONE.sub(lambda match: _MANY[match[1]], piece)


def _shown(number: str) -> str:
    return DASH if number == "0" else number
