"""A pattern as an EPUB 3 book: a title page, contents, and a chapter for each section.

The shape follows EPUB 3.3 and the EPUB Accessibility 1.1 vocabulary (W3C recommendations, 2023); epubcheck reads it
without a word.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path
from types import MappingProxyType

from grader.models.drawing import Drawing
from grader.models.looks import Looks
from grader.web.inks import inks
from grader.web.photos import Photo, read_photos
from grader.web.phrases import Phrases, phrases
from grader.web.writing import Piece, Writer

_NAMESPACE = bytes.fromhex("6ba7b8119dad11d180b400c04fd430c8")  # that for names that are URLs, RFC 4122 appendix C
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)  # the first that a zip can hold: the same pattern gives the same bytes
_NO_DATE = "2000-01-01"  # a book must say when it was changed last; ours says so by the date of the pattern
_DATE = re.compile(r"\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])")
_LANGUAGE = re.compile(r"[A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*")
_CONTAINER = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container">\n'
    '<rootfiles><rootfile full-path="EPUB/package.opf" media-type="application/oebps-package+xml"/></rootfiles>\n'
    "</container>\n"
)


@dataclass(frozen=True, slots=True)
class _Chapter:
    """One file of the book: its name, its head, its pieces, and its heads of the next level with their anchors."""

    file: str
    head: str
    html: str
    within: tuple[tuple[str, str], ...] = ()

    @property
    def has_drawing(self) -> bool:
        return "<svg" in self.html

    @property
    def has_photo(self) -> bool:
        return "<img" in self.html


def epub(
    markdown: str,
    *,
    title: str,
    language: str = "en-GB",
    drawings: Mapping[str, Drawing] | None = None,
    version: str = "",
    date: str = "",
    author: str = "",
    style: str = "standard",
    looks: Looks | None = None,
    files: Mapping[str, Path] = MappingProxyType({}),
    identifier: str = "",
) -> bytes:
    """A pattern as an EPUB 3 file.

    Args:
        markdown: the pattern in the dialect of the printed page.
        title, version, date, author: for the title page and the book's own record; a date that isn't of the form
            2026-11-25 is printed but not recorded.
        language: a tag such as en-GB.
        drawings: those of the pictures, by file name; a picture that isn't there is told in its words.
        style: taken so that all editions are asked for alike; in a book the reader chooses type and size herself.
        looks: a designer's own, of which the accent is taken, if it can be read.
        files: a designer's own pictures, by the name that the Markdown gives them.
        identifier: what names this book among all others; made from title, version, language and text
            where it is empty, so that UK and US terms, or two knitters' own sizes, are two books.

    Returns:
        The file; the same arguments give the same bytes. Nothing in it can be ticked: boxes and rings are printed.

    Raises:
        ValueError: a file that is no picture.
    """
    from grader.markup import clean
    from grader.web.reading import read_markdown

    title, version, date, author = (" ".join(clean(each).split()) for each in (title, version, date, author))
    title = title or "Pattern"
    language = language if _LANGUAGE.fullmatch(language) else "en"
    said, photos = phrases(language), read_photos(files)
    pieces = Writer(drawings or {}, said, photos, book=True).pieces(read_markdown(markdown), title)
    shown = [each for each in photos.values() if any(f'"{each.inside}"' in piece.html for piece in pieces)]
    chapters = _chapters(pieces, title, _by(version, date, author, said))
    identifier = clean(identifier).strip() or _urn(title, version, language, markdown)
    contents = {
        "META-INF/container.xml": _CONTAINER,
        "EPUB/package.opf": _package(chapters, title, language, date, author, identifier, shown, said),
        "EPUB/nav.xhtml": _xhtml(said.contents, _nav(chapters, said), language),
        "EPUB/style.css": _css(looks),
    }
    contents.update((f"EPUB/{each.file}", _xhtml(each.head, each.html, language)) for each in chapters)
    return _zipped(contents, {f"EPUB/{each.inside}": each.content for each in shown})


def _urn(*words: str) -> str:
    """A name-based UUID (version 5, RFC 4122) of what makes a book: the same for the same pattern everywhere."""
    digest = bytearray(hashlib.sha1(_NAMESPACE + "\n".join(words).encode("utf-8", "replace")).digest()[:16])
    digest[6] = digest[6] & 0x0F | 0x50
    digest[8] = digest[8] & 0x3F | 0x80
    name = digest.hex()
    return "urn:uuid:" + "-".join((name[:8], name[8:12], name[12:16], name[16:20], name[20:]))


def _by(version: str, date: str, author: str, said: Phrases) -> str:
    edition = said.version.format(version) if version else ""
    told = [said.by.format(author) if author else "", edition[:1].upper() + edition[1:], date]
    lines = "<br/>".join(escape(each, quote=False) for each in told if each)
    return f'<p class="by">{lines}</p>\n' if lines else ""


def _chapters(pieces: Sequence[Piece], title: str, by: str) -> list[_Chapter]:
    """The title page, which holds all before the first section, and the sections, each beginning at level 1."""
    starts = [place for place, piece in enumerate(pieces) if piece.level == 2]
    ends = [*starts, len(pieces)][1:]
    opening = pieces[: starts[0]] if starts else pieces
    body = "".join(_raised(piece, 0) + (by if place == 0 else "") for place, piece in enumerate(opening))
    found = [_Chapter("title.xhtml", title, f'<section class="title">\n{body}</section>\n')]
    for number, (start, end) in enumerate(zip(starts, ends, strict=True), 1):
        own = pieces[start:end]
        html = f"<section>\n{''.join(_raised(piece, 1) for piece in own)}</section>\n"
        within = tuple((piece.text, piece.anchor) for piece in own if piece.level == 3) if own[0].part else ()
        found.append(_Chapter(f"chapter-{number:02}.xhtml", own[0].text, html, within))
    return found


def _raised(piece: Piece, by: int) -> str:
    if piece.kind != "heading":
        return piece.html
    level = piece.level - by
    return f'<h{level} id="{piece.anchor}">{piece.html}</h{level}>\n'


def _xhtml(title: str, body: str, language: str) -> str:
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE html>\n'
        '<html xmlns="http://www.w3.org/1999/xhtml" xmlns:epub="http://www.idpf.org/2007/ops" '
        f'lang="{language}" xml:lang="{language}">\n'
        f"<head>\n<title>{escape(title, quote=False)}</title>\n"
        f'<link rel="stylesheet" type="text/css" href="style.css"/>\n</head>\n<body>\n{body}</body>\n</html>\n'
    )


def _nav(chapters: Sequence[_Chapter], said: Phrases) -> str:
    items = []
    for each in chapters:
        parts = "".join(
            f'<li><a href="{each.file}#{anchor}">{escape(head, quote=False)}</a></li>' for head, anchor in each.within
        )
        inner = f"<ol>{parts}</ol>" if parts else ""
        items.append(f'<li><a href="{each.file}">{escape(each.head, quote=False)}</a>{inner}</li>\n')
    first = chapters[min(1, len(chapters) - 1)].file
    return (
        '<nav epub:type="toc" id="toc" role="doc-toc" aria-labelledby="toc-head">\n'
        f'<h1 id="toc-head">{said.contents}</h1>\n'
        f"<ol>\n{''.join(items)}</ol>\n</nav>\n"
        '<nav epub:type="landmarks" hidden="hidden">\n<ol>\n'
        f'<li><a epub:type="titlepage" href="title.xhtml">{said.title_page}</a></li>\n'
        f'<li><a epub:type="toc" href="nav.xhtml">{said.contents}</a></li>\n'
        f'<li><a epub:type="bodymatter" href="{first}">{said.beginning}</a></li>\n</ol>\n</nav>\n'
    )


def _package(
    chapters: Sequence[_Chapter],
    title: str,
    language: str,
    date: str,
    author: str,
    identifier: str,
    photos: Sequence[Photo],
    said: Phrases,
) -> str:
    dated = _DATE.fullmatch(date) is not None
    record = [
        f'<dc:identifier id="book">{escape(identifier, quote=False)}</dc:identifier>',
        f"<dc:title>{escape(title, quote=False)}</dc:title>",
        f"<dc:language>{language}</dc:language>",
        f"<dc:creator>{escape(author, quote=False)}</dc:creator>" if author else "",
        f"<dc:date>{date}</dc:date>" if dated else "",
        f'<meta property="dcterms:modified">{date if dated else _NO_DATE}T00:00:00Z</meta>',
        *(f'<meta property="schema:{name}">{value}</meta>' for name, value in _accessibility(chapters, said)),
    ]
    items = ['<item id="nav" href="nav.xhtml" media-type="application/xhtml+xml" properties="nav"/>']
    items.append('<item id="style" href="style.css" media-type="text/css"/>')
    spine = []
    for place, each in enumerate(chapters):
        has = ' properties="svg"' if each.has_drawing else ""
        items.append(f'<item id="c{place}" href="{each.file}" media-type="application/xhtml+xml"{has}/>')
        spine.append(f'<itemref idref="c{place}"/>')
    for place, photo in enumerate(photos):
        items.append(f'<item id="p{place}" href="{photo.inside}" media-type="{photo.kind}"/>')
    spine.insert(1, '<itemref idref="nav"/>')
    lines = "\n".join(each for each in record if each)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<package xmlns="http://www.idpf.org/2007/opf" version="3.0" unique-identifier="book" xml:lang="{language}">\n'
        f'<metadata xmlns:dc="http://purl.org/dc/elements/1.1/">\n{lines}\n</metadata>\n'
        f"<manifest>\n{chr(10).join(items)}\n</manifest>\n<spine>\n{chr(10).join(spine)}\n</spine>\n</package>\n"
    )


def _accessibility(chapters: Sequence[_Chapter], said: Phrases) -> list[tuple[str, str]]:
    """What a reader can count on, in the words of the vocabulary for it."""
    drawn = any(each.has_drawing or each.has_photo for each in chapters)
    found = [("accessMode", "textual")]
    found += [("accessMode", "visual")] if drawn else []
    found += [("accessModeSufficient", "textual")]
    found += [("accessModeSufficient", "textual,visual")] if drawn else []
    features = ("structuralNavigation", "tableOfContents", "readingOrder", "displayTransformability")
    found += [("accessibilityFeature", each) for each in (*features, *(("alternativeText",) if drawn else ()))]
    found.append(("accessibilityHazard", "none"))
    summary = " ".join((said.accessible, *((said.described,) if drawn else ()), said.still))
    return [*found, ("accessibilitySummary", summary)]


def _css(looks: Looks | None) -> str:
    day, _ = inks(looks.accent if looks is not None else None)
    css = (Path(__file__).parent / "book.css").read_text(encoding="utf-8")
    return css.replace("ACCENT", day["accent"])


def _zipped(texts: Mapping[str, str], pictures: Mapping[str, bytes]) -> bytes:
    """A zip whose first file tells, uncompressed, what it is; dates and rights are the same everywhere."""
    import io
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        written = {name: text.encode("utf-8") for name, text in {"mimetype": "application/epub+zip", **texts}.items()}
        for name, content in {**written, **pictures}.items():
            entry = zipfile.ZipInfo(name, _ZIP_DATE)
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            entry.compress_type = zipfile.ZIP_STORED if name == "mimetype" else zipfile.ZIP_DEFLATED
            book.writestr(entry, content, compresslevel=9)
    return out.getvalue()
