"""The stage that sets a pattern's Markdown in type and makes a PDF of it.

Nothing here knows about knitting: it knows the Markdown dialect (`blocks`), paper and type.
"""

from __future__ import annotations

from grader.models.svg import drawing_svg
from grader.pages.fault import MissingGlyph, UnusableFont
from grader.pages.setting import Press, set_pages, sizes_abreast, style_named
from grader.pages.typefaces import usable_typeface
from grader.pages.words import Words

__all__ = [
    "MissingGlyph",
    "Press",
    "UnusableFont",
    "Words",
    "drawing_svg",
    "set_pages",
    "sizes_abreast",
    "style_named",
    "usable_typeface",
]
