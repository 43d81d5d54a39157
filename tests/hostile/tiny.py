"""A pattern of one size in one setup, which is soon knitted, and pictures to put beside it."""

from __future__ import annotations

import io
import random
import struct
import zlib
from functools import cache
from pathlib import Path

TINY = """\
title: Tiny
version: "1"
gauge: {stitches: 28, rounds: 40, per: 10 cm, needle: 2.75 mm}
yarn: {weight: super fine, metres: 400, per: 100 g}
fit: {foot_circumference: -8 %, allowed: [-15 %, -2 %], foot_length: -4 %}
sizes: {own: [{name: S, foot_circumference: 20 cm, foot_length: 22 cm, leg_length: 8 cm}]}
setups: ["double-pointed, set of 5"]
parts: [cuff-2x2-rib, leg-straight, heel-flap-plain, turn-round, gusset, foot-plain, toe-wedge]
numbers:
  cast_on:
    nearest: foot_circumference * (1 + fit.foot_circumference) * gauge.stitches
    multiple_of: [cuff.repeat, 4]
"""
EPS = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\nshowpage\n%%EOF\n"


def write_tiny(folder: Path, more: str = "", name: str = "tiny.yaml") -> Path:
    """The pattern in a folder, with what is written under it."""
    place = folder / name
    place.write_text(TINY + more, encoding="utf-8")
    return place


@cache
def picture(kind: str = "PNG", wide: int = 60, high: int = 40, mode: str = "RGB") -> bytes:
    """A sound picture."""
    from PIL import Image

    out = io.BytesIO()
    Image.new(mode, (wide, high), 128).save(out, kind)
    return out.getvalue()


def black_png(wide: int, high: int) -> bytes:
    """A PNG of that size in one bit: a small file, however many pixels it has; the rows are left out."""

    def chunk(kind: bytes, held: bytes) -> bytes:
        return struct.pack(">I", len(held)) + kind + held + struct.pack(">I", zlib.crc32(kind + held))

    head = struct.pack(">IIBBBBB", wide, high, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


def damaged(sound: bytes, chance: random.Random) -> bytes:
    """A few bytes changed, taken out, put in or cut off, half of the time in the head."""
    data = bytearray(sound)
    for _ in range(chance.choice((1, 1, 2, 8))):
        if not data:
            break
        place = chance.randrange(min(len(data), 200) if chance.random() < 0.5 else len(data))
        how = chance.randrange(5)
        if how == 0:
            data[place] = chance.randrange(256)
        elif how == 1:
            data[place : place + 4] = chance.choice((b"\xff\xff\xff\xff", b"\0\0\0\0", b"\x7f\xff\xff\xff"))
        elif how == 2:
            del data[place : place + chance.randrange(1, 64)]
        elif how == 3:
            data[place:place] = chance.randbytes(8)
        else:
            del data[max(place, 8) :]
    return bytes(data)
