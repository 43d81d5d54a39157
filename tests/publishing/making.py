"""The documents of a pattern as the publish command makes them, caught before and after ink."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

from grader.models.drawing import Drawing
from grader.models.edition import EDITIONS
from grader.pages.setting import LaidOut, Press
from grader.pipeline import Checked
from grader.publishing import Edition, make_document

ROOT = Path(__file__).resolve().parents[2]
PATTERNS = tuple(sorted((ROOT / "patterns").glob("*.yaml")))
ON_PAPER = tuple(name for name, kind in EDITIONS.items() if kind.form == "pdf")
PAPERS = ("a4", "letter", "a5")
TOGETHER = "all setups"


@dataclass(slots=True)
class Set:
    """One PDF: what it was set from, its pages before ink, and its bytes (none where no ink was wanted)."""

    markdown: str
    drawing: Drawing | None
    drawings: dict[str, Drawing]
    press: Press
    laid_out: LaidOut
    data: bytes


@dataclass(frozen=True, slots=True)
class Wanted:
    """One document: `size` is "" for all sizes, `setup` one of the pattern's or `TOGETHER`."""

    edition: Edition
    setup: str
    size: str = ""

    @property
    def name(self) -> str:
        """How to tell it from the others of its pattern."""
        edition = self.edition
        told = [edition.kind, edition.paper, self.setup, self.size, "" if edition.terms == "UK" else edition.terms]
        told += ["crop marks, black" if edition.marks else ""]
        return ", ".join(each for each in told if each)


def chosen(checked: Checked, wanted: Wanted) -> Checked:
    """The pattern with the socks of one document."""
    socks = [
        sock
        for sock in checked.socks
        if wanted.setup in (TOGETHER, sock.instructions.setup)
        and wanted.size in ("", sock.graded.body.name)
        and sock.record.terms == wanted.edition.terms
    ]
    return replace(checked, socks=tuple(socks))


def some_sizes(names: Sequence[str]) -> list[str]:
    """The smallest, the middle one and the largest."""
    return list(dict.fromkeys((names[0], names[len(names) // 2], names[-1])))


def edition_of(kind: str, paper: str, **more: Any) -> Edition:
    """An edition as the command asks for it: a booklet on A5 is imposed too."""
    of = EDITIONS[kind]
    return Edition(kind=kind, paper=paper, one_size=of.single, imposed=of.bound and paper == "a5", **more)


def made(checked: Checked, edition: Edition, ink: bool = True) -> list[Set]:
    """Every PDF of a document. Without `ink` the pages are laid out only, which is much quicker."""
    return list(_made(checked, edition, ink))


@dataclass(slots=True)
class _Catch:
    """Stands before a function and keeps what it was called with."""

    function: Any
    ink: bool = True
    calls: list[tuple[tuple[Any, ...], dict[str, Any], Any]] = field(default_factory=list)

    def __call__(self, *arguments: Any, **named: Any) -> Any:
        arguments = tuple(list(each) if isinstance(each, Iterator) else each for each in arguments)
        result = self.function(*arguments, **named) if self.ink else b""
        self.calls.append((arguments, named, result))
        return result


def _made(checked: Checked, edition: Edition, ink: bool) -> Iterator[Set]:
    from grader import pages
    from grader.pages import painting

    asked, painted = _Catch(pages.set_pages), _Catch(painting.paint, ink)
    with patch.object(pages, "set_pages", asked), patch.object(painting, "paint", painted):
        make_document(checked, edition, "sock")
    assert len(asked.calls) == len(painted.calls) > 0
    for (told, named, data), (given, _, _) in zip(asked.calls, painted.calls, strict=True):
        yield Set(told[0], named["drawing"], dict(named["drawings"]), named["press"], given[0][0], data)
