"""Reads a printed pattern as one knitter does: her size, her setup, every bracket and letter replaced by her number.

Shares no code with what printed it: all it knows is the Markdown and what "How to read this pattern" says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

SETUPS = ("Short circular", "Long circular (magic loop)", "Double-pointed, set of 5", "Double-pointed, set of 4")
ALL_SETUPS = "All setups"
DASH = "–"
_VALUE = r"(?:\d+(?:\.\d+)?[¼½¾]?|[¼½¾]|–)"
BRACKET = re.compile(rf"({_VALUE}) \(({_VALUE}(?:, {_VALUE})*)\)")
LETTER = re.compile(r"\*\*([A-HJLNQRT-Z]+)((?: \w+)? sts?)?\*\*")
_FOR_ALL = re.compile(r"On the needles now:|> \*\*\w+:\*\* All sizes: ")
_ONLY = re.compile(r"Sizes? ([^:*]+?) only")
_PLURALS = {"st": "sts", "round": "rounds", "row": "rows", "stitch": "stitches", "time": "times", "chain": "chains"}


@dataclass(frozen=True, slots=True)
class Told:
    """One thing the knitter reads: a `line` of work (with label and count), `words`, or a quoted `check`, `why`, ..."""

    kind: str
    text: str
    label: str = ""
    count: str = ""


@dataclass(slots=True)
class Section:
    """A section as this knitter reads it, and the letters of its table."""

    name: str
    told: list[Told] = field(default_factory=list)


def plural(text: str) -> str:
    """Nouns after numbers in the plural, as a text for many sizes has them."""
    return re.sub(r"\b(st|round|row|stitch|time|chain)\b", lambda found: _PLURALS[found[1]], text)


_FIGURES = {"to last st": "to last 1 st", "once more": "1 more time", "twice more": "2 more times"}
_FIGURES |= {"once": "1 time", "twice": "2 times"}


def in_figures(text: str) -> str:
    """The text with numbers in words told in figures, as it stands where other sizes have other numbers."""
    return re.sub("|".join(rf"\b{words}\b" for words in _FIGURES), lambda found: _FIGURES[found[0]], text)


@dataclass(slots=True)
class Reader:
    """A document for `sizes`; `read` gives the sections for one of them in one setup."""

    markdown: str
    sizes: tuple[str, ...]

    def read(self, size: str, setup: str) -> list[Section]:
        """All sections in order, in the words and numbers of this size and setup."""
        mark = "\n## " if "\n---\n" not in self.markdown else "\n### "
        body = self._instructions(setup)
        return [self._section(text, size, setup) for text in f"\n{body}".split(mark)[1:]]

    def _section(self, text: str, size: str, setup: str) -> Section:
        name, *rest = text.split("\n", 1)
        chunks = _chunks("".join(rest))
        tables = [chunk for chunk in chunks if chunk[0].startswith("|")]
        assert len(tables) <= 1
        letters = self._letters(tables[0], self.sizes.index(size)) if tables else {}
        section = Section(name)
        mine, allowed, limited = True, True, False
        for chunk in chunks:
            first = chunk[0]
            if first.startswith("#"):
                heading = first.lstrip("#").strip()
                assert heading in (*SETUPS, ALL_SETUPS), f"an unknown heading {first!r}"
                mine, allowed, limited = heading in (setup, ALL_SETUPS), True, False
            elif first.startswith("**Size") and first.endswith(" only:**"):
                assert len(chunk) == 1
                allowed, limited = size in self.named(first), True
            elif first == "**All sizes:**":
                assert len(chunk) == 1
                assert limited, "nothing was for some sizes only"
                allowed, limited = True, False
            elif not first.startswith("|") and mine:
                rows = [row for row in chunk if allowed or _FOR_ALL.match(row)]
                section.told.extend(self._told(rows, size, letters))
        return section

    def _instructions(self, setup: str) -> str:
        body = self.markdown.split("\n## Techniques\n")[1].split("\n## Finishing\n")[0]
        if "\n---\n" in body:
            parts = [part for part in body.split("\n---\n\n## ")[1:] if part.startswith(f"{setup}\n")]
            assert len(parts) == 1
            return parts[0].partition("\n")[2]
        return body

    def named(self, text: str) -> set[str]:
        """The sizes of "Sizes 1 to 4, 6 and 9 only"."""
        found = _ONLY.search(text)
        assert found, text
        sizes: set[str] = set()
        for part in re.split(r", | and ", found[1]):
            first, to, last = part.partition(" to ")
            begin, end = self.sizes.index(first), self.sizes.index(last if to else first)
            sizes.update(self.sizes[begin : end + 1])
        return sizes

    def _letters(self, rows: list[str], place: int) -> dict[str, str]:
        cells = [[cell.strip() for cell in row.strip("|").split("|")] for row in rows]
        assert tuple(cells[0][1:]) == self.sizes, "the table must have the sizes in their order"
        found: dict[str, str] = {}
        for row in cells[2:]:
            assert len(row) == len(self.sizes) + 1
            letter, _, unit = row[0].strip("*").partition(" ")
            value = f"{row[place + 1]} {unit}".strip()
            if unit == "in":
                found[letter] += f" / {value}"
            else:
                assert letter not in found, f"two rows for {letter}"
                found[letter] = value
        return found

    def own(self, text: str, size: str, letters: dict[str, str]) -> str:
        """The text with every bracket and letter replaced by this size's number."""
        place = self.sizes.index(size)

        def from_bracket(found: re.Match[str]) -> str:
            values = (found[1], *found[2].split(", "))
            assert len(values) == len(self.sizes), f"{found[0]!r} is not for {len(self.sizes)} sizes"
            return "0" if values[place] == DASH else values[place]

        def from_letter(found: re.Match[str]) -> str:
            value = letters[found[1]]
            return ("0" if value.startswith(DASH) else value) + (found[2] or "")

        text = BRACKET.sub(from_bracket, LETTER.sub(from_letter, text))
        pieces = re.split(rf"({_ONLY.pattern}): ", text)
        chosen = [pieces[0]]
        for at in range(1, len(pieces), 3):
            if size in self.named(pieces[at]):
                chosen.append(pieces[at + 2])
        return plural("".join(chosen).strip().replace("\u00a0", "").replace("\\*", "*"))

    def _told(self, chunk: list[str], size: str, letters: dict[str, str]) -> list[Told]:
        told = []
        for row in chunk:
            if row.lstrip().startswith("☐"):
                continue
            quote = re.fullmatch(r"> \*\*(\w+):\*\* (.*)", row)
            ends = re.fullmatch(r"On the needles now: (\*\*.*\*\*)", row)
            item = re.fullmatch(r"(?:- )?(?:\*\*([^*]+):\*\* )?(.*?)(?: — \*\*(.*)\*\*)?", row)
            if quote:
                told.append(Told(quote[1].lower(), self.own(quote[2].removeprefix("All sizes: "), size, letters)))
            elif ends:
                told.append(Told("ends", self.own(ends[1], size, letters).replace("*", "")))
            else:
                assert item, row
                count = self.own(f"**{item[3]}**", size, letters).replace("*", "") if item[3] else ""
                work = self.own(item[2], size, letters)
                label, times = _one_round(item[1] or "")
                told += [Told("line", work, label)] * (times - 1) + [Told("line", work, label, count)]
        return [each for each in told if each.text]


def _one_round(label: str) -> tuple[str, int]:
    """The label of one round, and how many stand under this one: "Rounds 4 to 6", "Next 3 rounds"."""
    span = re.fullmatch(r"Rounds (\d+) (?:and|to) (\d+)", label)
    following = re.fullmatch(r"Next (\d+) rounds", label)
    if span:
        return f"Round {span[1]}", int(span[2]) - int(span[1]) + 1
    return ("Next round", int(following[1])) if following else (label, 1)


def _chunks(text: str) -> list[list[str]]:
    return [[row for row in chunk.splitlines() if row.strip()] for chunk in re.split(r"\n\s*\n", text) if chunk.strip()]
