"""Loading: a pattern file, with the place of everything in it, becomes a `Pattern`.

The story: `source` reads the bytes, `tree` scans the YAML, `file_model` holds the shape of a
pattern file, `conversion` and `steps` build the frozen values, `checks` compares names, units,
regions and prose. Every mistake is a `Finding` with its line and column, all of them at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from grader.models.class_list import ClassList
from grader.models.language import Language
from grader.models.looks import Looks
from grader.models.part import Part
from grader.models.pattern import Pattern
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Finding

Charts = Callable[[str], tuple[Body, ...]]


def load_pattern(
    path: str, charts: Charts | None = None, instead: Mapping[str, str] | None = None
) -> tuple[Pattern | None, list[Finding]]:
    """Read the pattern file at `path`; `instead` names parts that are taken in place of others.

    `charts` gives the feet of a named size chart and raises `KeyError` for a name it doesn't have;
    None means the charts that come with the project. The pattern is None when a mistake keeps it
    from being graded; a naked number is reported and still lets the pattern through.
    """
    from grader.loading.reading import load
    from grader.loading.source import read_source

    source, findings = read_source(path)
    return load(source, charts, instead) if source else (None, findings)


def load_text(text: str, name: str, charts: Charts | None = None) -> tuple[Pattern | None, list[Finding]]:
    """Read a pattern from `text`; `name` stands for the file in findings. Otherwise like `load_pattern`."""
    from grader.loading.reading import load
    from grader.loading.source import source_of

    source, findings = source_of(text, name)
    return load(source, charts) if source else (None, findings)


def load_parts(beside: str, names: tuple[str, ...] = ()) -> tuple[tuple[Part, ...], list[Finding]]:
    """Read the parts that a pattern file at `beside` could name: of the folder `parts` there, and those that ship.

    `names` limits them; a name that no part has is a finding `unknown-part`. A part with a mistake in its own keys is
    left out.
    """
    from grader.loading.catalogue import read_parts

    return read_parts(beside, names)


def load_class(path: str) -> tuple[ClassList | None, list[Finding]]:
    """Read the list of a class at `path`, one person a line; None with findings where it can't be read at all.

    Errors among the findings of a list that was read name single lines, which are left out.
    """
    from grader.loading.class_list import read_class

    return read_class(path)


def load_looks(folder: Path) -> tuple[Looks, list[Finding]]:
    """Read the file `style.yaml` in a designer's folder of templates; our own looks where there is none."""
    from grader.loading.looks import read_looks

    return read_looks(folder)


def languages() -> tuple[str, ...]:
    """The names of the languages whose catalogues ship, English aside."""
    from grader.loading.tongues import shipped

    return shipped()


def load_language(named: str, beside: str = "") -> tuple[Language | None, list[Finding]]:
    """Read the language that ships under that name, or the catalogue in the file that is named.

    `beside` is a pattern file: translations of its prose may stand beside it, as `mine.de.yaml` beside `mine.yaml`.
    """
    from grader.loading.tongues import read_language

    return read_language(named, beside)


__all__ = [
    "Charts",
    "languages",
    "load_class",
    "load_language",
    "load_looks",
    "load_parts",
    "load_pattern",
    "load_text",
]
