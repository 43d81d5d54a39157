"""What the marks of a page mean to who can't see them: the tree of headings, lists, tables and pictures.

The kinds are the standard structure types of PDF (ISO 32000-1, 14.8.4) and, mapped to them, two of our own.
"""

from __future__ import annotations

from dataclasses import dataclass, field

# Our own kinds and the standard ones that they are read as.
ROLES = {"Beside": "P", "Count": "Span"}


@dataclass(eq=False, slots=True)
class Element:
    """One node of the tree, in reading order among its siblings.

    `alt` says in words what a picture shows; `scope` is "Row" or "Column" on the head of a table; `held` is filled in
    as pages are drawn: the children, and the stretches of the pages' content that are the element's own.
    """

    kind: str
    parent: Element | None = None
    alt: str = ""
    scope: str = ""
    held: list[object] = field(default_factory=list)

    def add(self, kind: str, alt: str = "", scope: str = "") -> Element:
        """A new last child."""
        child = Element(kind, self, alt, scope)
        self.held.append(child)
        return child
