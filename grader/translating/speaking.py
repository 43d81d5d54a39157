"""All that is printed but instruction lines: messages, as the catalogue has them or put together from them."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache

from grader.models.language import Language
from grader.translating.lines import translate_line
from grader.translating.masking import MASK, english_pattern, masked, told_value, unmasked
from grader.translating.phrasebook import Phrasebook, phrasebook, with_kinds
from grader.translating.templates import Template, key_of, pieces_of, plural_english, plural_form

MOST_TRIED = 500  # pieces of one text that are looked for among the messages; in print they are below a hundred
_SENTENCE = re.compile(r"(?<=[.!?]) (?=\S)|(?<=only:) |(?<=All sizes:) ")
_WORD = re.compile(r"[^\W\d_]")
_BETWEEN = re.compile(r"(, | and | to | or )")
_LETTERED = re.compile(rf"{MASK}|[A-Z]+")
_UNIT = re.compile(rf"({MASK}) (cm|in)\b")
MOST_SENTENCES = 40
MOST_LISTED = 12  # parts between commas


class Speaker:
    """Says messages in a language; what it can't say is None."""

    def __init__(self, language: Language) -> None:
        self.language = language
        self.book: Phrasebook = phrasebook(language)
        self.form = plural_form(language.plural)
        self.units = dict(language.units)
        self.known: dict[str, str | None] = {}
        self.tried: dict[tuple[str, str], str | None] = {}  # within one text: what its parts came to
        self.plain: dict[str, list[Template]] = {}
        self.nested: list[Template] = []
        kinds: dict[str, Callable[[str, Sequence[str]], str | None]] = {
            "text": self._text,
            "name": self._name,
            "names": self._names,
            "texts": self._texts,
            "quoted": self._quoted,
            "worked": self._worked,
            "line": self._line,
            "as": lambda text, _: text,
        }
        self.kinds = kinds
        for phrase in language.messages:
            if phrase.told:
                taken = pieces_of(phrase.english, english_pattern(), english=True)
                template = with_kinds(Template(taken, pieces_of(phrase.told), phrase))
                if template.kinds:
                    self.nested.append(template)
                else:
                    self.plain.setdefault(template.key, []).append(template)
        self.nested.sort(key=lambda template: -template.said)  # what says most itself fits most surely

    def said(self, text: str) -> str | None:
        """A text of the document in the language, numbers and all; None where no message fits."""
        if text not in self.known:
            hidden, values = masked(plural_english(text), english_pattern())
            self.tried.clear()
            told = self._text(hidden, values)
            self.known[text] = None if told is None else unmasked(told, values, self.language)
        return self.known[text]

    def listed(self, text: str) -> str | None:
        """Several texts with commas, `and` and `to` between them; None where one of them can't be said."""
        hidden, values = masked(plural_english(text), english_pattern())
        self.tried.clear()
        told = self._texts(hidden, values)
        return None if told is None else unmasked(told, values, self.language)

    def names(self, text: str) -> str:
        """Names of sizes, or their numbers, with the language's own words between them."""
        hidden, values = masked(text, english_pattern())
        return unmasked(self._names(hidden, values) or hidden, values, self.language)

    def worked(self, text: str) -> str | None:
        """What a symbol of a chart stands for: K (RS) or P (WS)."""
        hidden, values = masked(plural_english(text), english_pattern())
        self.tried.clear()
        told = self._worked(hidden, values) or self._whole(hidden, values)
        return None if told is None else unmasked(told, values, self.language)

    def name(self, text: str) -> str:
        """A name in the language if there is a message for it, else as it is."""
        return self.said(text) or text

    def _text(self, text: str, values: Sequence[str]) -> str | None:
        if not _WORD.search(_UNIT.sub(r"\1", text)):
            return self._value(text, values)
        key = ("text", text)
        if key not in self.tried:
            self.tried[key] = None  # a text within itself is no text
            self.tried[key] = (
                self._whole(text, values)
                or self._sentences(text, values)
                or self._listed(text, values)
                or self.book.said("region", text, values)
            )
        return self.tried[key]

    def _whole(self, text: str, values: Sequence[str]) -> str | None:
        """The text as one message; with a small first letter too, which is then large again."""
        key = ("whole", text)
        if key not in self.tried and len(self.tried) > MOST_TRIED:
            return None
        if key not in self.tried:
            self.tried[key] = None
            self.tried[key] = self._fitting(text, values)
        return self.tried[key]

    def _fitting(self, text: str, values: Sequence[str]) -> str | None:
        found = None
        lower = text.lower()
        for template in (*self.plain.get(key_of(text), ()), *self.nested):
            if not template.may_fit(lower):
                continue
            for slots in template.fits(text, values, units=True):
                told = self._filled(template, slots, values)
                if told is None:
                    continue
                exact = template.phrase.english[:1] in (text[:1], "{") or not text[:1].isalpha()
                if exact:
                    return told
                found = found or (told[:1].upper() + told[1:] if text[:1].isupper() else told)
        return found

    def _filled(self, template: Template, slots: dict[str, str], values: Sequence[str]) -> str | None:
        told: dict[str, str] = {}
        for name, inner in slots.items():
            kind = template.kinds.get(name, "")
            if not kind:
                said: str | None = self._value(inner, values)
            elif kind in self.kinds:
                said = self.kinds[kind](inner, values)
            else:
                said = self.book.said(kind, inner, values)
            if said is None:
                return None
            told[name] = said
        return template.filled(told, values, self.form)

    def _value(self, text: str, _values: Sequence[str]) -> str:
        """A number with its units, which have their own names in some languages."""
        return _UNIT.sub(lambda found: f"{found[1]} {self.units.get(found[2], found[2])}", text)

    def _name(self, text: str, values: Sequence[str]) -> str | None:
        return self._whole(text, values) or text

    def _names(self, text: str, values: Sequence[str]) -> str | None:
        """Names with commas and `and` between them; a run of numbers has `to`."""
        joins = self._joins()
        return "".join(joins.get(each) or self._name(each, values) or "" for each in _BETWEEN.split(text))

    def _texts(self, text: str, values: Sequence[str]) -> str | None:
        """Texts with commas and `and` between them, each as short as it can be: some hold commas of their own."""
        joins = self._joins()
        parts = _BETWEEN.split(text)
        if len(parts) > 2 * MOST_LISTED:
            return None
        ways: list[str | None] = [""] + [None] * (len(parts) // 2 + 1)
        for end in range(1, len(ways)):
            for begin in range(end - 1, -1, -1):
                before = ways[begin]
                if before is None:
                    continue
                said = self._text("".join(parts[2 * begin : 2 * end - 1]), values)
                if said is not None:
                    ways[end] = f"{before}{joins[parts[2 * begin - 1]] if begin else ''}{said}"
                    break
        return ways[-1]

    def _joins(self) -> dict[str, str]:
        return {
            ", ": self.language.comma,
            " and ": self.language.word_and,
            " to ": self.language.word_to,
            " or ": self.language.word_or,
        }

    def _quoted(self, text: str, values: Sequence[str]) -> str | None:
        """Names in quotes, with commas and `and` between them."""
        begin, end = self.language.quotes
        return re.sub("“([^“”]*)”", lambda found: f"{begin}{self._name(found[1], values)}{end}", text).replace(
            " and ", self.language.word_and
        )

    def _worked(self, text: str, values: Sequence[str]) -> str | None:
        """What a symbol stands for: a stitch without its number."""
        return next(
            (told for group in ("symbol", "worked", "item") if (told := self.book.said(group, text, values))), None
        )

    def _line(self, text: str, values: Sequence[str]) -> str | None:
        """An instruction line within a message."""
        return translate_line(unmasked(text, values, None), self.language)

    def _sentences(self, text: str, values: Sequence[str]) -> str | None:
        """A text as a row of messages, each of as many sentences as it can be."""
        parts = _SENTENCE.split(text)
        if not 1 < len(parts) <= MOST_SENTENCES:
            return None
        ways: list[str | None] = [""] + [None] * len(parts)
        for end in range(1, len(parts) + 1):
            for begin in range(end):
                before = ways[begin]
                if before is None or (begin == 0 and end == len(parts)):
                    continue
                said = self._whole(" ".join(parts[begin:end]), values)
                if said is not None:
                    ways[end] = f"{before} {said}".strip()
                    break
        return ways[-1]

    def _listed(self, text: str, values: Sequence[str]) -> str | None:
        """Several texts with semicolons between them."""
        if "; " not in text:
            return None
        told = [self._text(each, values) for each in text.split("; ")]
        return None if any(each is None for each in told) else "; ".join(each or "" for each in told)


@lru_cache(maxsize=16)
def speaker(language: Language) -> Speaker:
    """The messages of a language, made once."""
    return Speaker(language)


def number_told(text: str, language: Language) -> str:
    """A figure by itself, such as that of a table, as the language prints it."""
    hidden, values = masked(text, english_pattern())
    return "".join(
        told_value(values[ord(each) - 0xE000], language) if "\ue000" <= each <= "\uf8ff" else each for each in hidden
    )
