"""What a PDF needs to be kept and read by rule (PDF/A-2a, PDF/UA-1) beyond its pages: metadata, colours, and repairs.

reportlab writes sound files, but two habits of its writer are against PDF/A's syntax (ISO 19005-2, 6.1.7.1 and
6.2.11.7): a stream without an end of line before `endstream`, and a character map in which glyph 0 stands for U+0000.
`written_by_rule` mends both while a file is written, and puts reportlab back as it was.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from html import escape
from pathlib import Path
from typing import Any

_DATE = "2000-01-01T00:00:00+00:00"  # as in the file's own record: the same input gives the same bytes
_PROFILE = Path(__file__).with_name("colour") / "srgb.icc"
_PDFA = "http://www.aiim.org/pdfa/ns"


@contextmanager
def undated() -> Iterator[None]:
    """While it lasts, reportlab finds no date in the environment: the same input gives the same bytes everywhere."""
    named = "SOURCE_DATE_EPOCH"
    date = os.environ.pop(named, None)
    try:
        yield
    finally:
        if date is not None:
            os.environ[named] = date


@contextmanager
def written_by_rule() -> Iterator[None]:
    """While it lasts, reportlab writes streams and character maps by the rules of PDF/A."""
    from reportlab import rl_config  # type: ignore[import-untyped]
    from reportlab.pdfbase import pdfdoc, ttfonts  # type: ignore[import-untyped]

    lettered = rl_config.useA85
    usual, usual_map = pdfdoc.PDFStream.format, ttfonts.makeToUnicodeCMap

    def stream(self: Any, document: Any) -> bytes:
        written: bytes = usual(self, document)
        return written.removesuffix(b"endstream\n") + b"\r\nendstream\n"  # both, should the data end in either

    pdfdoc.PDFStream.format, ttfonts.makeToUnicodeCMap = stream, _character_map
    rl_config.useA85 = 0  # pages as letters are a quarter larger, and slower to write
    try:
        yield
    finally:
        rl_config.useA85 = lettered
        pdfdoc.PDFStream.format, ttfonts.makeToUnicodeCMap = usual, usual_map


def _character_map(name: str, subset: Sequence[int]) -> str:
    """Glyph -> character for the glyphs that stand for one."""
    pairs = [(glyph, code) for glyph, code in enumerate(subset) if code and code not in (0xFEFF, 0xFFFE)]
    lines = [
        "/CIDInit /ProcSet findresource begin",
        "12 dict begin",
        "begincmap",
        f"/CIDSystemInfo << /Registry ({name}) /Ordering ({name}) /Supplement 0 >> def",
        f"/CMapName /{name} def",
        "/CMapType 2 def",
        "1 begincodespacerange",
        "<00> <FF>",
        "endcodespacerange",
    ]
    for start in range(0, len(pairs), 100):
        part = pairs[start : start + 100]
        lines.append(f"{len(part)} beginbfchar")
        lines += [f"<{glyph:02X}> <{chr(code).encode('utf-16-be').hex().upper()}>" for glyph, code in part]
        lines.append("endbfchar")
    return "\n".join([*lines, "endcmap", "CMapName currentdict /CMap defineresource pop", "end", "end"])


def conform(canvas: Any, title: str, author: str, subject: str, producer: str) -> None:
    """Give the file its metadata, which must agree with its record, and the colours it is meant in."""
    from reportlab.pdfbase.pdfdoc import (  # type: ignore[import-untyped]
        XMP,
        PDFArray,
        PDFDictionary,
        PDFName,
        PDFStream,
        PDFString,
        PDFZCompress,
    )

    catalog = canvas._doc.Catalog
    xmp = _xmp(title, author, subject, producer).encode()
    catalog.Metadata = XMP(creator=lambda _document: xmp)
    profile = PDFStream(content=_PROFILE.read_bytes(), filters=[PDFZCompress])
    profile.dictionary["N"] = 3
    intent = {
        "Type": PDFName("OutputIntent"),
        "S": PDFName("GTS_PDFA1"),
        "OutputConditionIdentifier": PDFString("sRGB"),
        "Info": PDFString("sRGB IEC61966-2.1"),
        "DestOutputProfile": canvas._doc.Reference(profile),
    }
    catalog.__NoDefault__ = [*catalog.__NoDefault__, "OutputIntents"]
    catalog.OutputIntents = PDFArray([PDFDictionary(intent)])


def _xmp(title: str, author: str, subject: str, producer: str) -> str:
    told, by, about = (escape(text, quote=False) for text in (title, author, subject))
    names = (
        'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"'
        ' xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"'
        f' xmlns:pdfaid="{_PDFA}/id/" xmlns:pdfaExtension="{_PDFA}/extension/"'
        f' xmlns:pdfaSchema="{_PDFA}/schema#" xmlns:pdfaProperty="{_PDFA}/property#"'
    )
    author_told = f"<dc:creator><rdf:Seq><rdf:li>{by}</rdf:li></rdf:Seq></dc:creator>" if author else ""
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n<x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        f'<rdf:Description rdf:about="" {names}>'
        f'<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{told}</rdf:li></rdf:Alt></dc:title>{author_told}'
        f'<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{about}</rdf:li></rdf:Alt></dc:description>'
        f"<xmp:CreatorTool>{producer}</xmp:CreatorTool><xmp:CreateDate>{_DATE}</xmp:CreateDate>"
        f"<xmp:ModifyDate>{_DATE}</xmp:ModifyDate><pdf:Producer>{producer}</pdf:Producer>"
        "<pdfuaid:part>1</pdfuaid:part><pdfaid:part>2</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance>"
        '<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">'
        "<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>"
        "<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>"
        "<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>"
        '<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource"><pdfaProperty:name>part</pdfaProperty:name>'
        "<pdfaProperty:valueType>Integer</pdfaProperty:valueType><pdfaProperty:category>internal</pdfaProperty:category>"
        "<pdfaProperty:description>part of ISO 14289</pdfaProperty:description></rdf:li></rdf:Seq>"
        "</pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description></rdf:RDF></x:xmpmeta>\n"
        '<?xpacket end="w"?>'
    )
