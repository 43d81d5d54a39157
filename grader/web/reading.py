"""Markdown -> a tree of elements whose every text is plain, with labels and counts marked.

The tree is that of `markdown_tree` with two marks of ours: `span` elements of the class `label` (a bold start with a
colon, in a list) and `count` (a bold end after an em dash).
"""

from __future__ import annotations

import xml.etree.ElementTree as ET

from grader.markup import markdown_tree

BOX = "☐"
ROOM = "…"


def read_markdown(text: str) -> ET.Element:
    """The tree of a Markdown text; its children are the blocks, in order."""
    root = markdown_tree(text)
    for element in list(root.iter()):
        if element.tag in ("p", "li"):
            _mark_count(element)
        if element.tag == "li":
            _mark_label(element if (element.text or "").strip() or not _is_loose(element) else element[0])
    return root


def text_of(element: ET.Element) -> str:
    """All text of an element, and the words for its pictures."""
    parts = [element.get("alt", "") if element.tag == "img" else element.text or ""]
    for child in element:
        parts += [text_of(child), child.tail or ""]
    return "".join(parts)


def _is_loose(item: ET.Element) -> bool:
    return len(item) > 0 and item[0].tag == "p"


def _mark_label(element: ET.Element) -> None:
    if not (element.text or "").strip() and len(element) and element[0].tag == "strong":
        bold = element[0]
        text = text_of(bold).rstrip()
        if text.endswith(":") and text != ":":
            _wrap(element, bold, "label")


def _mark_count(element: ET.Element) -> None:
    """Only inline elements stand before a count: a list within an item ends the line."""
    bold = next((child for child in reversed(element) if child.tag not in ("ul", "ol", "p")), None)
    if bold is None or bold.tag != "strong" or (bold.tail or "").strip():
        return
    place = list(element).index(bold)
    before = element[place - 1] if place else None
    text = ((element.text if before is None else before.tail) or "").rstrip()
    if not text.endswith("—"):
        return
    if before is None:
        element.text = text[:-1]
    else:
        before.tail = text[:-1]
    _wrap(element, bold, "count").text = "— "


def _wrap(parent: ET.Element, child: ET.Element, kind: str) -> ET.Element:
    """Put a span of a class round a child."""
    span = ET.Element("span", {"class": kind})
    span.tail, child.tail = child.tail, None
    place = list(parent).index(child)
    parent.remove(child)
    parent.insert(place, span)
    span.append(child)
    return span
