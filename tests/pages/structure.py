"""Reads a PDF the way a screen reader does: along its tree of structure, each element with its own words."""

from __future__ import annotations

import io
import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream, IndirectObject

from grader.models.drawing import Drawing
from grader.pages.blocks import Aside, Block, Grid, Heading, Listing, Paragraph, Picture, Runs, Ticks, plain
from grader.pages.reading import read_markdown


@dataclass
class Told:
    """One element: its kind, its own words in order with those of its children, what stands for a picture."""

    kind: str
    alt: str = ""
    scope: str = ""
    children: list[Told] = field(default_factory=list)
    parts: list[str | Told] = field(default_factory=list)

    @property
    def text(self) -> str:
        """All words in it, in reading order."""
        return "".join(part if isinstance(part, str) else part.text for part in self.parts)

    @property
    def running(self) -> str:
        """All words but those of tables."""
        if self.kind == "Table":
            return ""
        return "".join(part if isinstance(part, str) else part.running for part in self.parts)

    @property
    def cells(self) -> set[str]:
        """What stands in the cells of its tables."""
        return {each.text for each in self.walk() if each.kind in ("TH", "TD")}

    def walk(self) -> Iterator[Told]:
        """It and everything in it."""
        yield self
        for child in self.children:
            yield from child.walk()


def told_by(data: bytes) -> Told:
    """The document's structure with its words."""
    reader = PdfReader(io.BytesIO(data))
    root = reader.trailer["/Root"]["/StructTreeRoot"]  # type: ignore[index]
    pages = {page.indirect_reference.idnum: _marked(page, reader) for page in reader.pages if page.indirect_reference}
    return _read(root["/K"][0].get_object(), pages)


def _read(node: Any, pages: dict[int, dict[int, str]]) -> Told:
    attributes = node.get("/A", {})
    told = Told(str(node["/S"])[1:], str(node.get("/Alt", "")), str(attributes.get("/Scope", ""))[1:])
    for kid in node["/K"]:
        if isinstance(kid, IndirectObject):
            child = _read(kid.get_object(), pages)
            told.children.append(child)
            told.parts.append(child)
        elif isinstance(kid, int):
            told.parts.append(pages[node.raw_get("/Pg").idnum].get(int(kid), ""))
        elif kid.get("/Type") == "/MCR":
            told.parts.append(pages[kid.raw_get("/Pg").idnum].get(int(kid["/MCID"]), ""))
    return told


def _marked(page: Any, reader: PdfReader) -> dict[int, str]:
    """Number of marked content -> its words; lines are joined by a space, a divided word is made whole."""
    fonts = {name: _characters(font.get_object()) for name, font in page["/Resources"]["/Font"].items()}
    words: dict[int, list[str]] = {}
    font: dict[int, str] = {}
    number, height = None, None
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        if operator == b"BDC":
            number = int(operands[1]["/MCID"]) if operands[0] != "/Artifact" else None
            if number is not None:
                words[number] = []
            height = None
        elif operator == b"EMC":
            number = None
        elif operator == b"Tf":
            font = fonts[operands[0]]
        elif operator == b"Tm" and number is not None:
            at = round(float(operands[5]), 1)
            if height is not None and at != height and words[number]:
                words[number].append("\n")
            height = at
        elif operator == b"Tj" and number is not None:
            words[number].append("".join(font.get(code, "\ufffd") for code in operands[0].original_bytes))
    return {number: re.sub("\u00ad\n", "", "".join(parts)).replace("\n", " ") for number, parts in words.items()}


def _characters(font: Any) -> dict[int, str]:
    table = font["/ToUnicode"].get_object().get_data().decode("latin-1")
    return {
        int(code, 16): bytes.fromhex(value).decode("utf-16-be")
        for code, value in re.findall(r"<([0-9A-F]{2})> <([0-9A-F]{4,8})>", table)
    }


def lost(told: Told, markdown: str, main: Drawing | None, drawings: Mapping[str, Drawing] | None = None) -> list[str]:
    """Where what a PDF says is not, word for word and in order, what its Markdown says; the cells of tables as a set.

    Args:
        main: what stands where the Markdown shows a picture that is none of `drawings`.
    """
    blocks = read_markdown(markdown)
    shown = drawings or {}
    there = squeezed(told.running)

    def asked_with(whole: bool) -> str:
        pictures = {id(each): shown.get(each.source, main) for each in blocks if isinstance(each, Picture)}
        if whole:  # in large print the words of a drawing may stand below it, all of them
            pictures = {place: each if each is not main else None for place, each in pictures.items()}
        alt = main.alt if main else ""
        return squeezed(
            "".join(
                alt if whole and isinstance(each, Picture) and shown.get(each.source, main) is main else told_by_block
                for each in blocks
                for told_by_block in (_said(each, pictures.get(id(each))),)
            )
        )

    asked = next((text for text in (asked_with(False), asked_with(True)) if text == there), asked_with(False))
    found = []
    if there != asked:
        alike = itertools.takewhile(lambda pair: pair[0] == pair[1], zip(there, asked, strict=False))
        at = sum(1 for _ in alike)
        near = slice(max(0, at - 20), at + 40)
        found.append(f"says {there[near]!r}, but is to say {asked[near]!r}")
    cells = {squeezed(plain(cell)) for each in blocks if isinstance(each, Grid) for cell in _cells(each)} | {""}
    printed = {squeezed(cell) for cell in told.cells} | {""}
    found += [f"a cell is lost: {cell!r}" for cell in sorted(cells - printed)]
    return found + [f"a cell is in no table: {cell!r}" for cell in sorted(printed - cells)]


def squeezed(text: str) -> str:
    """Without spaces, boxes, and the colon and dash that stand between parts of an instruction only in some looks."""
    return re.sub(r"[\s:—…○\u00ad\u00a0]", "", text)


def _said(block: Block, shown: Drawing | None) -> str:
    """A block's words as they stand in the Markdown; nothing for a table."""
    if isinstance(block, Heading | Aside):
        return plain(block.runs)
    if isinstance(block, Paragraph):
        return plain(block.runs) + plain(block.count)
    if isinstance(block, Listing):
        parts = []
        for item in block.items:
            marker = "" if block.labelled else item.marker
            parts.append(f"{marker}{item.label}{plain(item.runs)}{plain(item.count)}")
        return "".join(parts)
    if isinstance(block, Ticks):
        numbers = [n for n in range(1, block.number + 1) if n % 10 == 0 or n == block.number]
        return "".join(map(str, numbers))
    if isinstance(block, Picture):
        return "".join(label.text for label in shown.labels) if shown else block.alt
    return ""


def _cells(grid: Grid) -> Iterator[Runs]:
    for row in (grid.heads, *grid.rows):
        yield from row
