"""The stitches of the notation: what each takes from the left needle and leaves on the right.

Source: Craft Yarn Council master list of abbreviations; leans and counts are common practice.
`lean` is the lean of a decrease as seen from the side it is worked on; on wrong-side rows it
is mirrored by whoever looks at the fabric. An increase has one too where its name says so.
`face` is the look of the stitch from that side.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Stitch:
    """One operation: stitches taken and left, new loops made, its lean and its face.

    `lean` is "left", "right", "centre" or "" (none); `face` "knit", "purl", "slip" or "mixed".
    """

    name: str
    takes: int
    leaves: int
    loops: int
    lean: str = ""
    face: str = "knit"
    counts: bool = False
    crossing: tuple[int, int, str] | None = None

    @property
    def change(self) -> int:
        """Stitches gained (lost if negative)."""
        return self.leaves - self.takes


_TABLE = (
    Stitch("k", 1, 1, 1, counts=True),
    Stitch("p", 1, 1, 1, face="purl", counts=True),
    Stitch("sl", 1, 1, 0, face="slip", counts=True),
    Stitch("k2tog", 2, 1, 1, "right"),
    Stitch("ssk", 2, 1, 1, "left"),
    Stitch("skp", 2, 1, 1, "left"),
    Stitch("p2tog", 2, 1, 1, "left", "purl"),
    Stitch("ssp", 2, 1, 1, "right", "purl"),
    Stitch("p2tog tbl", 2, 1, 1, "right", "purl"),
    Stitch("k3tog", 3, 1, 1, "right"),
    Stitch("p3tog", 3, 1, 1, "left", "purl"),
    Stitch("sssk", 3, 1, 1, "left"),
    Stitch("sk2p", 3, 1, 1, "left"),
    Stitch("cdd", 3, 1, 1, "centre"),
    Stitch("yo", 0, 1, 1),
    Stitch("m1", 0, 1, 1),
    Stitch("m1L", 0, 1, 1, "left"),
    Stitch("m1R", 0, 1, 1, "right"),
    Stitch("m1p", 0, 1, 1, face="purl"),
    Stitch("kfb", 1, 2, 2, face="mixed"),
    Stitch("pfb", 1, 2, 2, face="mixed"),
    Stitch("kyok", 1, 3, 3, face="mixed"),
    Stitch("(k1, p1, k1) into one", 1, 3, 3, face="mixed"),
    Stitch("DS", 1, 1, 0, face="slip"),
)
_BY_NAME = {stitch.name.lower(): stitch for stitch in _TABLE}
_ALIASES = {
    "s2kp": "cdd",
    "sl2 k1 p2sso": "cdd",
    "knit": "k",
    "purl": "p",
    "slip": "sl",
    "rt": "1/1 rc",
    "lt": "1/1 lc",
}
_CABLE = re.compile(r"(\d)/(\d) ([lr])(p?)c")
_SHORT_CABLE = re.compile(r"c(\d+)([fb])")
SINGLES = ("k", "p", "sl")
MANNERS = ("tbl", "kwise", "pwise", "wyif", "wyib")


@lru_cache(maxsize=512)
def stitch_named(name: str) -> Stitch | None:
    """The stitch of that abbreviation in any case, cables included; None if there is none."""
    key = name.lower()
    key = _ALIASES.get(key, key)
    if key in _BY_NAME:
        return _BY_NAME[key]
    short = _SHORT_CABLE.fullmatch(key)
    if short and int(short[1]) >= 2 and int(short[1]) % 2 == 0:
        half = int(short[1]) // 2
        key = f"{half}/{half} {'l' if short[2] == 'f' else 'r'}c"
    cable = _CABLE.fullmatch(key)
    if cable:
        over, under = int(cable[1]), int(cable[2])
        if not over or not under:
            return None
        side = cable[3].upper()
        return Stitch(
            f"{over}/{under} {side}{cable[4].upper()}C",
            over + under,
            over + under,
            over + under,
            face="mixed" if cable[4] else "knit",
            crossing=(over, under, side),
        )
    return None


def mirrored(lean: str) -> str:
    """A lean as seen from the other side of the fabric."""
    return {"left": "right", "right": "left"}.get(lean, lean)
