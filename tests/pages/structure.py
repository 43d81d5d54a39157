"""Reads a PDF the way a screen reader does: along its tree of structure, each element with its own words."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream, IndirectObject


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
