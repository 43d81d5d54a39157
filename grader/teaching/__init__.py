"""The stage that teaches the numbers: a pattern's own rules in words, with blanks to fill in and an example."""

from __future__ import annotations

from grader.teaching.sheet import worksheet

__all__ = ["worksheet"]
