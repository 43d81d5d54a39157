"""How the sheet says its words, its lines and its figures: in English as they are, or as a translator does."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from grader.comparing.gathering import STAYS
from grader.merging.passages import runs_of
from grader.models.document import Table
from grader.models.errata import Correction, Touched
from grader.translating import Translator
from grader.vocabulary.wording import joined

_HELD = "**ZZZ**"  # stands for a figure that stays, while the words around it are translated; no letter goes so far
_ROUNDS = re.compile(r"Rounds \d+(?:(?:, | to | and )\d+)+")
ABBREVIATIONS = "Abbreviations"  # a section that is compared in the language itself


class Teller:
    """English: everything is said as it is."""

    def text(self, text: str) -> str:
        """Words of ours, or of the designer's."""
        return text

    def name(self, text: str) -> str:
        """A title, which may stay as it is."""
        return text

    def place(self, text: str) -> str:
        """Where a correction stands: a label, or several."""
        return text

    def joined(self, texts: Sequence[str]) -> str:
        """Several texts, with `and` before the last."""
        return joined(tuple(texts))

    def sizes(self, names: Sequence[str]) -> str:
        """ "size 3", "sizes 2 to 4 and 8"."""
        return f"size{'s' if len(names) > 1 else ''} {joined(runs_of(tuple(names)))}"

    def knits(self, touched: Touched) -> str:
        """ "sizes 3 and 4 knit differently on short circular"."""
        told = [setup.replace(", ", " (") + ")" if ", " in setup else setup for setup in touched.setups]
        verb = "knits" if len(touched.sizes) == 1 else "knit"
        return f"{self.sizes(touched.sizes)} {verb} differently{f' on {joined(told)}' if told else ''}"

    def quoted(self, each: Correction, text: str) -> str:
        """What a correction quotes from the print, by its sort."""
        return text

    def figures(self, table: Table) -> Table:
        """The figures under the letters of a correction."""
        return table


class Translating(Teller):
    """Another language; what it has no words for is remembered by the translator."""

    def __init__(self, to: Translator) -> None:
        self.to = to

    def text(self, text: str) -> str:
        return self.to.text(text)

    def name(self, text: str) -> str:
        return self.to.speaker.name(text)

    def place(self, text: str) -> str:
        if self.to.speaker.said(text) is None and _ROUNDS.fullmatch(text):
            return f"{self.text('Rounds')} {self.to.speaker.names(text.removeprefix('Rounds '))}"
        return self.to.listed(text) if text else ""

    def joined(self, texts: Sequence[str]) -> str:
        return self.to.joined(texts)

    def sizes(self, names: Sequence[str]) -> str:
        numbers = self.to.speaker.names(joined(runs_of(tuple(names))))
        return f"{self.text('sizes' if len(names) > 1 else 'size')} {numbers}"

    def knits(self, touched: Touched) -> str:
        told = self.text(Teller().knits(replace(touched, setups=())))
        return f"{told} ({self.joined(touched.setups)})" if touched.setups else told

    def quoted(self, each: Correction, text: str) -> str:
        if not text or each.section == ABBREVIATIONS:
            return text
        say = self.to.line if each.sort == "line" else self.to.text
        if each.sort == "fact" and each.section == "Size table":
            say = self.to.cell
        return say(text.replace(STAYS, _HELD)).replace(f"\u00a0{_HELD}", f" {_HELD}").replace(_HELD, STAYS)

    def figures(self, table: Table) -> Table:
        return self.to.lettered(table)
