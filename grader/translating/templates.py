"""Templates: words with slots, which a text fits or doesn't, and which are filled in again in another language.

A slot without a kind takes a number, with its unit in prose; one with a kind takes a text of that kind. In the
language's words `{n|Runde|Runden}` takes the form that the number of the slot n asks for.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from grader.models.language import Phrase
from grader.translating.masking import MASK, masked, single_values, value_at

MOST_STEPS = 5_000  # for one template and text; those that ship take a fifth of that
_SLOT = re.compile(r"\{([^{}]*)\}")
_KIND = re.compile(r"(\w+):(\w+)")
_VALUE = re.compile(MASK)
_WITH_UNIT = re.compile(rf"{MASK} cm / {MASK} in\b|{MASK} cm\b|{MASK} in\b|{MASK} %")
_UNITS = re.compile(r"# cm / # in\b|# cm\b|# in\b|# %")
_ONE = re.compile(r"\b(?:st|round|row|stitch|time|chain)\b", re.I)
_AS_NUMBERS = {
    "to last st": "to last 1 sts",
    "once more": "1 more times",
    "twice more": "2 more times",
    "once": "1 times",
    "twice": "2 times",
}
_IN_WORDS = re.compile(r"\bto last st\b|\b(?:once|twice)(?: more)?\b", re.I)
_TIED = re.compile("\u00a0(?!\\*\\*)")  # but for the one that ties a letter to an abbreviation
Values = Sequence[str]
Check = Callable[[str, str], bool]


def plural_english(text: str) -> str:
    """English with its nouns in the plural and with figures, as sizes are merged, so that both forms fit a template."""
    text = _IN_WORDS.sub(lambda found: _AS_NUMBERS[found[0].lower()], _TIED.sub(" ", text))
    return _ONE.sub(lambda found: found[0] + ("es" if found[0][-1] == "h" else "s"), text)


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a number, or for a text of a `kind`; `forms` are words of which its number chooses one."""

    name: str
    kind: str = ""
    forms: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Exact:
    """A number that stands in the template itself."""

    value: str


Piece = str | Slot | Exact


def pieces_of(template: str, numbers: re.Pattern[str] | None = None, english: bool = False) -> tuple[Piece, ...]:
    """The words, slots and numbers of a template in order; without `numbers` those stay among the words.

    `english` puts its nouns into the plural, as in the texts that are to fit.
    """
    pieces: list[Piece] = []
    end = 0
    for found in _SLOT.finditer(template):
        pieces += _words(template[end : found.start()], numbers, english)
        pieces.append(_slot(found[1]))
        end = found.end()
    return (*pieces, *_words(template[end:], numbers, english))


def _slot(inner: str) -> Slot:
    name, *forms = inner.split("|")
    kind = _KIND.fullmatch(name)
    return Slot(kind[1] if kind else name.strip(), kind[2] if kind else "", tuple(forms))


def _words(text: str, numbers: re.Pattern[str] | None, english: bool) -> list[Piece]:
    if not text:
        return []
    text = plural_english(text) if english else text
    if numbers is None:
        return [text]
    hidden, values = masked(text, numbers)
    pieces: list[Piece] = []
    for part in re.split(f"({MASK})", hidden):
        if re.fullmatch(MASK, part):
            pieces.append(Exact(value_at(part, values)))
        elif part:
            pieces.append(part)
    return pieces


