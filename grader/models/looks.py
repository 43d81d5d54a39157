"""A designer's own looks: what the file `style.yaml` beside her templates may say."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from grader.models.shown import Shown


@dataclass(frozen=True, slots=True)
class Looks:
    """Colours as shares of red, green and blue; fonts as files; `logo` a picture; `words` in place of ours.

    Whatever is not given stays as it is.
    """

    accent: tuple[float, float, float] | None = None
    band: tuple[float, float, float] | None = None
    regular: Path | None = None
    bold: Path | None = None
    logo: Path | None = None
    larger: float = 1.0
    words: tuple[tuple[str, str], ...] = ()  # ours, and what is printed in their place
    pictures: tuple[Shown, ...] = ()  # that her templates show, and the logo
    typefaces: tuple[Shown, ...] = ()  # the files of regular and bold, as her style names them
