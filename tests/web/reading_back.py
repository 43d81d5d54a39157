"""Pages and books read back: their trees, words, anchors and headings; and Markdown to make them from."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from grader.models.drawing import Drawing, Label, Stroke
from grader.web import epub, web_page

GOLDEN = Path(__file__).resolve().parents[1] / "golden"
XHTML = "{http://www.w3.org/1999/xhtml}"
FEW = ("XS", "S", "M", "L", "XL")
MANY = tuple(str(number) for number in range(1, 15))
STITCHES = tuple(range(36, 92, 4))


def sizes_table(names: Sequence[str], stitches: Sequence[int] = STITCHES) -> str:
    """A size table with a ring before each size."""
    rows = "\n".join(f"| ○ | {name} | {count} |" for name, count in zip(names, stitches, strict=False))
    return f"## Sizes\n\n|  | Size | Cast on |\n| :-: | --- | --: |\n{rows}\n"


BRACKETS = (
    f"# Two & two\n\n![A foot](foot.svg)\n\n{sizes_table(FEW)}\n## Leg\n\n"
    "> **Takes:** 9 (9, 11, 11, 13) rounds, 10 cm (4 in)\n\n"
    "Cast on 36 (40, 44, 48, 52) sts: 16 (–, 20, 24, 24) and 20½ (20, 24, ½, 28.5) sts.\n\n"
    "- **Round 1:** K2 (3, 4), turn, (k1, p1) 5 times. — **36 (40, 44, 48, 52) sts**\n"
    "- Work 9 (9, 11, 11, 13) rounds.\n\n"
    "> **Check:** All is well.\n\n**Sizes XS to M and XL only:**\n\n- **Row 2 (WS):** P.\n"
)
LETTERS = (
    f"# Many\n\n{sizes_table(MANY)}\n## Leg\n\n> **Takes:** **A** rounds\n\n"
    f"| Size | {' | '.join(MANY)} |\n|{' --- |' * 15}\n"
    f"| **A** | {' | '.join(map(str, range(20, 34)))} |\n"
    f"| **Q cm** | {' | '.join(f'{n}.5' for n in range(10, 24))} |\n"
    f"| **Q in** | {' | '.join(f'{n}¼' for n in range(4, 18))} |\n"
    f"| **B** | – | {' | '.join(map(str, range(51, 64)))} |\n\nK **A**, then **B sts** and **Z**, for **Q**.\n\n"
    f"## Foot\n\n| Size | {' | '.join(MANY)} |\n|{' --- |' * 15}\n"
    f"| **B** | {' | '.join(map(str, range(50, 64)))} |\n"
)
ONE = (
    "# One\n\n## Foot\n\n- **Every round:** K.\n\n☐☐☐☐☐ ☐☐☐☐☐ 10 ☐☐ 12\n\nName ………… and date.\n\n… …\n\n"
    "| a | b | c | d |\n| - | - | - | - |\n| 1 | 2 | 3 | 4 |\n"
)


def drawing(width: float = 60) -> Drawing:
    """A line with a label."""
    return Drawing(width, 20, (Stroke((("M", (0, 0)), ("L", (9, 9)))),), (Label(5, 5, "5 < 6"),), 'A "foot" & more')


def page(markdown: str, **more: object) -> ET.Element:
    """The tree of the page made of a Markdown text; it is well-formed XML as well as HTML."""
    return ET.fromstring(page_text(markdown, **more))


def page_text(markdown: str, **more: object) -> str:
    """The page as text."""
    given: dict[str, object] = {"title": "T", "drawings": {"foot.svg": drawing(), "chart.svg": drawing(150)}}
    return web_page(markdown, **{**given, **more})  # type: ignore[arg-type]


def book(markdown: str, **more: object) -> dict[str, bytes]:
    """The files of the book made of a Markdown text."""
    with zipfile.ZipFile(io.BytesIO(book_bytes(markdown, **more))) as opened:
        assert opened.testzip() is None
        return {name: opened.read(name) for name in opened.namelist()}


def book_bytes(markdown: str, **more: object) -> bytes:
    """The book as bytes."""
    given: dict[str, object] = {"title": "T", "drawings": {"foot.svg": drawing(), "chart.svg": drawing(150)}}
    return epub(markdown, **{**given, **more})  # type: ignore[arg-type]


def chapters(files: dict[str, bytes]) -> dict[str, ET.Element]:
    """The pages of a book by name."""
    return {name: ET.fromstring(content) for name, content in files.items() if name.endswith(".xhtml")}


def words(tree: ET.Element) -> str:
    """All text without white space, that of rules and scripts left out; it is for comparing."""
    return re.sub(r"\s", "", "".join(_texts(tree)))


def _texts(element: ET.Element) -> Iterator[str]:
    if local(element) not in ("style", "script"):
        yield element.text or ""
        for child in element:
            yield from _texts(child)
            yield child.tail or ""


def local(element: ET.Element) -> str:
    """The name of an element without its namespace."""
    return str(element.tag).rpartition("}")[2]


def headings(tree: ET.Element) -> list[int]:
    """The levels of all headings, in order."""
    return [int(local(each)[1]) for each in tree.iter() if re.fullmatch("h[1-6]", local(each))]


def anchors(tree: ET.Element) -> list[str]:
    """Every id."""
    return [each.attrib["id"] for each in tree.iter() if "id" in each.attrib]


def of_class(tree: ET.Element, name: str) -> list[ET.Element]:
    """All elements of a class."""
    return [each for each in tree.iter() if name in each.get("class", "").split()]


def text(element: ET.Element) -> str:
    """The text of an element, white space folded."""
    return " ".join("".join(element.itertext()).split())


def as_read_in(tree: ET.Element, place: int) -> str:
    """The main part of a page as the knitter of one size reads it: of each bracket the number of her size alone."""
    for bracket in of_class(tree, "sizes"):
        (own,) = of_class(bracket, f"s{place}")
        for child in list(bracket):
            bracket.remove(child)
        bracket.text = own.text
    return " ".join("".join(_texts(tree)).split())
