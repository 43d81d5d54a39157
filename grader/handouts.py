"""What a handout has that no other document has: tools to cut out at its end, and cautions in one line each."""

from __future__ import annotations

from dataclasses import replace

from grader.models.document import Document
from grader.models.drawing import Drawing
from grader.models.pattern import Pattern
from grader.rulers import gauge_window, ruler
from grader.vocabulary.cautions import in_short
from grader.vocabulary.wording import TERMS

RULER_MM = {"a5": 102}  # what the text of a small page has room for; 9 mm less than the drawing is wide
_RULER_MM = 150  # on every other paper


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