@dataclass(frozen=True)
class Template:
    """One side of a phrase to fit texts to, and the other side to fill in."""

    taken: tuple[Piece, ...]
    given: tuple[Piece, ...]
    phrase: Phrase

    @cached_property
    def kinds(self) -> Mapping[str, str]:
        """The kinds of the slots that take text."""
        return {each.name: each.kind for each in self.taken if isinstance(each, Slot) and each.kind}

    @cached_property
    def key(self) -> str:
        """What every text that fits has in common, if no slot takes text."""
        return key_of("".join("#" if not isinstance(each, str) else each for each in self.taken))

    @cached_property
    def begin(self) -> str:
        """The words that every text which fits begins with."""
        first = self.taken[0] if self.taken else ""
        return first.lower() if isinstance(first, str) else ""

    @cached_property
    def end(self) -> str:
        """The words that every text which fits ends with."""
        last = self.taken[-1] if self.taken else ""
        return last.lower() if isinstance(last, str) else ""

    @cached_property
    def words(self) -> tuple[str, ...]:
        """The words that stand in every text which fits, the longest first, since they rule out the most."""
        return tuple(sorted((each.lower() for each in self.taken if isinstance(each, str)), key=len, reverse=True))

    @cached_property
    def said(self) -> int:
        """How many characters of a text that fits are those of the template."""
        return sum(len(each) for each in self.taken if isinstance(each, str))

    def may_fit(self, lower: str) -> bool:
        """False for most texts that don't fit, told quickly; the text comes in small letters."""
        if not (lower.startswith(self.begin) and lower.endswith(self.end)):
            return False
        for each in self.words:  # noqa: SIM110  (asked by the hundred thousand, and quicker so)
            if each not in lower:
                return False
        return True

    def fits(self, text: str, values: Values, units: bool) -> Iterator[dict[str, str]]:
        """What stands in each slot, in every way in which the text fits. `units`: numbers may have units."""
        lower = text.lower()
        if self.may_fit(lower):
            yield from self._fit(0, text, lower, 0, values, units, [0])

    def _fit(
        self, place: int, text: str, lower: str, at: int, values: Values, units: bool, steps: list[int]
    ) -> Iterator[dict[str, str]]:
        steps[0] += 1
        if steps[0] > MOST_STEPS:  # slots with hardly a word between them: the text may fit in ways without number
            return
        if place == len(self.taken):
            if at == len(text):
                yield {}
            return
        piece = self.taken[place]
        if isinstance(piece, str):
            if lower.startswith(piece.lower(), at):
                yield from self._fit(place + 1, text, lower, at + len(piece), values, units, steps)
            return
        if isinstance(piece, Exact):
            if _VALUE.match(text, at) and value_at(text[at], values) == piece.value:
                yield from self._fit(place + 1, text, lower, at + 1, values, units, steps)
            return
        for end in self._ends(piece, place, text, lower, at, units):
            for rest in self._fit(place + 1, text, lower, end, values, units, steps):
                yield rest if piece.forms else {piece.name: text[at:end], **rest}

    def _ends(self, slot: Slot, place: int, text: str, lower: str, at: int, units: bool) -> Iterator[int]:
        if slot.forms:
            yield from (at + len(form) for form in slot.forms if text.startswith(form, at))
        elif not slot.kind:
            with_unit = _WITH_UNIT.match(text, at) if units else None
            if with_unit:
                yield with_unit.end()
            if _VALUE.match(text, at):
                yield at + 1
        elif place + 1 == len(self.taken):
            if at < len(text):
                yield len(text)
        elif isinstance(following := self.taken[place + 1], str):
            end = lower.find(following.lower(), at + 1)
            while end >= 0:
                yield end
                end = lower.find(following.lower(), end + 1)
        else:
            yield from range(at + 1, len(text) + 1)

    def filled(self, slots: Mapping[str, str], values: Values, form: Callable[[list[str]], int]) -> str:
        """The other side with these texts in its slots; `form` chooses among the forms of a word."""
        out = []
        for piece in self.given:
            if isinstance(piece, str):
                out.append(piece)
            elif isinstance(piece, Exact):
                out.append(piece.value)
            elif piece.forms:
                number = slots.get(piece.name, "")[:1]
                chosen = form(single_values(value_at(number, values))) if number else len(piece.forms) - 1
                out.append(piece.forms[min(chosen, len(piece.forms) - 1)])
            else:
                out.append(slots.get(piece.name, ""))
        return "".join(out)


def key_of(text: str) -> str:
    """A text without its numbers and units, in small letters: what a text and its template have in common."""
    return _UNITS.sub("#", _VALUE.sub("#", text)).lower()


def plural_form(rule: str) -> Callable[[list[str]], int]:
    """The place of the form that a number takes; a number of many sizes takes that of many. Rules after CLDR."""

    def form(values: list[str]) -> int:
        if len(values) != 1:
            return 99
        value = values[0]
        if rule == "none":
            return 0
        if rule == "up-to-one":
            return 0 if value in ("0", "1", "–") or not value[:1].isdigit() or value.startswith(("0.", "1.")) else 1
        if rule == "slavic" and value.isdigit():
            last, tens = int(value) % 10, int(value) % 100
            return 0 if last == 1 and tens != 11 else 1 if 2 <= last <= 4 and not 12 <= tens <= 14 else 2
        return 0 if value == "1" else 1

    return form


def glued_words(phrases: Sequence[str]) -> set[str]:
    """The abbreviations that stand right before a number in these templates, without a space."""
    return {found[1] for text in phrases for found in re.finditer(r"(?<![^\W\d_])([^\W\d_]+)\{\w+\}", text)}
