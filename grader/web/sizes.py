"""Which sizes a pattern has, and where each of them stands: in brackets, under letters, in rows and in columns."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from grader.web.phrases import ENGLISH, Phrases
from grader.web.reading import text_of

RING = "○"
DASH = "–"
_VALUE = r"(?:–|\d+(?:[.,]\d+)?[¼½¾]?|[¼½¾])"
_BETWEEN = r"(?:, |/|-|[ \u00a0\u202f]?; )"  # as the languages have it; no space follows a decimal comma
_LETTER = re.compile(r"([A-Z]{1,4})(?: (cm|in))?")


@dataclass(frozen=True, slots=True)
class Sizes:
    """The names of the sizes, in the order of the size table; none in a pattern for one knitter.

    `said` has the words of the document's language by which a line says for which sizes it is.
    """

    names: tuple[str, ...] = ()
    said: Phrases = ENGLISH

    def brackets(self, text: str) -> Iterator[tuple[str, tuple[str, ...]]]:
        """The text in stretches: words (with no numbers), and brackets with the number of each size.

        Only a bracket with as many numbers as there are sizes is one: `16 (18, 20)` for three.
        """
        if len(self.names) < 2:
            yield text, ()
            return
        end = 0
        for found in self._bracket.finditer(text):
            if found.start() > end:
                yield text[end : found.start()], ()
            yield found[0], tuple(re.findall(_VALUE, found[0]))
            end = found.end()
        if end < len(text):
            yield text[end:], ()

    @property
    def _bracket(self) -> re.Pattern[str]:
        more = len(self.names) - 2
        rest = rf"(?:(?P<between>{_BETWEEN}){_VALUE}(?:(?P=between){_VALUE}){{{more - 1}}})" if more else ""
        return re.compile(rf"(?<![\d.,]){_VALUE} \({_VALUE}{rest}\)")

    def only(self, text: str) -> tuple[int, ...]:
        """Places of the sizes that a line such as "Sizes 1 to 3 and 5 only:" names; none for any other line."""
        said, words = self.said, " ".join(text.split())
        ways = (re.escape(way).replace(r"\{\}", "(.+)") for way in (said.only, said.one_only))
        found = next(filter(None, (re.fullmatch(way, words) for way in ways)), None)
        if not found:
            return ()
        places: list[int] = []
        for name in re.split(f", | {said.together} ", found[1]):
            first, _, last = name.partition(f" {said.until} ")
            ends = [self.names.index(each) for each in (first, last or first) if each in self.names]
            if len(ends) < 2:
                return ()
            places += range(ends[0], ends[1] + 1)
        return tuple(places)

    def in_columns(self, heads: tuple[str, ...]) -> bool:
        """True for the heads of a table that has a column for each size."""
        return bool(self.names) and heads[1:] == self.names

    def in_rows(self, first_cells: tuple[str, ...]) -> bool:
        """True for a table whose every row is of a size; there may be several for one, such as one for each colour."""
        return bool(first_cells) and set(first_cells) <= set(self.names)


def cells(line: ET.Element) -> tuple[str, ...]:
    """The texts of a table row."""
    return tuple(text_of(cell).strip() for cell in line)


def is_size_table(table: ET.Element) -> bool:
    """True for a table with a ring before each of its rows."""
    rows = [cells(line) for line in table.iter("tr")][1:]
    return bool(rows) and all(len(row) > 1 and row[0] == RING and row[1] for row in rows)


def sizes_of(tree: ET.Element, said: Phrases = ENGLISH) -> Sizes:
    """The sizes of the first table that has rings; none where a name comes twice."""
    table = next((each for each in tree.iter("table") if is_size_table(each)), None)
    if table is None:
        return Sizes()
    names = tuple(cells(line)[1] for line in table.iter("tr"))[1:]
    return Sizes(names, said) if len(set(names)) == len(names) else Sizes()


def letters_of(tree: ET.Element, sizes: Sizes) -> Mapping[str, tuple[str, ...]]:
    """What each letter stands for, one number for each size.

    A letter stands for the same row all through a document, but a section may leave out sizes that don't work it. A
    letter whose tables contradict each other (somebody's own template) is left out: better no number than a wrong one.
    """
    found: dict[str, list[str]] = {}
    contradicted: set[str] = set()
    for table in tree.iter("table"):
        lines = [cells(line) for line in table.iter("tr")]
        if not sizes.in_columns(lines[0]):
            continue
        for name, row in _lettered(lines[1:]):
            known = found.setdefault(name, row)
            pairs = list(zip(known, row, strict=True))
            if any(DASH not in pair and pair[0] != pair[1] for pair in pairs):
                contradicted.add(name)
            found[name] = [new if old == DASH else old for old, new in pairs]
    return {name: tuple(row) for name, row in found.items() if name not in contradicted}


def _lettered(rows: list[tuple[str, ...]]) -> Iterator[tuple[str, list[str]]]:
    """Letters with their rows; one with a row in cm and another in inches has both: 14.5 cm / 5¾ in."""
    in_units: dict[str, list[tuple[str, tuple[str, ...]]]] = {}
    for head, *row in rows:
        found = _LETTER.fullmatch(head)
        if found:
            in_units.setdefault(found[1], []).append((found[2] or "", tuple(row)))
    for name, told in in_units.items():
        columns = zip(*(row for _, row in told), strict=True)
        units = [unit for unit, _ in told]
        yield name, [DASH if set(column) == {DASH} else _with_units(column, units) for column in columns]


def _with_units(values: tuple[str, ...], units: list[str]) -> str:
    return " / ".join(f"{value} {unit}".rstrip() for value, unit in zip(values, units, strict=True))
