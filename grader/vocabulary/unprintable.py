"""What can't come to print, whoever finds it: the one kind of mistake that making a document may raise."""

from __future__ import annotations


class Unprintable(ValueError):
    """A designer asks for what can't be printed: a character, a typeface, a picture. All else is a bug of ours."""
