"""The file itself: reportlab's objects and ours, one after the other, with a table of where each begins.

A document's structure has hundreds of small objects for each person of a class. reportlab keeps half a dozen records of
each object until the file is written; ours are only counted, and kept packed until they are written (`Reserved`), and
so are the pages (`packed`). What a further person takes is then little more than what she takes in the file.
"""

from __future__ import annotations

import io
import zlib
from array import array
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise
from typing import Any, NamedTuple

_QUICK = 1  # zlib's level for what is unpacked again when the file is written


class _Packed(NamedTuple):
    """Objects as they stand in the file, one after the other, and where each ends."""

    content: bytes
    ends: array[int]


class Reserved:
    """Numbers of the file's objects that are ours, and the objects themselves."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._packed: dict[int, _Packed] = {}
        self._count: dict[int, int] = {}

    def take(self, count: int = 1) -> int:
        """The first of so many numbers, which nobody else gets."""
        first: int = self._document.objectcounter + 1
        self._document.objectcounter += count
        self._count[first] = count
        return first

    def put(self, first: int, objects: Sequence[bytes]) -> None:
        """The objects of the numbers that were taken at once, in their order."""
        assert len(objects) == self._count[first]
        ends, end = array("L"), 0
        for each in objects:
            end += len(each)
            ends.append(end)
        self._packed[first] = _Packed(zlib.compress(b"".join(objects), _QUICK), ends)

    def count_at(self, number: int) -> int:
        """How many numbers are ours from this one on; 0 if it isn't the first of any."""
        return self._count.get(number, 0)

    def objects_at(self, number: int) -> Iterator[bytes]:
        """The objects of these numbers; they can be had once."""
        packed = self._packed.pop(number)
        content = zlib.decompress(packed.content)
        for begin, end in pairwise((0, *packed.ends)):
            yield content[begin:end]


def reserving(canvas: Any) -> Reserved:
    """Have the canvas's document written by `_document_class`; gives what keeps our own objects."""
    document = canvas._doc
    document.__class__ = _document_class()
    document.reserved = Reserved(document)
    reserved: Reserved = document.reserved
    return reserved


def pack_last_page(canvas: Any) -> None:
    """Keep the content of the page that was shown last as it will be written."""
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFName, PDFStream  # type: ignore[import-untyped]

    page = canvas._doc.Pages.pages[-1]
    if page.Contents or not page.stream:
        return
    stream = PDFStream(content=zlib.compress(page.stream.encode()))
    stream.dictionary["Filter"] = PDFArray([PDFName("FlateDecode")])
    page.Contents, page.stream = stream, None


def whole_file(canvas: Any) -> bytes:
    """Write the file."""
    file = _Taker()
    canvas._doc.SaveToFile(file, canvas)
    return file.content


class _Taker:
    """What reportlab takes for an open file; keeps what is written to it without copying it."""

    content = b""

    def write(self, content: bytes) -> None:
        assert not self.content
        self.content = content


@cache
def _document_class() -> type:
    from reportlab.pdfbase.pdfdoc import (
        PDFDocument,
        PDFFile,
        PDFIndirectObject,
        PDFTrailer,
    )

    class Document(PDFDocument):  # type: ignore[misc]
        """reportlab's document, written object by object, with ours in between."""

        reserved: Reserved

        def format(self) -> bytes:
            """The bytes of the file (ISO 32000-1, 7.5); objects may be added while others are written."""
            catalog, info = self.Reference(self.Catalog), self.Reference(self.info)
            out = io.BytesIO()
            out.write(PDFFile(self._pdfVersion).strings[0])
            begins = array("Q")
            while len(begins) < self.objectcounter:
                number = len(begins) + 1
                if self.reserved.count_at(number):
                    for each in self.reserved.objects_at(number):
                        begins.append(out.tell())
                        out.write(b"%d 0 obj\n%s\nendobj\n" % (len(begins), each))
                    continue
                name = self.numberToId[number]
                begins.append(out.tell())
                self.idToOffset[name] = begins[-1]
                out.write(PDFIndirectObject(name, self.idToObject[name]).format(self))
            table = out.tell()
            out.write(b"xref\n0 %d\n0000000000 65535 f \n" % (len(begins) + 1))
            out.writelines(b"%010d 00000 n \n" % begin for begin in begins)
            trailer = PDFTrailer(table, Size=len(begins) + 1, Root=catalog, Info=info, ID=self.ID())
            out.write(trailer.format(self))
            return out.getvalue()

    return Document
