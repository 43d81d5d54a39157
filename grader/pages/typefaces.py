"""The one type family: two weights, their widths, and what they can't show.

Source Sans 3 (SIL Open Font License, bundled unmodified beside its licence). Its figures are all
of one width in each weight, so numbers line up without further ado.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from grader.pages.fault import MissingGlyph

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]

REGULAR, BOLD = "Pattern-Regular", "Pattern-Bold"
_FILES = {REGULAR: "SourceSans3-Regular.ttf", BOLD: "SourceSans3-Bold.ttf"}
_FOLDER = Path(__file__).with_name("fonts")
NO_BREAK = "\u00a0"


@lru_cache(maxsize=2)
def typeface(name: str) -> TTFont:
    """The registered font; parsed once in a process."""
    from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]
    from reportlab.pdfbase.ttfonts import TTFont

    font = TTFont(name, str(_FOLDER / _FILES[name]))
    pdfmetrics.registerFont(font)
    return font


@lru_cache(maxsize=2)
def _widths(name: str) -> dict[str, float]:
    """Character -> width in ems, for the characters that have a glyph."""
    face = typeface(name).face
    return {chr(code): face.charWidths[code] / 1000 for code in face.charToGlyph if code in face.charWidths}


@lru_cache(maxsize=20_000)
def ems(text: str, name: str) -> float:
    """The width of a text in ems.

    Raises:
        MissingGlyph: a character that the typeface can't show.
    """
    widths = _widths(name)
    try:
        return sum([widths[character] for character in text])
    except KeyError as missing:
        raise MissingGlyph(str(missing.args[0]), text) from None


def width(text: str, name: str, size: float) -> float:
    """The width of a text in points at a size in points."""
    return ems(text, name) * size
