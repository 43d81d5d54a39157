"""The stage that sets a pattern's Markdown in type and makes a PDF of it.

Nothing here knows about knitting: it knows the Markdown dialect (`blocks`), paper and type.
"""

from __future__ import annotations

from grader.models.svg import drawing_svg
from grader.pages.fault import MissingGlyph
from grader.pages.setting import set_pages

__all__ = ["MissingGlyph", "drawing_svg", "set_pages"]
