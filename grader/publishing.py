"""From a checked pattern to documents: merged, written up, drawn and set; the only place that knows that order."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from grader.merging import Choice, Knitted, merge
from grader.merging.documents import sketch_measures
from grader.pipeline import Checked, Sock
from grader.yarn_use import yarn_for_pair


@dataclass(frozen=True, slots=True)
class Edition:
    """How a document is to be made: terms, units, arrangement, paper, and whose templates."""

    terms: str = "UK"
    units: str = "both"
    arrangement: str = "by-section"
    paper: str = "a4"
    one_size: bool = False
    templates: Path | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """The files of one document, by name."""

    files: dict[str, bytes]


def file_stem(title: str) -> str:
    """A file name from a title: small letters of any script without accents, digits and hyphens, at most 100."""
    plain = "".join(each for each in unicodedata.normalize("NFKD", title.lower()) if not unicodedata.combining(each))
    return re.sub(r"[\W_]+", "-", plain).strip("-")[:100].rstrip("-") or "pattern"


def edition_stem(stem: str, edition: Edition) -> str:
    """The file name of an edition: US terms and another paper than A4 are told by it."""
    us = "-us" if edition.terms == "US" else ""
    return f"{stem}{us}" + (f"-{edition.paper}" if edition.paper != "a4" else "")


def make_document(checked: Checked, edition: Edition, stem: str) -> Made:
    """Markdown, its picture and the PDF of a sound pattern; nothing is written to disk here."""
    from grader.pages import drawing_svg, set_pages
    from grader.schematic import sock_schematic
    from grader.write_up import write_up

    pattern = checked.pattern
    knitted = [
        Knitted(sock.graded, sock.instructions, sock.record)
        for sock in checked.socks
        if sock.record.terms == edition.terms
    ]
    sizes = [graded for graded in checked.sizes if any(sock.graded is graded for sock in knitted)]
    measures = sketch_measures(pattern, sizes, knitted, edition.units)
    drawing = sock_schematic(measures) if len(measures) == 6 else None
    picture = f"{stem}.svg" if drawing else ""
    choice = Choice(
        edition.terms, edition.units, edition.arrangement, edition.one_size, picture, drawing.alt if drawing else ""
    )
    document = merge(pattern, sizes, knitted, yarn_by_size(checked.socks, checked), choice)
    template = "one_size.md.j2" if edition.one_size else "pattern.md.j2"
    markdown = write_up(document, template, edition.templates)
    pdf = set_pages(
        markdown,
        title=pattern.title,
        version=pattern.version,
        author=pattern.author,
        language="en-GB" if edition.terms == "UK" else "en-US",
        paper=edition.paper,
        drawing=drawing,
        one_size=edition.one_size,
    )
    files = {f"{stem}.md": markdown.encode(), f"{stem}.pdf": pdf}
    if drawing:
        files[picture] = drawing_svg(drawing).encode()
    return Made(files)


def yarn_by_size(socks: Sequence[Sock], checked: Checked) -> dict[str, tuple[float, float]]:
    """Metres and grams for a pair of each size: the most that any setup takes."""
    found: dict[str, tuple[float, float]] = {}
    for sock in socks:
        use = yarn_for_pair(checked.pattern, sock.record)
        name = sock.graded.body.name
        found[name] = max(found.get(name, (0.0, 0.0)), (use.metres_pair, use.grams_pair))
    return found
