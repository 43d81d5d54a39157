"""Type families: two weights each, the widths of their characters, and what they can't show.

Source Sans 3 (SIL Open Font License, bundled unmodified beside its licence) is the house family. Its figures are all
of one width in each weight, so numbers line up without further ado. A designer's own family comes from two files.
"""

from __future__ import annotations

import io
import zlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from grader.pages.fault import MissingGlyph, UnusableFont
from grader.pages.type_tables import glyphs_lie_in_order, why_unsound
from grader.regular_files import read_regular, why_not

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont  # type: ignore[import-untyped]

MOST_BYTES = 40 << 20  # a typeface of many scripts has twenty
_TRIED, _SUBSET = 4096, 200  # characters, and so many of them at once
_BROKEN = "it is broken"
REGULAR, BOLD = "Pattern-Regular", "Pattern-Bold"
AIRY_REGULAR, AIRY_BOLD = "Airy-Regular", "Airy-Bold"
NO_BREAK = "\u00a0"
SOFT_HYPHEN = "\u00ad"
_FOLDER = Path(__file__).with_name("fonts")
_REGULAR_FILE, _BOLD_FILE = _FOLDER / "SourceSans3-Regular.ttf", _FOLDER / "SourceSans3-Bold.ttf"
_AIR = 0.035  # ems between letters: common practice for readers with dyslexia


@dataclass(frozen=True, slots=True)
class Family:
    """Two fonts by the names they are registered under."""

    regular: str
    bold: str


PATTERN = Family(REGULAR, BOLD)
AIRY = Family(AIRY_REGULAR, AIRY_BOLD)

# Name -> file and what is put between letters, in ems. `own_family` adds to it.
_FONTS: dict[str, tuple[Path, float]] = {
    REGULAR: (_REGULAR_FILE, 0.0),
    BOLD: (_BOLD_FILE, 0.0),
    AIRY_REGULAR: (_REGULAR_FILE, _AIR),
    AIRY_BOLD: (_BOLD_FILE, _AIR),
}


def own_family(regular: Path, bold: Path, tracking: float = 0.0) -> Family:
    """A family from two TrueType files, the same for the same files and tracking (in ems).

    Raises:
        UnusableFont: a file that is missing, is not TrueType, or may not be embedded.
    """
    names = []
    for file in (regular, bold):
        name = f"{file.stem}-{tracking:g}-{zlib.crc32(_content(file)):x}"
        _FONTS[name] = (file, tracking)
        names.append(name)
        typeface(name)
    return Family(*names)


def usable_typeface(file: Path) -> None:
    """See whether a typeface can be set and embedded, every glyph of it: one cut off shows it only there.

    Raises:
        UnusableFont: it can't.
    """
    face = _parsed(file.stem, file).face
    try:
        characters = sorted(face.charToGlyph)[:_TRIED]
        for begin in range(0, len(characters), _SUBSET):
            face.makeSubset(characters[begin : begin + _SUBSET])
    except Exception as mistake:  # what a parser raises on bytes that anybody may have made is not to be listed
        raise UnusableFont(str(file), _BROKEN) from mistake


def _content(file: Path) -> bytes:
    try:
        data = read_regular(file, MOST_BYTES)
    except OSError as mistake:
        raise UnusableFont(str(file), why_not(mistake)) from mistake
    if len(data) > MOST_BYTES:
        raise UnusableFont(str(file), f"it is larger than {MOST_BYTES >> 20} MiB")
    return data


def _parsed(name: str, file: Path) -> TTFont:
    from reportlab.pdfbase.ttfonts import TTFError, TTFont

    data = _content(file)
    why = why_unsound(data)
    if why:
        raise UnusableFont(str(file), why)
    try:
        font = TTFont(name, io.BytesIO(data))
        whole = glyphs_lie_in_order(font.face.glyphPos, font.face.get_table_pos("glyf")[1])
    except TTFError as mistake:
        raise UnusableFont(str(file), " ".join(str(mistake).replace('"(ttf)"', "it").split())) from mistake
    except Exception as mistake:  # as above
        raise UnusableFont(str(file), _BROKEN) from mistake
    if not whole:
        raise UnusableFont(str(file), _BROKEN)
    return font


@lru_cache(maxsize=32)
def typeface(name: str) -> TTFont:
    """The registered font; parsed once in a process."""
    from reportlab.pdfbase import pdfmetrics  # type: ignore[import-untyped]

    font = _parsed(name, _FONTS[name][0])
    pdfmetrics.registerFont(font)
    return font


def tracking(name: str) -> float:
    """What the font puts between letters, in ems."""
    return _FONTS[name][1]


@lru_cache(maxsize=32)
def _widths(name: str) -> dict[str, float]:
    """Character -> width in ems, for the characters that have a glyph."""
    face = typeface(name).face
    air = tracking(name)
    return {chr(code): face.charWidths[code] / 1000 + air for code in face.charToGlyph if code in face.charWidths}


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
