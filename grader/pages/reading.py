"""Markdown -> blocks: what the dialect means on paper is said in `blocks`."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator
from itertools import zip_longest

from grader.markup import clean, markdown_tree, pictures_alone
from grader.pages.blocks import (
    Aside,
    Block,
    Grid,
    Heading,
    Item,
    Lines,
    Listing,
    Paragraph,
    Picture,
    Run,
    Runs,
    Ticks,
    plain,
)

BOX = "☐"
_OPENS = "\ue000"  # private: marks a list item that stood after a blank line
_ITEM_AFTER_BLANK = re.compile(r"(?m)(?<=\n\n)([ ]{0,3}[-*+] )(?=\S)")
_BLOCK_TAGS = {"p", "ul", "ol", "table", "pre", "blockquote", "div", "h1", "h2", "h3", "h4", "h5", "h6", "hr"}


def read_markdown(text: str) -> tuple[Block, ...]:
    """The blocks of a Markdown text, in order."""
    text = clean(text.replace("\r\n", "\n").replace("\r", "\n")).replace(_OPENS, "")
    return tuple(_leading(list(_blocks(markdown_tree(_ITEM_AFTER_BLANK.sub(rf"\1{_OPENS}", text))))))


def _leading(blocks: list[Block]) -> Iterator[Block]:
    """Mark the paragraphs that announce what follows: all bold, or ending in a colon."""
    for block, following in zip_longest(blocks, blocks[1:]):
        if isinstance(block, Paragraph) and isinstance(following, Paragraph | Listing | Grid | Ticks | Lines | Picture):
            colon = plain(block.runs).rstrip().endswith(":")
            bold = all(run.bold or not run.text.strip() for run in block.runs)
            lone = isinstance(following, Paragraph)  # then only what is a heading in all but name
            if (colon and bold) if lone else (colon or bold or isinstance(following, Ticks)):
                block = Paragraph(block.runs, block.count, leads=True)
        yield block


def _blocks(parent: ET.Element) -> Iterator[Block]:
    after_break = False
    for element in parent:
        tag = element.tag
        if tag == "hr":
            after_break = True
            continue
        if tag[0] == "h" and tag[1:].isdigit():
            yield Heading(int(tag[1:]), _tidy(_runs(element)), part=after_break and tag == "h2")
        elif tag == "p":
            yield from _paragraph(element)
        elif tag in ("ul", "ol"):
            items = tuple(_items(element, 0))
            if items:
                yield Listing(items)
        elif tag == "table":
            yield _grid(element)
        elif tag == "blockquote":
            for block in _blocks(element):
                yield from _asides(block)
        elif tag == "pre":
            for line in "".join(element.itertext()).splitlines():
                yield Paragraph((Run(line or " "),))
        else:
            yield from _blocks(element)
        after_break = False


def _asides(block: Block) -> Iterator[Block]:
    if isinstance(block, Paragraph | Heading):
        count = (Run(" — "), *block.count) if isinstance(block, Paragraph) and block.count else ()
        yield Aside((*block.runs, *count))
    elif isinstance(block, Listing):
        for item in block.items:
            label = (Run(f"{item.label} ", bold=True),) if item.label else ()
            yield Aside((*label, *item.runs, *item.count))
    else:
        yield block


def _paragraph(element: ET.Element) -> Iterator[Block]:
    alone = pictures_alone(element)
    if alone:
        yield from (Picture(image.get("src", ""), image.get("alt", "")) for image in alone)
        return
    runs = _tidy(_runs(element))
    text = plain(runs)
    if text.lstrip().startswith(BOX):
        yield Ticks(text.count(BOX))
    elif text.strip() and not text.replace("\n", " ").replace(" ", "").strip("…"):
        yield Lines(len(text.split()))
    elif text.strip():
        yield Paragraph(*_split_count(runs))


def _items(element: ET.Element, depth: int) -> Iterator[Item]:
    for place, child in enumerate(element, 1):
        inner = [part for part in child if part.tag in _BLOCK_TAGS]
        own = list(_runs(child, skip=_BLOCK_TAGS))
        if not plain(_tidy(own)).strip() and inner and inner[0].tag == "p":
            own = list(_runs(inner.pop(0)))
        opens = plain(tuple(own)).lstrip().startswith(_OPENS)
        runs, count = _split_count(_tidy(Run(run.text.replace(_OPENS, ""), run.bold, run.link) for run in own))
        label, runs = _split_label(runs)
        marker = f"{place}." if element.tag == "ol" else "•"
        if label or plain(runs).strip() or count:
            yield Item(label, runs, count, opens, depth, marker)
        for part in inner:
            if part.tag in ("ul", "ol"):
                yield from _items(part, depth + 1)
            elif part.tag == "table":
                yield from (Item("", _tidy(_runs(row)), (), False, depth, "") for row in part.iter("tr"))
            else:
                runs = _tidy(_runs(part))
                if plain(runs).strip():
                    yield Item("", runs, (), False, depth, "")


def _grid(element: ET.Element) -> Grid:
    rows: list[tuple[Runs, ...]] = []
    heads: tuple[Runs, ...] = ()
    align = ""
    for line in element.iter("tr"):
        cells = tuple(_tidy(_runs(cell)) for cell in line)
        if len(line) and line[0].tag == "th":
            heads = cells
            align = "".join(_alignment(cell.get("style", "")) for cell in line)
        else:
            rows.append(cells)
    return Grid(heads, tuple(rows), align)


def _alignment(style: str) -> str:
    return "r" if "right" in style else "c" if "center" in style else "l"


def _split_label(runs: Runs) -> tuple[str, Runs]:
    """A bold start that ends with a colon is the hanging label."""
    if runs and runs[0].bold and runs[0].text.rstrip().endswith(":"):
        rest = (Run(runs[1].text.lstrip(), runs[1].bold, runs[1].link), *runs[2:]) if len(runs) > 1 else ()
        label = runs[0].text.rstrip()[:-1]
        tie = "\u00a0" if label.endswith("\u00a0") else ""  # as French sets a colon, where the label prints one
        return " ".join(label.split()) + tie, rest
    return "", runs


def _split_count(runs: Runs) -> tuple[Runs, Runs]:
    """A bold end after an em dash is the count."""
    if len(runs) >= 2 and runs[-1].bold and not runs[-2].bold and runs[-2].text.rstrip().endswith("—"):
        before = runs[-2].text.rstrip()[:-1].rstrip()
        return (*runs[:-2], *((Run(before, False, runs[-2].link),) if before else ())), (runs[-1],)
    return runs, ()


def _runs(
    element: ET.Element, bold: bool = False, link: str = "", skip: set[str] | frozenset[str] = frozenset()
) -> Iterator[Run]:
    if element.text:
        yield Run(element.text, bold, link)
    for child in element:
        tag = child.tag
        if tag == "br":
            yield Run("\n", bold, link)
        elif tag == "img":
            yield Run(child.get("alt", ""), bold, link)
        elif tag not in skip:
            heavy = bold or tag in ("strong", "em", "th")
            yield from _runs(child, heavy, child.get("href", link) if tag == "a" else link)
        if child.tail and not (tag in skip and not child.tail.strip()):
            yield Run(child.tail, bold, link)


def _is_tidy(runs: Runs) -> bool:
    """Whether nothing is to be joined, folded or trimmed: most texts are so already."""
    before = None
    ends = " "
    for run in runs:
        text = run.text
        if not text or "\n" in text or "\t" in text or "  " in text or (ends == " " and text[0] == " "):
            return False
        if before is not None and (before.bold, before.link) == (run.bold, run.link):
            return False
        before, ends = run, text[-1]
    return ends != " "


def _tidy(runs: Iterable[Run]) -> Runs:
    """Join neighbours of one look, fold white space, and trim both ends."""
    runs = tuple(runs)
    if _is_tidy(runs):
        return runs
    joined: list[Run] = []
    for run in runs:
        text = run.text if run.text == "\n" else re.sub(r"[ \t\n]+", " ", run.text)
        if not text:
            continue
        if joined and joined[-1].text.endswith((" ", "\n")):
            text = text.lstrip(" ") or ""
        if joined and (joined[-1].bold, joined[-1].link) == (run.bold, run.link):
            joined[-1] = Run(joined[-1].text + text, run.bold, run.link)
        elif text:
            joined.append(Run(text, run.bold, run.link))
    while joined and not joined[0].text.strip(" \n"):
        del joined[0]
    while joined and not joined[-1].text.strip(" \n"):
        del joined[-1]
    if joined:
        joined[0] = Run(joined[0].text.lstrip(" \n"), joined[0].bold, joined[0].link)
        joined[-1] = Run(joined[-1].text.rstrip(" \n"), joined[-1].bold, joined[-1].link)
    return tuple(joined)
