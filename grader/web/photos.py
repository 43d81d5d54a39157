"""A designer's own pictures, taken into the page or the book so that nothing has to be fetched."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from grader.pictures import for_screens

_ENDINGS = {"image/png": "png", "image/jpeg": "jpg"}


@dataclass(frozen=True, slots=True)
class Photo:
    """One picture: its media type, its name within a book, and its bytes."""

    kind: str
    inside: str
    content: bytes

    @property
    def data(self) -> str:
        """The whole picture as an address, for a page that is one file."""
        return f"data:{self.kind};base64,{base64.b64encode(self.content).decode()}"


def read_photos(files: Mapping[str, Path]) -> dict[str, Photo]:
    """The pictures by the names that the Markdown gives them.

    Raises:
        UnusablePicture: a file that can't be read, or is no picture that can be shown.
    """
    found: dict[str, Photo] = {}
    for number, (name, path) in enumerate(sorted(files.items()), 1):
        kind, content = for_screens(path)
        found[name] = Photo(kind, f"images/picture-{number}.{_ENDINGS[kind]}", content)
    return found
