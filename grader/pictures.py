"""A designer's own pictures: where they may lie, what they must be, and how large they are kept.

This is the only place that opens them. A picture is PNG or JPEG by its content, whatever its name ends in: the library
would start other programs for some of the other kinds.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from grader.regular_files import lies_beside, read_regular, why_not
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.unprintable import Unprintable

if TYPE_CHECKING:
    from PIL import Image

MOST_BYTES = 40 << 20
PER_INCH = 300  # what print needs: common practice of printers
_PRINTED = (2000, 2000)  # 17 cm at that: nothing that a page shows is larger
_ON_SCREEN = 1600
_QUALITY = 88
_KINDS = ("PNG", "JPEG")
_IS_JPEG = ("JPEG", "MPO")  # the second is a JPEG with another picture behind it, as some cameras write it
_TURNED = 0x0112  # the tag that says which side is up
_SAVE = "save it as PNG or JPEG"


class UnusablePicture(Unprintable):
    """A designer's own picture that can't be printed: `name` as she writes it, `why`, and what would `mend` it."""

    def __init__(self, name: str, why: str, mend: str = "") -> None:
        self.name = name
        self.why = why
        self.mend = mend
        super().__init__(f"the picture {name or 'without a name'} {why}{f'; {mend}' if mend else ''}")


def picture_at(name: str, folders: Sequence[Path]) -> Path:
    """The file of a picture in the first of the folders that has it, or below one of them.

    Raises:
        UnusablePicture: there is none, or the name leads elsewhere: to another folder, the root, or the web.
    """
    place, why = lies_beside(name, folders)
    if place is None:
        raise UnusablePicture(name, why, "put it beside the pattern or the templates, and write its name alone")
    return place


def decoded(file: Path) -> Image.Image:
    """The picture as it is printed: upright, in red, green and blue on white, no larger than print needs.

    It is shared: nobody may change it.

    Raises:
        UnusablePicture: it can't be read, is neither PNG nor JPEG, is broken, or has too many pixels.
    """
    return _looked_at(file)[0]


def printed_at(file: Path, wide: float, high: float) -> Image.Image:
    """The picture for a place of that size in points, with no more pixels than print shows there.

    Raises:
        UnusablePicture: as for `decoded`.
    """
    picture = decoded(file)
    room = (max(1, round(wide / 72 * PER_INCH)), max(1, round(high / 72 * PER_INCH)))
    if picture.width <= room[0] and picture.height <= room[1]:
        return picture
    small = picture.copy()
    small.thumbnail(room, reducing_gap=2.0)
    return small


def for_screens(file: Path) -> tuple[str, bytes]:
    """Its media type and its bytes for a page or a book on a screen, no larger than that needs.

    What else a camera writes into it, such as the place, is left out.

    Raises:
        UnusablePicture: as for `decoded`.
    """
    data = _content(file)
    head = _opened(file, data)
    kind = "JPEG" if head.format in _IS_JPEG else "PNG"
    media = f"image/{kind.lower()}"
    printed, clear = _looked_at(file)
    if max(head.size) <= _ON_SCREEN and head.format in _KINDS and "exif" not in head.info:
        return media, data
    small, out = (clear or printed).copy(), io.BytesIO()
    small.thumbnail((_ON_SCREEN, _ON_SCREEN))
    small.save(out, kind, **({"quality": _QUALITY} if kind == "JPEG" else {}))
    return media, out.getvalue()


def _looked_at(file: Path) -> tuple[Image.Image, Image.Image | None]:
    """The picture on white, and before it was laid on it where one sees through it; decoded anew once it is saved."""
    try:
        told = file.stat()
    except OSError as mistake:
        raise UnusablePicture(file.name, f"can't be read: {why_not(mistake)}") from mistake
    return _decoded(file, (told.st_mtime_ns, told.st_size))


@lru_cache(maxsize=4)
def _decoded(file: Path, _stamp: tuple[int, int]) -> tuple[Image.Image, Image.Image | None]:
    image = _read(file, _content(file))
    if image.mode == "RGB":
        return image, None
    from PIL import Image

    flat = Image.new("RGB", image.size, "white")
    flat.paste(image, mask=image.getchannel("A"))
    return flat, image


def _content(file: Path) -> bytes:
    try:
        data = read_regular(file, MOST_BYTES)
    except OSError as mistake:
        raise UnusablePicture(file.name, f"can't be read: {why_not(mistake)}") from mistake
    if len(data) > MOST_BYTES:
        raise UnusablePicture(file.name, f"is larger than {MOST_BYTES >> 20} MiB", "save it smaller")
    return data


def _opened(file: Path, data: bytes) -> Image.Image:
    """The picture with its head read and no pixel yet, once its kind and its size are known to be right."""
    from PIL import Image, UnidentifiedImageError

    Image.MAX_IMAGE_PIXELS = None  # ours is the limit, below
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library warns of what is refused or mended here
        try:
            image = Image.open(io.BytesIO(data), formats=_KINDS)
        except UnidentifiedImageError as mistake:
            kinds = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
            why = "is broken" if data.startswith(kinds) else "is neither PNG nor JPEG"
            raise UnusablePicture(file.name, why, _SAVE) from mistake
        except Exception as mistake:  # what a decoder raises on bytes that anybody may have made is not to be listed
            raise UnusablePicture(file.name, "is broken", _SAVE) from mistake
    pixels = image.width * image.height
    if pixels > allowed("pixels"):
        message, mend = too_much("pixels", pixels)
        raise UnusablePicture(file.name, f"is too large: {message}", mend)
    return image


def _read(file: Path, data: bytes) -> Image.Image:
    """All its pixels, upright, no more than print needs: RGBA where one sees through it, else RGB."""
    from PIL import ImageOps

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            _opened(file, data).verify()  # is every part of it whole? The library takes some that are not
            image = _opened(file, data)
            image.draft("RGB", _PRINTED)  # a JPEG is read at half its size or less, where that is enough
            image.load()
            turned = image.getexif().get(_TURNED, 1)
            wanted = "RGBA" if image.has_transparency_data else "RGB"
            if image.mode.startswith("I"):  # grey in 16 bits
                image = image.convert("I").point(lambda value: value / 257).convert("L")
            if image.mode != wanted:
                image = image.convert(wanted)
            image.thumbnail(_PRINTED, reducing_gap=2.0)
            if turned != 1:
                image.getexif()[_TURNED] = turned
                image = ImageOps.exif_transpose(image)
        except UnusablePicture:
            raise
        except Exception as mistake:  # as above: cut off, damaged, or made to do harm
            raise UnusablePicture(file.name, "is broken", _SAVE) from mistake
    image.info = {}
    return image
