"""Slips of the pen within one line of instructions, as written in a pattern file or as printed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache

FOUND, SURVIVED, ALIKE = "found", "survived", "alike"  # what comes of a mistake; alike changes nothing
_NUMBER = re.compile(r"(?:(?<=\b[KP])|(?<=\b[Ss]l)|(?<![\w.]))\d+(?!\.?\d)")
_SWAPS = (
    (r"\bK(?=\d|\{)", ("P", "Sl")),
    (r"\bK(?= to\b|$|\.)", ("P",)),
    (r"\bK1\b", ("yo",)),
    (r"\bP(?=\d|\{)", ("K",)),
    (r"\bP(?= to\b|$|\.)", ("K",)),
    (r"\b[Ss]l(?=\d)", ("K", "P")),
    (r"\bssk\b", ("k2tog", "skp", "p2tog")),
    (r"\bk2tog\b", ("ssk", "p2tog")),
    (r"\bp2tog\b", ("ssp", "k2tog")),
    (r"\bm1L\b", ("m1R", "m1", "yo")),
    (r"\bm1R\b", ("m1L", "m1", "yo")),
    (r"\bm1\b", ("yo", "m1p", "kfb")),
    (r"\b[Yy]o\b", ("m1", "K1")),
    (r"\bcdd\b", ("sssk", "k3tog", "ssk")),
    (r"\bDS\b(?=, )", ("Sl1", "K1")),
    (r"\bw&t\b", ("turn",)),
    (r"(?<=, )turn\b", ("w&t",)),
    (r"(?<= to )DS\b", ("gap", "wrapped st")),
    (r"(?<= to )wrapped st\b", ("gap", "DS")),
    (r"(?<=before )wrapped st\b", ("gap", "DS")),
    (r"(?<=before )gap\b", ("DS", "end")),
)
_CABLE = re.compile(r"\b(\d)/(\d) ([LR])(P?)C\b")
_LOST = (
    ("decrease lost", r"\b(?:ssk|k2tog|p2tog|cdd|k3tog|sssk)\b"),
    ("increase lost", r"\b(?:m1[LRp]?|[Yy]o|kfb)(?=[,.;:*)]|$)"),
    ("cable lost", r"\b\d/\d [LR]P?C\b"),
    ("double stitch lost", r"\bDS\b(?=, )"),
    ("pick-up lost", r"[Pp]ick up and knit \d+ sts along the \w+ edge of the heel flap"),
    ("marker words lost", r"\b(?:pm for start of round|pm|sm)\b"),
    ("turn lost", r"\b(?:turn|w&t)\b"),
)
_LABEL = re.compile(r"Needles? \d(?:(?:, \d)* and \d)?(?: \([a-z ]+\))?(?=:)")
NAMES = {
    "heel": ("instep", "sole"),
    "instep": ("heel", "sole"),
    "sole": ("heel", "instep"),
    "(?<!left )(?<!right )back(?= sts|[:,])": ("instep", "sole"),
    "left back": ("right back", "instep"),
    "right back": ("left back", "instep"),
}
_SIDES = {"left": "right", "right": "left"}
_REPEAT = re.compile(r"\*[^*;]*[*;]")
_SPREAD = re.compile(r"((?:\d+, )*\d+ and \d+) sts on needles")


@dataclass(frozen=True, slots=True)
class Slip:
    """One mistake in a text: the characters from `start` to `end` become `new`; `kind` names it."""

    kind: str
    start: int
    end: int
    new: str

    def made_in(self, text: str) -> str:
        """The text with the mistake in it."""
        return text[: self.start] + self.new + text[self.end :]


def numbers_off(text: str, kind: Callable[[int], str]) -> Iterator[Slip]:
    """Every number one or two too many or too few; `kind` names the slip by where the number stands."""
    for match in _NUMBER.finditer(text):
        for step in (-2, -1, 1, 2):
            if int(match[0]) + step >= 0:
                yield Slip(kind(match.start()), match.start(), match.end(), str(int(match[0]) + step))


def _kind_of_number(text: str) -> Callable[[int], str]:
    """What a number of a line counts."""

    def kind(at: int) -> str:
        before, after = text[:at], text[at:]
        if any(match.start() < at < match.end() for match in _REPEAT.finditer(text)):
            return "repeat that does not divide"
        if re.search(r"[Nn]eedles? (?:\d+(?:, | and | to ))*$", before) or re.match(r"\d+ needles", after):
            return "needle number off"
        if re.search(r"pick up and knit $", before, re.I):
            return "pick-up count off"
        if text.startswith("Knit the first"):
            return "waste yarn count off"
        if text.startswith("Take out"):
            return "open count off"
        if re.match(r"(?:\d+(?:, | and ))*\d+ sts on (?:needles|each)", after):
            return "distribution off"
        return "graft count off" if before.startswith("Graft") else "count off"

    return kind


@lru_cache(maxsize=4096)
def slips(text: str) -> tuple[Slip, ...]:
    """Every single slip of the pen in one line; the same line stands in many socks."""
    return tuple(_slips(text))


def _slips(text: str) -> Iterator[Slip]:
    yield from numbers_off(text, _kind_of_number(text))
    for pattern, others in _SWAPS:
        for match in re.finditer(pattern, text):
            yield from (Slip("operation swapped", match.start(), match.end(), other) for other in others)
    for kind, pattern in _LOST:
        for match in re.finditer(rf"(?:, )?(?:{pattern})(?:, )?", text):
            joined = match[0].startswith(", ") and match[0].endswith(", ")
            yield Slip(kind, match.start(), match.end(), ", " if joined else "")
    yield from _cables_otherwise(text)
    yield from _colours_otherwise(text)
    yield from names_swapped(text)
    yield from _labels_swapped(text)
    yield from _times_in_words(text)
    yield from _spread_otherwise(text)


def names_swapped(text: str) -> Iterator[Slip]:
    """Another part of the foot, another edge, the first instead of the last stitches."""
    for name, others in NAMES.items():
        for match in re.finditer(rf"\b{name}\b(?! flap)", text):
            yield from (Slip("region name swapped", match.start(), match.end(), other) for other in others)
    for side, other in _SIDES.items():
        for match in re.finditer(rf"\b{side}\b(?= edge)", text):
            yield Slip("wrong edge", match.start(), match.end(), other)


def _cables_otherwise(text: str) -> Iterator[Slip]:
    """A cable that crosses the other way, or with purls, or over fewer stitches."""
    for match in _CABLE.finditer(text):
        over, under, way, purl = match.groups()
        other = "R" if way == "L" else "L"
        for new in (
            f"{over}/{under} {other}{purl}C",
            f"{over}/{under} {way}{'' if purl else 'P'}C",
            f"1/1 {way}{purl}C",
        ):
            if new != match[0]:
                yield Slip("cable swapped", match.start(), match.end(), new)


def _colours_otherwise(text: str) -> Iterator[Slip]:
    """The other colour, or none."""
    for match in re.finditer(r"(?<=[a-z\d}]) ?\b(MC|CC)\b", text):
        other = "CC" if match[1] == "MC" else "MC"
        yield Slip("colour swapped", match.start(1), match.end(), other)
        if not text.startswith(("Begin", "Change")):
            yield Slip("colour lost", match.start(), match.end(), "")


def _labels_swapped(text: str) -> Iterator[Slip]:
    """The labels of two needles changed about."""
    found = list(_LABEL.finditer(text))
    for place, one in enumerate(found):
        for two in found[place + 1 :]:
            if one[0] != two[0]:
                between = text[one.end() : two.start()]
                yield Slip("needle labels swapped", one.start(), two.end(), two[0] + between + one[0])


def _times_in_words(text: str) -> Iterator[Slip]:
    for word, others in {"once": ("twice", "3"), "twice": ("once", "3")}.items():
        for match in re.finditer(rf"\b{word} more\b", text):
            for other in others:
                new = f"{other} more times" if other.isdigit() else f"{other} more"
                yield Slip("repeat that does not divide", match.start(), match.end(), new)


def _spread_otherwise(text: str) -> Iterator[Slip]:
    """Stitches listed on the wrong needle, with the right sum."""
    for match in _SPREAD.finditer(text):
        counts = [int(count) for count in re.findall(r"\d+", match[1])]
        for place in range(len(counts) - 1):
            for step in (-2, -1, 1, 2):
                changed = list(counts)
                changed[place] += step
                changed[place + 1] -= step
                new = ", ".join(map(str, changed[:-1])) + f" and {changed[-1]}"
                if min(changed) > 0:
                    yield Slip("wrong distribution", match.start(1), match.end(1), new)
