"""A picture that a designer's words show, before anybody has looked for its file."""

from __future__ import annotations

from dataclasses import dataclass

from grader.vocabulary.findings import Span


@dataclass(frozen=True, slots=True)
class Shown:
    """The name of a picture's file as it is written, and the place of that name.

    `stands` is true where the picture is all that a text consists of, and that text one that is printed by itself;
    elsewhere only the words for it are printed.
    """

    name: str
    span: Span
    stands: bool = True
