"""The tree of a pattern -> pieces of XHTML, which a page and a book put together in their own ways."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from html import escape
from typing import Literal

from grader.markup import pictures_alone
from grader.models.drawing import Drawing
from grader.models.svg import drawing_svg
from grader.web.photos import Photo
from grader.web.phrases import ENGLISH, Phrases
from grader.web.reading import BOX, ROOM, text_of
from grader.web.sizes import Sizes, letters_of, sizes_of
from grader.web.tables import Tables

Kind = Literal["heading", "block", "note", "figure"]
_BLOCK_TAGS = {"p", "ul", "ol", "table", "pre", "blockquote", "div", "h1", "h2", "h3", "h4", "h5", "h6", "hr"}
_WEB_LINK = re.compile(
    r"(?:https?://[\w.-]+(?::\d+)?|mailto:[\w.+-]+@[\w.-]+)(?:[/?#][\w.~:/?#@!$&'()*+,;=%-]*)?", re.A
)
_ROOM = re.compile(f"{ROOM}{{3,}}")
_TICKS = re.compile(rf"{BOX}+|[^{BOX}]+")
_LETTER = re.compile(r"(?<![\w-])[A-Z]{1,4}(?![\w-])")
_GROUP = 5  # boxes to tick that stand together
_SMALL_SCREEN_MM = (
    72.0  # what a screen of 320 px has room for; a wider drawing keeps a size that can be read, and scrolls
)


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of XHTML that stays together; headings know their level (1 is the title), text and anchor."""

    kind: Kind
    html: str
    level: int = 0
    text: str = ""
    anchor: str = ""
    part: bool = False


