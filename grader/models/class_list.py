"""The people of a class, a line of a list each, as their teacher typed them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Member:
    """One line of the list: where it stands, whose it is, and its cells by column, each with its unit.

    Columns have the names of the options for one knitter, such as foot, length, knee_height, gauge, needles. Cells that
    are empty are left out.
    """

    line: int
    name: str
    cells: dict[str, str]


@dataclass(frozen=True, slots=True)
class ClassList:
    """All lines that could be read, in the order of the file, and which columns there are."""

    file: str
    columns: tuple[str, ...]
    members: tuple[Member, ...]
