"""Another language than English: how it prints numbers, and its words for all that is printed."""

from __future__ import annotations

from dataclasses import dataclass, field

from grader.models.shown import Shown
from grader.vocabulary.findings import Span


@dataclass(frozen=True, slots=True)
class Phrase:
    """English words with {slots}, and the same in the language; `span` is where they stand in a file."""

    english: str
    told: str
    span: Span | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Language:
    """A catalogue: everything that is needed to print a document in a language and to read its lines back.

    `tag` is the one of the web (BCP 47). `phrases` are for instruction lines, by group; `messages` for all else, those
    that come first go before others. `abbreviations` gives for each English one those that stand for it with their
    meaning; `further` are others, which are explained where they occur; `spoken` are whole words for these and
    for signs, for those who listen. `plural` names the rule by which a number takes
    the first form of a word, or another.
    """

    name: str
    tag: str
    decimal: str = "."
    between: str = ", "  # numbers in a bracket
    none: str = "–"
    plural: str = "one"
    comma: str = ", "
    quotes: tuple[str, str] = ("“", "”")
    word_and: str = " and "
    word_to: str = " to "
    word_or: str = " or "
    spaced: str = ""  # signs that stand after a no-break space: « Aig 1 : »
    units: tuple[tuple[str, str], ...] = ()
    phrases: dict[str, tuple[Phrase, ...]] = field(default_factory=dict)
    messages: tuple[Phrase, ...] = ()
    abbreviations: dict[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    further: tuple[tuple[str, str], ...] = ()
    spoken: tuple[tuple[str, str], ...] = ()
    pictures: tuple[Shown, ...] = ()  # that its words, and the translations beside a pattern, show
