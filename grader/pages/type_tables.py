"""The tables of a TrueType file, looked over before they are parsed: that they are there and ask for no endless work.

The names, places and sizes of the fields are those of the OpenType specification (ISO/IEC 14496-22; memory, held by the
typefaces that are set).
"""

from __future__ import annotations

import itertools
import struct
from collections.abc import Iterator

_COLLECTION = b"ttcf"
_MOST_TABLES = 256
_MOST_CHARACTERS = 400_000  # in all maps of a file; those that have all of a large script have half as many
_LONGEST_GLYPH = 0xFFFF  # bytes of one drawing; those of a script take a hundred
_SINGLE, _RANGES, _TRIMMED, _WIDE_TRIMMED, _WIDE_RANGES, _SHARED = 0, 4, 6, 10, 12, 13


def why_unsound(data: bytes) -> str:
    """What keeps a file from being parsed in good time; "" where nothing does."""
    try:
        begin = struct.unpack_from(">I", data, 12)[0] if data.startswith(_COLLECTION) else 0
        count = struct.unpack_from(">H", data, begin + 4)[0]
        if count > _MOST_TABLES:
            return "it is broken"
        rows = (struct.unpack_from(">4sIII", data, begin + 12 + 16 * each) for each in range(count))
        tables = {tag: (offset, length) for tag, _, offset, length in rows}
        if any(offset + length > len(data) for offset, length in tables.values()):
            return "it is cut off"
        if b"cmap" in tables and sum(_mapped(data, *tables[b"cmap"])) > _MOST_CHARACTERS:
            return "its table of characters is broken"
    except struct.error:
        return "it is cut off"
    return ""


def _mapped(data: bytes, begin: int, length: int) -> Iterator[int]:
    """How many characters each map says to have, whatever comes of it; one that is not known stands for too many."""
    places = [
        struct.unpack_from(">I", data, begin + 8 + 8 * each)[0]
        for each in range(struct.unpack_from(">H", data, begin + 2)[0])
    ]
    for place in {begin + each for each in places if each < length}:
        kind = struct.unpack_from(">H", data, place)[0]
        if kind == _RANGES:
            doubled = struct.unpack_from(">H", data, place + 6)[0]
            ends = struct.unpack_from(f">{doubled // 2}H", data, place + 14)
            starts = struct.unpack_from(f">{doubled // 2}H", data, place + 16 + doubled)
            yield sum(max(0, end - start + 1) for start, end in zip(starts, ends, strict=True))
        elif kind in (_WIDE_RANGES, _SHARED):
            groups = struct.unpack_from(">I", data, place + 12)[0]
            if groups > length // 12:
                yield _MOST_CHARACTERS + 1
                continue
            for each in range(groups):
                start, end = struct.unpack_from(">II", data, place + 16 + 12 * each)
                yield max(0, end - start + 1)
        elif kind == _WIDE_TRIMMED:
            yield int(struct.unpack_from(">I", data, place + 16)[0])
        elif kind in (_SINGLE, _TRIMMED):
            yield 0x100
        elif kind in (2, 8):  # of old encodings of East Asia, and one that nobody makes
            yield _MOST_CHARACTERS + 1


def glyphs_lie_in_order(places: list[int], length: int) -> bool:
    """True if the drawings of a typeface follow each other within their table, none of them too long to be one."""
    sizes = [end - begin for begin, end in itertools.pairwise(places)]
    return bool(places) and places[-1] <= length and all(0 <= size <= _LONGEST_GLYPH for size in sizes)
