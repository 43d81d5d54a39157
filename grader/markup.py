"""Markdown -> the element tree of the `markdown` library, every text in it plain.

The dialect is ordinary Markdown with tables. Raw HTML is not part of it and stays the text it is. Paper and screens
read the same tree, each in its own way.
"""

from __future__ import annotations

import html
import re
import xml.etree.ElementTree as ET

import markdown
from markdown.treeprocessors import Treeprocessor
from markdown.util import AtomicString

# What XML can't hold, what turns the direction of text, and private marks of the library (2 and 3 are its own).
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060\ufeff\ufffe\uffff\ud800-\udfff]")
_STASHED = re.compile("\x02(?:wzxhzdk:)?(\\d+)\x03")
_WORD_APOSTROPHE = re.compile(r"(?<=[^\W\d_])'(?=[^\W\d_])")
_MARKED = re.compile(r"[\\`*_\[\]<&!]|  \n")  # what any mark of the dialect begins with
# Bold stretches, each once and whole, with other text between them: marks that mean nothing else whatever else stands.
_PLAIN = r"(?:(?!  \n)[^\\`*_\[\]<&!])"
_EDGE = r"[^\\`*_\[\]<&!\s]"
_BOLD = re.compile(rf"\*\*({_EDGE}(?:{_PLAIN}*{_EDGE})?)\*\*")
_BOLD_ONLY = re.compile(rf"{_PLAIN}*(?:{_BOLD.pattern}{_PLAIN}+)*(?:{_BOLD.pattern})?\Z")


MOST_BRACKETS = 50  # in one text; the library looks for the end of a link from each of them to the end of the text
_BRACKET = re.compile(r"\\?\[")
_ESCAPED_BRACKET = f"\x02{ord('[')}\x03"  # as the library keeps it


class _Capture(Treeprocessor):
    """Keeps the finished tree; the serializer gets an empty one."""

    root: ET.Element

    def run(self, root: ET.Element) -> ET.Element:
        self.root = root
        return ET.Element("div")


class _Easy(Treeprocessor):
    """Reads text without marks, or with whole stretches of bold alone, before the library looks for every mark.

    Nearly all of a pattern is such text, and nearly all time went there. What it makes is what the library makes.
    """

    def run(self, root: ET.Element) -> None:
        for element in list(root.iter()):
            text = element.text
            if not text or isinstance(text, AtomicString):
                continue
            if text.count("[") > MOST_BRACKETS:  # these are no links
                text = element.text = _BRACKET.sub(_ESCAPED_BRACKET, text)
            if not _MARKED.search(text):
                element.text = AtomicString(text)
            elif not len(element) and _BOLD_ONLY.match(text):
                _embolden(element, _BOLD.split(text))


def markdown_tree(text: str) -> ET.Element:
    """The tree of a Markdown text; its children are the blocks, in order."""
    return _tree(text, spared=True)


def clean(text: str) -> str:
    """The text without the characters that no page can hold."""
    return _CONTROL.sub("", text)


def _tree(text: str, *, spared: bool) -> ET.Element:
    reader = markdown.Markdown(extensions=["tables"], output_format="xhtml")
    reader.preprocessors.deregister("html_block")
    for pattern in ("html", "entity"):
        reader.inlinePatterns.deregister(pattern)
    for habit in ("prettify", "unescape"):  # for a page of HTML; here they would only take time
        reader.treeprocessors.deregister(habit)
    if spared:
        reader.treeprocessors.register(_Easy(reader), "easy", 25)  # the library's own come at 20
    capture = _Capture(reader)
    capture.root = ET.Element("div")
    reader.treeprocessors.register(capture, "capture", -1)
    tidy = clean(text.replace("\r\n", "\n").replace("\r", "\n"))
    try:
        reader.convert(tidy)
    except RecursionError:  # lists within lists without end are no lists
        capture.root = _unread(tidy)
    for element in capture.root.iter():
        _make_plain(element)
    return capture.root


def _unread(text: str) -> ET.Element:
    """The lines of a text as paragraphs, nothing in them read as a mark."""
    root = ET.Element("div")
    for line in text.split("\n"):
        if line.strip():
            ET.SubElement(root, "p").text = AtomicString(line)
    return root


def _embolden(element: ET.Element, parts: list[str]) -> None:
    """Text and bold by turns, as a split gives them."""
    element.text = AtomicString(parts[0]) if parts[0] else None
    for bold, after in zip(parts[1::2], parts[2::2], strict=True):
        strong = ET.SubElement(element, "strong")
        strong.text, strong.tail = AtomicString(bold), AtomicString(after)


def _make_plain(element: ET.Element) -> None:
    """The library keeps escaped characters in a form of its own until it writes HTML: undo that."""
    if element.text:
        element.text = _plain(element.text)
    if element.tail:
        element.tail = _plain(element.tail)
    for name, value in element.attrib.items():
        element.set(name, _plain(value))


def _plain(text: str) -> str:
    if "\x02" in text or "\x03" in text or "&" in text:
        text = _STASHED.sub(lambda found: chr(min(int(found[1]), 0x10FFFF)), text.replace("\x02amp\x03", "&"))
        text = _CONTROL.sub("", html.unescape(text))
    return _WORD_APOSTROPHE.sub("’", text) if "'" in text else text


def pictures_alone(element: ET.Element) -> list[ET.Element]:
    """The pictures of a paragraph that consists of them, one or several; none where there are words beside them."""
    words = (element.text, *(each.tail for each in element))
    if element.tag != "p" or any(each.tag != "img" for each in element) or any((each or "").strip() for each in words):
        return []
    return list(element)
