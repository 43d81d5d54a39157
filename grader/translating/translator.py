"""The parts of a document in another language, one kind after the other, and what there are no words for."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field, replace

from grader.models.document import ChartText, Instruction, Part, Passage, SectionText, Strand, Table
from grader.models.language import Language
from grader.translating.lines import translate_line
from grader.translating.speaking import Speaker, number_told, speaker

_LONE_LETTER = re.compile(r"(?<![\w*])([A-Z])\1*(?= (?:[a-z]+ ){0,2}sts?\b)")
_LETTER_ROW = re.compile(r"([A-Z]+) (cm|in)")
_JOINS = re.compile(r"(\. |: |; |, (?=found: ))")
_MOST_PARTS = 24
_WORD = re.compile(r"[^\W\d_]")


@dataclass(slots=True)
class Translator:
    """Says the texts of one document, and remembers those that it could not."""

    language: Language
    speaker: Speaker
    left: dict[str, None] = field(default_factory=dict)

    def text(self, text: str) -> str:
        """A message; one that there is none for stays as it is and is remembered."""
        if not text:
            return ""
        said = self.speaker.said(text)
        if said is None:
            self.left[text] = None
            return text
        return said

    def texts(self, texts: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(self.text(each) for each in texts)

    def listed(self, text: str) -> str:
        """A text, or several with commas, `and` and `to` between them."""
        said = self.speaker.said(text) or self.speaker.listed(text)
        return said or self.text(text)

    def composed(self, text: str, names: Collection[str] = (), otherwise: str = "") -> str:
        """A text put together of others with full stops, colons or semicolons between them, each said by itself.

        `names` may stay as they are; `otherwise` is said instead of one that can't be put together.
        """
        parts = _JOINS.split(text)
        if len(parts) > 2 * _MOST_PARTS:
            return self.text(otherwise or text)
        ways: list[str | None] = [""] + [None] * (len(parts) // 2 + 1)
        for end in range(1, len(ways)):
            for begin in range(end):
                before = ways[begin]
                if before is None:
                    continue
                part = "".join(parts[2 * begin : 2 * end - 1])
                said = self.speaker.said(part) or (part if part in names else None)
                if said is not None:
                    ways[end] = f"{before}{parts[2 * begin - 1] if begin else ''}{said}"
                    break
        return ways[-1] or self.text(otherwise or text)

    def joined(self, texts: Sequence[str]) -> str:
        """Texts with commas and `and` between them."""
        told = [self.text(each) for each in texts]
        return self.language.word_and.join([part for part in (self.language.comma.join(told[:-1]), *told[-1:]) if part])

    def pairs(self, pairs: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
        return tuple((self.text(first), self.text(second)) for first, second in pairs)

    def line(self, text: str) -> str:
        """An instruction with its full stop."""
        said = translate_line(text.removesuffix("."), self.language)
        if said is None:
            return self.text(text)
        return said + "." * text.endswith(".")

    def count(self, text: str) -> str:
        """A count, whose letter is not bold by itself."""
        return self.text(_LONE_LETTER.sub(r"**\g<0>**", text)).replace("**", "")

    def cell(self, text: str) -> str:
        """A figure, or a name or note that some sizes have."""
        if not _WORD.search(text):
            return number_told(text, self.language)
        return self.speaker.name(text)

    def letter(self, text: str) -> str:
        """What begins a row of lettered numbers: its letter, perhaps with a unit."""
        row = _LETTER_ROW.fullmatch(text)
        return f"{row[1]} {self.speaker.units.get(row[2], row[2])}" if row else text

    def lettered(self, table: Table) -> Table:
        """Numbers under letters, in which a dash stands for none as it does in brackets."""
        none = {"–": self.language.none}
        rows = tuple((*row[:1], *(none.get(each, each) for each in row[1:])) for row in table.rows)
        return self.table(replace(table, rows=rows), self.letter)

    def table(self, table: Table, first: Callable[[str], str] | None = None) -> Table:
        begin = first or self.cell
        return replace(
            table,
            heads=tuple(self.cell(head) if head.isdigit() else self.speaker.said(head) or head for head in table.heads),
            rows=tuple((begin(row[0]), *(self.cell(each) for each in row[1:])) if row else row for row in table.rows),
            caption=self.text(table.caption),
        )

    def instruction(self, each: Instruction) -> Instruction:
        return replace(
            each,
            label=self.text(each.label),
            text=self.line(each.text),
            count=self.count(each.count),
            sizes=self.text(each.sizes),
        )

    def passage(self, each: Passage) -> Passage:
        return replace(
            each,
            instructions=tuple(self.instruction(one) for one in each.instructions),
            closing=self.text(each.closing),
            sizes=self.text(each.sizes),
            say=self.text(each.say),
            why=self.text(each.why),
            check=self.text(each.check),
            chart=self.text(each.chart),
        )

    def section(self, each: SectionText) -> SectionText:
        return replace(
            each,
            name=self.text(each.name),
            strands=tuple(
                Strand(self.text(strand.setup), tuple(self.passage(one) for one in strand.passages))
                for strand in each.strands
            ),
            extent=self.text(each.extent),
            why=self.text(each.why),
            say=self.text(each.say),
            check=self.text(each.check),
            ends_with=self.count(each.ends_with),
            numbers=None if each.numbers is None else self.lettered(each.numbers),
            diagrams=tuple(
                replace(one, title=self.text(one.title), alt=self.text(one.alt), setup=self.text(one.setup))
                for one in each.diagrams
            ),
        )

    def part(self, each: Part) -> Part:
        return Part(self.text(each.name), self.text(each.intro), tuple(self.section(one) for one in each.sections))

    def chart(self, each: ChartText) -> ChartText:
        return replace(
            each,
            name=self.text(each.name),
            pictures=tuple((file, self.text(alt)) for file, alt in each.pictures),
            size=self.text(each.size),
            reading=self.text(each.reading),
            key=tuple((self.text(looks), self.worked(worked), self.text(name)) for looks, worked, name in each.key),
        )

    def worked(self, text: str) -> str:
        """How a symbol is worked: stitches, with the side where it matters."""
        return self.speaker.worked(text) or self.text(text)

    def abbreviations(self, used: tuple[tuple[str, str], ...], words: str) -> tuple[tuple[str, str], ...]:
        """The language's own abbreviations for those used in English, and others that occur in `words`."""
        told: dict[str, str] = {}
        for short, meaning in used:
            first = short.split(", ")[0]
            known = self.language.abbreviations
            own = known.get(short, known.get(first, known.get("CC") if first.startswith("CC") else None))
            if own is None:
                self.left[f"{short}: {meaning}"] = None
                told[short] = meaning
            elif first.startswith("CC") and own:
                book = self.speaker.book
                names = ", ".join(book.said("colour", each, ()) or each for each in short.split(", "))
                told.setdefault(names, own[0][1])
            else:
                for abbreviation, means in own:
                    told.setdefault(abbreviation, means)
        for abbreviation, means in self.language.further:
            if re.search(rf"(?<![^\W\d_])(?<!\*\*){re.escape(abbreviation)}(?![^\W\d_])", words):
                told.setdefault(abbreviation, means)
        return tuple(sorted(told.items(), key=lambda each: (not each[0][0].isalpha(), each[0].lower())))


def translator(language: Language) -> Translator:
    """One that says texts in that language and has been asked nothing yet."""
    return Translator(language, speaker(language))
