"""What can go wrong while pages are set."""

from __future__ import annotations

import unicodedata

from grader.vocabulary.unprintable import Unprintable


class MissingGlyph(Unprintable):
    """The typeface has no picture for a character, so that it would be invisible in print."""

    def __init__(self, character: str, text: str) -> None:
        self.character = character
        self.text = text
        name = unicodedata.name(character, "unnamed")
        shown = text if len(text) <= 60 else f"{text[:57]}..."
        super().__init__(f"the typeface has no character {character!r} (U+{ord(character):04X}, {name}), in {shown!r}")


class UnusableFont(Unprintable):
    """A designer's own typeface that can't be set or embedded."""

    def __init__(self, file: str, why: str) -> None:
        self.file = file
        self.why = why
        super().__init__(f"{file}: not a TrueType font that can be embedded: {why}")
