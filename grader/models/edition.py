"""The editions a pattern is published in: for whom each is, from which template, in which looks and as what files."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from grader.models.language import Language
from grader.models.looks import Looks

Form = Literal["pdf", "text", "web", "epub"]


@dataclass(frozen=True, slots=True)
class Kind:
    """One edition: `template` for many sizes, `one_size` for a single knitter's; `style` names the looks on paper.

    `diagrams` asks for a drawing of each stage, `taught` for the worksheet, `words` for instructions in whole words.
    """

    name: str
    offers: str
    template: str = "pattern.md.j2"
    one_size: str = "one_size.md.j2"
    style: str = "standard"
    form: Form = "pdf"
    diagrams: bool = False
    taught: bool = False
    words: bool = False
    bound: bool = False
    single: bool = False  # for one size in one setup, whatever the pattern has

    @property
    def suffix(self) -> str:
        """What its file names end in; nothing for the pattern itself."""
        return "" if self.name == "pattern" else f"-{self.name}"


EDITIONS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("pattern", "for sale: all sizes, the chosen setups, size table, charts, yarn"),
        Kind("one-size", "one knitter: no brackets, boxes to tick for rounds", single=True),
        Kind(
            "handout",
            "class and counter: one sheet of paper, large numbers, room to write, a ruler",
            template="handout.md.j2",
            one_size="handout.md.j2",
            style="handout",
            single=True,
        ),
        Kind(
            "booklet",
            "learners: why, checks, a drawing of each stage, glossary, room for notes",
            template="booklet.md.j2",
            one_size="booklet.md.j2",
            diagrams=True,
            bound=True,
        ),
        Kind(
            "worksheet",
            "teaching: every number worked by hand, with an example and the answers",
            template="worksheet.md.j2",
            one_size="worksheet.md.j2",
            style="worksheet",
            taught=True,
        ),
        Kind("large-18", "low vision: nothing smaller than 18 points, one column", style="large-18"),
        Kind("large-24", "low vision: nothing smaller than 24 points, one column", style="large-24"),
        Kind("easy", "dyslexia: wide spaces, short lines, 14 points, nothing divided", style="easy"),
        Kind(
            "plain-text",
            "screen readers: one instruction a line, words for symbols",
            template="plain_text.txt.j2",
            one_size="plain_text.txt.j2",
            form="text",
            words=True,
        ),
        Kind("web", "screens: one page that needs nothing else", form="web"),
        Kind("epub", "e-readers", form="epub"),
    )
}


@dataclass(frozen=True, slots=True)
class Edition:
    """How a document is to be made: which kind, in what terms, units, language and arrangement, on what paper.

    `templates` is a designer's own folder, `looks` what stands in its style file. `marks` asks for bleed and crop
    marks, `one_ink` for black only, `imposed` for the sheets of a booklet beside its pages.
    """

    terms: str = "UK"
    units: str = "both"
    arrangement: str = "by-section"
    paper: str = "a4"
    one_size: bool = False
    templates: Path | None = None
    kind: str = "pattern"
    language: Language | None = None  # English where there is none
    looks: Looks = field(default_factory=Looks)
    marks: bool = False
    one_ink: bool = False
    imposed: bool = False

    @property
    def of(self) -> Kind:
        """What the edition is."""
        return EDITIONS[self.kind]

    @property
    def tag(self) -> str:
        """The tag of the document's language: en-GB, en-US, de-DE."""
        return self.language.tag if self.language else "en-GB" if self.terms == "UK" else "en-US"

    @property
    def short_tag(self) -> str:
        """The language without its country; "" for English."""
        return self.language.tag.split("-")[0] if self.language else ""
