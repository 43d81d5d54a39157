"""A designer's own pictures, taken into the page or the book so that nothing has to be fetched."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

_KINDS = {b"\x89PNG\r\n\x1a\n": ("image/png", "png"), b"\xff\xd8\xff": ("image/jpeg", "jpg")}


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
    """The pictures by the names that the Markdown gives them; what they are is told by how they begin.

    Raises:
        ValueError: a file that can't be read, or is neither PNG nor JPEG.
    """
    found: dict[str, Photo] = {}
    for number, (name, path) in enumerate(sorted(files.items()), 1):
        try:
            content = path.read_bytes()
        except OSError as mistake:
            raise ValueError(f"the picture {name} can't be read: {mistake.strerror or mistake}") from mistake
        kind = next((kind for begin, kind in _KINDS.items() if content.startswith(begin)), None)
        if kind is None:
            raise ValueError(f"the picture {name} is neither PNG nor JPEG")
        found[name] = Photo(kind[0], f"images/picture-{number}.{kind[1]}", content)
    return found
