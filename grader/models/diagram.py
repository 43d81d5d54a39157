"""A drawing of one stage of a sock, for those who learn."""

from __future__ import annotations

from dataclasses import dataclass

from grader.models.drawing import Drawing


@dataclass(frozen=True, slots=True)
class StageDiagram:
    """`section` is the section it shows, "" for the whole sock; `kind` anatomy, needles, rows or shape."""

    section: str
    kind: str
    title: str
    drawing: Drawing
