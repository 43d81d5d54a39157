"""What a handout has that no other document has: tools true to scale, cautions in short, numbers that stand out."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

from grader.models.document import Document, Passage, SectionText
from grader.models.drawing import Drawing
from grader.models.pattern import Pattern
from grader.rulers import gauge_window, ruler
from grader.vocabulary.cautions import in_short
from grader.vocabulary.wording import TERMS

RULER_MM = {"a5": 102}  # what the text of a small page has room for; 9 mm less than the drawing is wide
_RULER_MM = 150  # on every other paper
_NEEDLES = re.compile(r"[Nn]eedles? \d+(?:(?:, | and | to )\d+)*|\b\d+ (?:[\w-]+ )?needles\b|\b1 st\b")
# A whole number that stands alone: neither K18, 2/2 nor 3.5, and no length. Units as they are printed in any language.
_ALONE = re.compile(
    r"(?<![\w.,/¼½¾⅛⅜⅝⅞*-])(?<!/ )(\d+)(?![\w½¼¾⅛⅜⅝⅞*]|[.,]\d|[ \u00a0]?(?:cm|mm|in|Zoll|po)\b|[ \u00a0]?/)"
)


def for_handout(
    document: Document, pattern: Pattern, units: str, paper: str, stem: str
) -> tuple[Document, dict[str, Drawing]]:
    """The document as the template of a handout wants it, and the drawings of its tools by file name.

    Files of two documents with one `stem` are the same as long as gauge, terms, units and paper are.
    """
    word = TERMS[document.terms]["gauge"]
    tools = {
        f"{stem}-ruler.svg": ruler(RULER_MM.get(paper, _RULER_MM), units),
        f"{stem}-window.svg": gauge_window(pattern.gauge.stitches, pattern.gauge.rounds, word),
    }
    told = tuple((name, drawing.alt) for name, drawing in tools.items())
    return replace(document, tools=told, cautions=in_short(document.cautions)), tools


def with_great_numbers(document: Document, english: Document) -> Document:
    """The document, a translation of `english` or it itself, with the stitches in bold that should be on the needles.

    In print they are large, like the counts after a dash and the rounds to work, which stand at the end of their boxes.
    What is worked stitch by stitch (every line with a label) has no large numbers, neither have lengths.
    """
    parts = tuple(
        replace(part, sections=tuple(map(_section, part.sections, was.sections)))
        for part, was in zip(document.parts, english.parts, strict=True)
    )
    return replace(document, parts=parts)


def _section(section: SectionText, was: SectionText) -> SectionText:
    strands = tuple(
        replace(strand, passages=tuple(map(_passage, strand.passages, before.passages)))
        for strand, before in zip(section.strands, was.strands, strict=True)
    )
    return replace(section, strands=strands)


def _passage(passage: Passage, was: Passage) -> Passage:
    instructions = tuple(
        each if each.label else replace(each, text=_in_bold(each.text, _held(before.text)))
        for each, before in zip(passage.instructions, was.instructions, strict=True)
    )
    wanted = _left(was.closing, was.boxes) if was.boxes else _held(was.closing)
    return replace(passage, instructions=instructions, closing=_in_bold(passage.closing, wanted))


def _held(text: str) -> Counter[str]:
    """The stitches that lie on needles, or are cast on, slipped or held."""
    return Counter(_ALONE.findall(_NEEDLES.sub("", text)))


def _left(text: str, boxes: int) -> Counter[str]:
    """With how many stitches rounds end: the last number, unless it is that of the rounds, which are at the boxes."""
    return Counter(number for number in _ALONE.findall(text)[-1:] if int(number) != boxes)


def _in_bold(text: str, wanted: Counter[str]) -> str:
    left = wanted.copy()

    def told(found: re.Match[str]) -> str:
        left[found[1]] -= 1
        return f"**{found[1]}**" if left[found[1]] >= 0 else found[1]

    return _ALONE.sub(told, text)
