"""The phrases of instruction lines, to be read and said in either direction."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import product

from grader.models.language import Language
from grader.translating.masking import FIRST_MASK, MASK, english_pattern, pattern_of
from grader.translating.templates import Slot, Template, glued_words, key_of, pieces_of, plural_form


class Phrasebook:
    """The phrases by group, from English into the language or (`back`) from it into English.

    Phrases without slots for texts go before the others; among equals the first in the catalogue.
    """

    def __init__(self, language: Language, back: bool) -> None:
        told = [phrase.told for phrases in language.phrases.values() for phrase in phrases]
        theirs = pattern_of(language, glued_words(told))
        self.numbers = theirs if back else english_pattern()
        self.form = plural_form("one" if back else language.plural)
        joins = ((", ", " and "), (language.comma, language.word_and))
        self.joins = joins[::-1] if back else joins
        self.plain: dict[str, dict[str, list[Template]]] = {}
        self.nested: dict[str, list[Template]] = {}
        self.known: dict[tuple[str, str, tuple[str, ...]], str | None] = {}
        for group, phrases in language.phrases.items():
            plain = self.plain.setdefault(group, {})
            nested = self.nested.setdefault(group, [])
            for phrase in phrases:
                if not phrase.told:
                    continue
                if back:
                    taken = pieces_of(phrase.told.replace("\u00a0", " "), theirs)  # as the lines to be read
                    template = Template(taken, pieces_of(phrase.english), phrase)
                else:
                    taken = pieces_of(phrase.english, english_pattern(), english=True)
                    template = Template(taken, pieces_of(phrase.told), phrase)
                template = with_kinds(template)
                if template.kinds:
                    nested.append(template)
                else:
                    for key in _keys(template):
                        plain.setdefault(key, []).append(template)

    def said(self, group: str, text: str, values: Sequence[str]) -> str | None:
        """A text of that group in the other language, its numbers still hidden; None if no phrase fits it."""
        if group == "numbers":
            return self._numbers(text)
        hidden = "" if text.isascii() else text
        key = (group, text, tuple(values[ord(each) - FIRST_MASK] for each in hidden if "\ue000" <= each <= "\uf8ff"))
        if key not in self.known:
            self.known[key] = None  # a phrase within itself is none
            self.known[key] = next(self._sayings(group, text, values), None)
        return self.known[key]

    def _sayings(self, group: str, text: str, values: Sequence[str]) -> Iterator[str]:
        for template in self.plain.get(group, {}).get(key_of(text), ()):
            for slots in template.fits(text, values, units=False):
                yield template.filled(slots, values, self.form)
        lower = text.lower()
        heard: dict[tuple[str, str], str | None] = {}  # the ways in which a text fits share most of their slots
        for template in self.nested.get(group, ()):
            if not template.may_fit(lower):
                continue
            for slots in template.fits(text, values, units=False):
                told: dict[str, str] = {}
                for name, inner in slots.items():
                    kind = template.kinds.get(name, "")
                    if kind and (kind, inner) not in heard:
                        heard[kind, inner] = self.said(kind, inner, values)
                    said = heard[kind, inner] if kind else inner
                    if said is None:
                        break
                    told[name] = said
                else:
                    yield template.filled(told, values, self.form)

    def _numbers(self, text: str) -> str | None:
        """A list of numbers: 16, 12 and 16."""
        (comma, last), (other_comma, other_last) = self.joins
        listed = re.fullmatch(rf"({MASK}(?:{re.escape(comma)}{MASK})*){re.escape(last)}({MASK})", text)
        return f"{listed[1].replace(comma, other_comma)}{other_last}{listed[2]}" if listed else None


def with_kinds(template: Template) -> Template:
    """The template with the kinds that its English slots declare: those of the language need not repeat them."""
    kinds = {
        piece.name: piece.kind
        for side in (template.taken, template.given)
        for piece in side
        if isinstance(piece, Slot) and piece.kind
    }
    taken = tuple(
        Slot(piece.name, kinds[piece.name], piece.forms)
        if isinstance(piece, Slot) and piece.name in kinds and not piece.forms
        else piece
        for piece in template.taken
    )
    return Template(taken, template.given, template.phrase)


def _keys(template: Template) -> Iterator[str]:
    """The keys of the texts that fit: one for each choice of the forms of its words."""
    choices = [
        piece.forms if isinstance(piece, Slot) and piece.forms else (piece if isinstance(piece, str) else "#",)
        for piece in template.taken
    ]
    yield from dict.fromkeys(key_of("".join(each)) for each in product(*choices))


@lru_cache(maxsize=16)
def phrasebook(language: Language, back: bool = False) -> Phrasebook:
    """The phrases of a language, made once for each direction."""
    return Phrasebook(language, back)