@dataclass(slots=True)
class Writer:
    """Writes one document; it remembers the anchors given, the letters in force, and the heading it is under.

    In a `book` nothing can be ticked or chosen: boxes and rings stay as they are.
    """

    drawings: Mapping[str, Drawing]
    said: Phrases = ENGLISH
    photos: Mapping[str, Photo] = field(default_factory=dict)
    book: bool = False
    sizes: Sizes = field(default_factory=Sizes)
    letters: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    anchors: set[str] = field(default_factory=lambda: {"content", "contents", "yours"})
    heading: str = ""
    lead: str = ""
    level: int = 0
    wide: int = 0
    tables: Tables | None = None

    def pieces(self, tree: ET.Element, title: str) -> list[Piece]:
        """The document; it begins with a title of level 1, and no level is left out on the way down."""
        self.sizes = sizes_of(tree, self.said)
        self.anchors |= {f"size-{place}" for place, _ in enumerate(self.sizes.names, 1)}
        self.tables = Tables(self.sizes, self.said, self.book, self.inline)
        self.letters = letters_of(tree, self.sizes)
        first = next((element for element in tree if element.tag != "hr"), None)
        begun = first is not None and first.tag == "h1" and bool(text_of(first).strip())
        words = " ".join(title.split()) or "Pattern"
        opening = [] if begun else [self._heading(1, escape(words, quote=False), words)]
        return opening + list(self._blocks(tree))

    def anchor(self, text: str) -> str:
        """An anchor from words, none given twice."""
        begin = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:40].rstrip("-")
        begin = begin if begin[:1].isalpha() else f"part-{begin}".rstrip("-")
        name, turn = begin, 1
        while name in self.anchors:
            turn += 1
            name = f"{begin}-{turn}"
        self.anchors.add(name)
        return name

    def _blocks(self, parent: ET.Element) -> Iterator[Piece]:
        after_break = False
        for element in parent:
            tag = element.tag
            if tag == "hr":
                after_break = True
                continue
            if tag in ("h1", "h2", "h3", "h4", "h5", "h6"):
                words = " ".join(text_of(element).split())
                if words:
                    level = 1 if tag == "h1" and not self.level else max(2, min(int(tag[1]), self.level + 1))
                    yield self._heading(level, self.inline(element).strip(), words, after_break and level == 2)
            elif tag == "blockquote":
                for html in self._notes(element):
                    yield Piece("note", html)
            elif tag == "div":
                yield from self._blocks(element)
            elif (html := self._block(element)).strip():
                yield Piece("figure" if html.startswith("<figure") else "block", html)
                self.lead = _announcement(element)
            after_break = False

    def _heading(self, level: int, html: str, words: str, part: bool = False) -> Piece:
        self.level, self.heading, self.lead = level, words, ""
        return Piece("heading", html, level, words, self.anchor(words), part)

    def _notes(self, quote: ET.Element) -> Iterator[str]:
        """Each block of a quotation is a note of its own."""
        for element in quote:
            html = self._block(element)
            if html.strip():
                yield f'<div class="note" role="note">{html}</div>\n'

    def _block(self, element: ET.Element) -> str:
        tag = element.tag
        if tag == "p":
            return self._paragraph(element)
        if tag in ("ul", "ol"):
            kind = ' class="labelled"' if any(each.get("class") == "label" for each in element.iter("span")) else ""
            items = "".join(self._item(item) for item in element)
            return f"<{tag}{kind}>\n{items}</{tag}>\n" if items else ""
        if tag == "table":
            return self._table(element)
        if tag == "pre":
            return f"<pre>{escape(text_of(element), quote=False)}</pre>\n"
        if tag == "hr":
            return ""
        if tag == "blockquote":
            return "".join(self._notes(element))
        if tag in _BLOCK_TAGS - {"div"}:  # a heading within a note or an item is no part of the outline
            words = self.inline(element).strip()
            return f"<p><strong>{words}</strong></p>\n" if words else ""
        return "".join(self._block(child) for child in element)

    def _paragraph(self, element: ET.Element) -> str:
        alone = pictures_alone(element)
        if alone:
            return "".join(map(self._figure, alone))
        text = text_of(element).strip()
        if not text:
            return ""
        if text.startswith(BOX):
            return self._ticks(text)
        if not "".join(text.split()).strip(ROOM):
            lines = "".join('<span class="line"></span>' for _ in text.split())
            return f'<p class="ruled" role="img" aria-label="{self.said.lines}">{lines}</p>\n'
        only = self.sizes.only(text)
        kind = f' class="only {" ".join(f"of-s{place + 1}" for place in only)}"' if only and not self.book else ""
        return f"<p{kind}>{self.inline(element).strip()}</p>\n"

    def _item(self, item: ET.Element) -> str:
        """One item: its own words and the blocks within it, in their order."""
        out = [self._words(item.text or "", False)]
        for child in item:
            is_block = child.tag in _BLOCK_TAGS
            out.append(self._block(child) if is_block else self._inline_element(child, False))
            if not is_block or (child.tail or "").strip():
                out.append(self._words(child.tail or "", False))
        html = "".join(out).strip()
        return f"<li>{html}</li>\n" if html else ""

    def _table(self, element: ET.Element) -> str:
        assert self.tables is not None
        return self.tables.table(element, self.lead.rstrip(":") or self.heading)

    def _figure(self, image: ET.Element) -> str:
        """The drawing or the photo of that name; words where there is none, for a page fetches nothing."""
        drawing = self.drawings.get(image.get("src", ""))
        alt = image.get("alt", "")
        photo = self.photos.get(image.get("src", ""))
        if drawing is None and photo is not None:
            source = photo.inside if self.book else photo.data
            return f'<figure class="photo"><img src="{source}" alt="{escape(alt)}"/></figure>\n'
        if drawing is None:
            return f"<p>{escape(alt, quote=False)}</p>\n" if alt.strip() else ""
        svg = drawing_svg(drawing).rstrip()
        if drawing.width_mm <= _SMALL_SCREEN_MM or self.book:
            return f"<figure>{svg}</figure>\n"
        self.wide += 1
        name = escape(self.said.drawing.format(self.wide, self.heading))
        reach = f'class="scroll wide" role="region" tabindex="0" aria-label="{name}"'
        return f'<figure class="wide"><div {reach}>{svg}</div></figure>\n'

    def _ticks(self, text: str) -> str:
        """Boxes in groups of five; the number that the text has after a group stays with it."""
        out: list[str] = []
        done, group = 0, ""
        for found in _TICKS.finditer(text):
            if found[0][0] != BOX:
                said = " ".join(found[0].split())
                if said:
                    group += f' <span class="so-far">{escape(said, quote=False)}</span>'
                continue
            for _ in found[0]:
                if done % _GROUP == 0:
                    out, group = [*out, group], ""
                done += 1
                group += BOX if self.book else self._tick(done)
        groups = " ".join(f'<span class="five">{each}</span>' for each in [*out, group] if each)
        if self.book:
            return f'<p class="ticks">{groups}</p>\n'
        legend = escape(self.said.rounds.format(self.heading), quote=False)
        return f'<fieldset class="ticks"><legend class="hidden">{legend}</legend>{groups}</fieldset>\n'

    def _tick(self, number: int) -> str:
        name = self.anchor("tick")
        said = self.said.round.format(number)
        return f'<input type="checkbox" class="tick" id="{name}" aria-label="{said}" autocomplete="off"/>'

    def inline(self, element: ET.Element, strong: bool = False) -> str:
        """The words of an element without the blocks within it."""
        out = [self._words(element.text or "", strong)]
        for child in element:
            if child.tag not in _BLOCK_TAGS:
                out.append(self._inline_element(child, strong))
            if (child.tail or "").strip() or child.tag not in _BLOCK_TAGS:
                out.append(self._words(child.tail or "", strong))
        return "".join(out)

    def _inline_element(self, child: ET.Element, strong: bool) -> str:
        tag = child.tag
        if tag == "br":
            return "<br/>"
        if tag == "img":
            return self._words(child.get("alt", ""), strong)
        if tag == "span":
            return f'<span class="{child.get("class")}">{self.inline(child, strong)}</span>'
        if tag == "a":
            link, words = child.get("href", ""), self.inline(child, strong)
            return f'<a href="{escape(link)}">{words}</a>' if _WEB_LINK.fullmatch(link) and words.strip() else words
        words = self.inline(child, strong or tag == "strong")
        return f"<{tag}>{words}</{tag}>" if tag in ("strong", "em", "code") else words

    def _words(self, text: str, strong: bool) -> str:
        """Text with the number of each size marked, and with room to write."""
        if self.book:
            return escape(text, quote=False)
        out = []
        for words, numbers in self.sizes.brackets(text):
            if numbers:
                between, end = [], 0
                for place, number in enumerate(numbers, 1):  # what stands between them is the language's own
                    begin = words.index(number, end)
                    between.append(f'{words[end:begin]}<span class="s{place}">{number}</span>')
                    end = begin + len(number)
                out.append(f'<span class="sizes">{"".join(between)}{words[end:]}</span>')
                continue
            html = escape(words, quote=False)
            if strong and self.letters:
                html = _LETTER.sub(self._lettered, html)
            out.append(_ROOM.sub(self._room, html))
        return "".join(out)

    def _lettered(self, found: re.Match[str]) -> str:
        """A letter, and what it stands for in the size that is chosen."""
        numbers = self.letters.get(found[0])
        if numbers is None:
            return found[0]
        own = "".join(f'<span class="s{n}">{escape(each, quote=False)}</span>' for n, each in enumerate(numbers, 1))
        return f'<span class="letter">{found[0]}<span class="own"> = {own}</span></span>'

    def _room(self, found: re.Match[str]) -> str:
        width = min(len(found[0]), 24)
        return f'<span class="room" role="img" aria-label="{self.said.room}" style="width:{width}em"></span>'


def _announcement(element: ET.Element) -> str:
    """The words of a paragraph that is all bold: what follows is called so."""
    bold = element.tag == "p" and len(element) == 1 and element[0].tag == "strong"
    if not bold or (element.text or "").strip() or (element[0].tail or "").strip():
        return ""
    return " ".join(text_of(element).split())
