"""Markdown -> a tree of elements whose every text is plain, with labels and counts marked.

The tree holds what the `markdown` library makes of the dialect, and two marks of ours: `span` elements of the class
`label` (a bold start with a colon, in a list) and `count` (a bold end after an em dash). Raw HTML is not part of the
dialect: it stays the text it is.
"""

from __future__ import annotations

import html
import re
import xml.etree.ElementTree as ET

import markdown
from markdown.treeprocessors import Treeprocessor

BOX = "☐"
ROOM = "…"
# What XML can't hold, what turns the direction of text, and private marks of the library (2 and 3 are its own).
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060\ufeff\ufffe\uffff\ud800-\udfff]")
_STASHED = re.compile("\x02(?:wzxhzdk:)?(\\d+)\x03")
_WORD_APOSTROPHE = re.compile(r"(?<=[^\W\d_])'(?=[^\W\d_])")


class _Capture(Treeprocessor):
    """Keeps the finished tree; the serializer gets an empty one."""

    root: ET.Element

    def run(self, root: ET.Element) -> ET.Element:
        self.root = root
        return ET.Element("div")


def read_markdown(text: str) -> ET.Element:
    """The tree of a Markdown text; its children are the blocks, in order."""
    reader = markdown.Markdown(extensions=["tables"], output_format="xhtml")
    reader.preprocessors.deregister("html_block")
    for pattern in ("html", "entity"):
        reader.inlinePatterns.deregister(pattern)
    capture = _Capture(reader)
    capture.root = ET.Element("div")
    reader.treeprocessors.register(capture, "capture", -1)
    reader.convert(_CONTROL.sub("", text.replace("\r\n", "\n").replace("\r", "\n")))
    _make_plain(capture.root)
    for element in list(capture.root.iter()):
        if element.tag in ("p", "li"):
            _mark_count(element)
        if element.tag == "li":
            _mark_label(element if (element.text or "").strip() or not _is_loose(element) else element[0])
    return capture.root


def clean(text: str) -> str:
    """A title or a name without the characters that no page can hold."""
    return _CONTROL.sub("", text)


def text_of(element: ET.Element) -> str:
    """All text of an element, and the words for its pictures."""
    parts = [element.get("alt", "") if element.tag == "img" else element.text or ""]
    for child in element:
        parts += [text_of(child), child.tail or ""]
    return "".join(parts)


def _make_plain(element: ET.Element) -> None:
    """The library keeps escaped characters in a form of its own until it writes HTML: undo that."""
    for each in element.iter():
        each.text, each.tail = _plain(each.text), _plain(each.tail)
        for name, value in list(each.attrib.items()):
            each.set(name, _plain(value) or "")


def _plain(text: str | None) -> str | None:
    if not text:
        return text
    text = _STASHED.sub(lambda found: chr(min(int(found[1]), 0x10FFFF)), text.replace("\x02amp\x03", "&"))
    return _WORD_APOSTROPHE.sub("’", _CONTROL.sub("", html.unescape(text)))


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
