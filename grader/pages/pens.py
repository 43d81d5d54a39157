"""Writing on a canvas with marked content round it: inks, line weights and words, each set only where it changes."""

from __future__ import annotations

import math
from itertools import groupby
from operator import itemgetter
from typing import Any

from grader.pages.pieces import Ink
from grader.pages.structure import Element
from grader.pages.tagging import Tags
from grader.pages.typefaces import tracking, typeface

_ESCAPED = str.maketrans({"\\": r"\\", "(": r"\(", ")": r"\)"})


class Pen:
    """One canvas's pen. `one_ink` prints every ink as a share of black."""

    def __init__(self, canvas: Any, tags: Tags, one_ink: bool = False) -> None:
        self.canvas = canvas
        self.one_ink = one_ink
        self._tags = tags
        self._open: Element | str | None = None
        self._font: tuple[str, float] | None = None
        self._ink: Ink | None = None
        self._stroke: tuple[Ink, float] | None = None
        self._air = 0.0
        self._known: dict[tuple[str, str], list[tuple[str, str]]] = {}
        self._codes: dict[str, dict[str, tuple[str, str]]] = {}  # font, character -> name of the font there, and code

    def turn(self) -> None:
        """A new page knows nothing of the old one's inks and fonts."""
        self._open = None
        self.forget()

    def artifact(self, kind: str) -> None:
        """What follows is no part of what the document says."""
        self.close()
        self._open = kind
        self.canvas._code.append(f"/Artifact <</Type /{kind}>> BDC")

    def inside(self, element: Element) -> None:
        """What follows is part of the element."""
        if self._open is element:
            return
        self.close()
        self._open = element
        self.canvas._code.append(self._tags.begin(element))

    def close(self) -> None:
        """End the marked content that is open."""
        if self._open is not None:
            self._open = None
            self.canvas._code.append("EMC")

    def words(self, x: float, y: float, text: str, font: str, size: float, ink: Ink, angle: float = 0) -> None:
        """Words on a baseline, turned anticlockwise by an angle in degrees."""
        self.fill(ink)
        code = self.canvas._code
        code.append("BT")
        air = tracking(font) * size
        if air != self._air:
            self._air = air
            code.append(f"{air:.3f} Tc")
        turned = "1 0 0 1"
        if angle:
            cosine, sine = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            turned = f"{cosine:.4f} {sine:.4f} {-sine:.4f} {cosine:.4f}"
        place = f"{turned} {x:.2f} {y:.2f} Tm"
        for name, said in self._glyphs(text, font):
            if self._font != (name, size):
                self._font = (name, size)
                code.append(f"{name} {size:g} Tf")
            code.append(f"{place} ({said}) Tj")
            place = ""
        code.append("ET")

    def _glyphs(self, text: str, font: str) -> list[tuple[str, str]]:
        """The text as what stands for it in the file, with the name of the font there; looked up once for each text."""
        found = self._known.get((text, font))
        if found is None:
            codes = self._codes.setdefault(font, {})
            for character in text:
                if character not in codes:
                    codes[character] = self._code(character, font)
            split = groupby([codes[character] for character in text], itemgetter(0))
            found = self._known[text, font] = [(name, "".join([code for _, code in part])) for name, part in split]
        return found

    def _code(self, character: str, font: str) -> tuple[str, str]:
        face, document = typeface(font), self.canvas._doc
        ((subset, glyph),) = face.splitString(character, document)
        return face.getSubsetInternalName(subset, document), glyph.decode("latin-1").translate(_ESCAPED)

    def line(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """A straight line."""
        self.canvas._code.append(f"{x1:.2f} {y1:.2f} m {x2:.2f} {y2:.2f} l S")

    def rectangle(self, x: float, y: float, across: float, high: float, *, filled: bool = False) -> None:
        """A rectangle by its lower left corner: a tint, or an outline."""
        self.canvas._code.append(f"{x:.2f} {y:.2f} {across:.2f} {high:.2f} re {'f' if filled else 'S'}")

    def fill(self, ink: Ink) -> None:
        """The ink of words and tints."""
        if ink != self._ink:
            self._ink = ink
            self.canvas._code.append(self._colour(ink, "g", "rg"))

    def stroke(self, ink: Ink, weight: float) -> None:
        """The ink and the weight of lines."""
        if self._stroke != (ink, weight):
            self._stroke = (ink, weight)
            self.canvas._code.append(f"{self._colour(ink, 'G', 'RG')} {weight:g} w")

    def _colour(self, ink: Ink, grey: str, colour: str) -> str:
        """A shade of black as one ink, on the press too; any other colour by its lights."""
        red, green, blue = ink
        if red == green == blue:
            return f"{red:.3g} {grey}"
        if self.one_ink:
            return f"{0.2126 * red + 0.7152 * green + 0.0722 * blue:.3g} {grey}"
        return f"{red:.3g} {green:.3g} {blue:.3g} {colour}"

    def forget(self) -> None:
        """Whatever was set before may no longer hold."""
        self._font, self._ink, self._stroke, self._air = None, None, None, 0.0
