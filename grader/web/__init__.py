"""The stage that makes a pattern's Markdown a web page and a book: one file each, which anyone can read.

It knows no knitting but what the dialect tells: sizes in brackets and under letters, rounds to tick, notes beside the
work. What the dialect means on paper stands in `grader.pages.blocks`.
"""

from __future__ import annotations

from grader.web.book import epub
from grader.web.page import web_page

__all__ = ["epub", "web_page"]
