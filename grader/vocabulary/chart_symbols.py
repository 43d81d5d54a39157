"""The symbols of a chart: one for each stitch, showing it as it looks from the right side.

Source: names after the Craft Yarn Council's chart symbols, shapes from memory of the usual printed standard;
see `grader/data/chart_symbols.yaml`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from grader.vocabulary.reference import read_reference
from grader.vocabulary.stitches import stitch_named
from grader.vocabulary.wording import counted

STANDARD = "the Craft Yarn Council's chart symbols"


@dataclass(frozen=True, slots=True)
class Symbol:
    """One symbol: its name, the stitch it stands for on each side, how it looks in words, and its strokes.

    `listed` is True where the name is one of the standard's. A crossing has the shape "cable", a stitch that no
    symbol stands for the shape "letters".
    """

    name: str
    rs: str
    ws: str
    looks: str
    shape: str
    listed: bool = False


@cache
def _table() -> dict[tuple[str, str], Symbol]:
    """Symbols by stitch and side (RS or WS)."""
    found: dict[tuple[str, str], Symbol] = {}
    for row in read_reference("chart_symbols")["rows"]:
        symbol = Symbol(row["name"], row["rs"], row["ws"], row["looks"], row["shape"], row["listed"])
        for side, own in (("RS", symbol.rs), ("WS", symbol.ws)):
            for name in (own, *row.get("also", {}).get(side, ())):
                if name or symbol.shape == "none":
                    found.setdefault((name, side), symbol)
    return found


def symbol_for(name: str, side: str = "") -> Symbol:
    """The symbol of a stitch as worked in a round ("") or on a side; one of our own where none stands for it."""
    side = "WS" if side == "WS" else "RS"
    known = _table().get((name, side))
    if known is not None:
        return known
    stitch = stitch_named(name)
    if stitch is not None and stitch.crossing and side == "RS":
        over, under, way = stitch.crossing
        lean = "left" if way == "L" else "right"
        purl = ", purl behind" if stitch.face == "mixed" else ""
        looks = f"{counted(over, 'stroke')} crossing {under} to the {lean}, what lies in front whole"
        listed = (over, under, purl) in ((2, 2, ""), (1, 1, ""))
        return Symbol(f"cable {over}/{under} {lean}{purl}", name, "", looks, "cable", listed)
    return Symbol(name, "" if side == "WS" else name, name if side == "WS" else "", "its letters", "letters")


def seen_from_right(name: str) -> str:
    """What a stitch worked from the wrong side is on the right side: p is k; "" where there is no such stitch."""
    return _turned().get(name, "")


def worked_from_wrong(name: str) -> str:
    """The stitch to work from the wrong side so that it looks like this one: k is worked p; "" for none."""
    return _from_wrong().get(name, "")


@cache
def _turned() -> dict[str, str]:
    return {right: wrong for wrong, right in _from_wrong().items()}


@cache
def _from_wrong() -> dict[str, str]:
    rows = read_reference("chart_symbols")["rows"]
    return {row["rs"]: row["ws"] for row in rows if row["rs"] and row["ws"]}
