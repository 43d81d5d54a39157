"""What the symbols of a chart mean: only those it uses, in the order in which it meets them."""

from __future__ import annotations

from collections.abc import Mapping

from grader.models.chart import Cell, Chart, KeyRow
from grader.vocabulary.chart_symbols import Symbol, symbol_for
from grader.vocabulary.colours import MAIN, colour_label
from grader.vocabulary.wording import TERMS

_CAPITALS = {"k": "K", "p": "P"}
_OWN = "our own symbol"


def chart_key(chart: Chart, terms: str = "UK", yarns: Mapping[str, str] | None = None) -> tuple[KeyRow, ...]:
    """A row for each symbol and each colour that the chart shows, in UK or US terms; `yarns` names the colours."""
    named = yarns or {}
    found: dict[Symbol, dict[tuple[str, str], Cell]] = {}
    for row in chart.rows:
        for cell in row.cells:
            symbol = symbol_for(cell.name, row.side)
            found.setdefault(symbol, {}).setdefault((_as_worked(cell), row.side), cell)
    rows = [_row(symbol, ways) for symbol, ways in found.items()]
    rows.sort(key=_place)
    colours = sorted({cell.colour for row in chart.rows for cell in row.cells if cell.colour}, key=_main_first)
    rows = [_in_terms(row, terms) for row in rows]
    for each in colours:
        label = named.get(each) or colour_label(each, terms)
        rows.append(KeyRow(Cell("k", each), "", colour_looks(each, terms), each, label))
    return tuple(rows)


def _row(symbol: Symbol, ways: dict[tuple[str, str], Cell]) -> KeyRow:
    """One symbol with all that it stands for; where the sides differ each names its own."""
    names = dict.fromkeys(name for name, _ in ways if name)
    sides = {side for _, side in ways}
    alike = len(names) == 1 and sides == {"RS", "WS"}
    told = names if alike or sides == {""} else [f"{name} ({side})" for name, side in ways if name]
    met = next(iter(ways.values()))
    side = "" if symbol.rs or not symbol.ws else "WS"  # drawn from the right side where that can be
    return KeyRow(Cell(symbol.rs or met.name), side, symbol.looks, " or ".join(told), _name(symbol, side))


def _as_worked(cell: Cell) -> str:
    base, _, manner = cell.name.partition(" ")
    return " ".join((_CAPITALS[base], manner)).strip() if base in _CAPITALS else cell.name


def _place(row: KeyRow) -> int:
    """Knit and purl come first, no stitch last, all else as it is met between them."""
    return {"k": 0, "p": 1, "": 3}.get(row.cell.name, 2)


def _name(symbol: Symbol, side: str) -> str:
    if symbol.shape == "letters":
        worked = "worked from the wrong side as its letters say" if side == "WS" else "as its letters say"
        return f"{worked} ({_OWN})"
    return symbol.name if symbol.listed else f"{symbol.name} ({_OWN})"


def _main_first(colour: str) -> tuple[bool, str]:
    return colour != MAIN, colour


def colour_looks(colour: str, terms: str) -> str:
    """How a square of that colour looks, in words."""
    return "white square" if colour == MAIN else f"{TERMS[terms]['gray']} square with {colour_letter(colour)}"


def colour_letter(colour: str) -> str:
    """The letter in a square of that colour: none for the main one, C for CC, 2 for CC2."""
    return "" if colour == MAIN else colour[-1]


def _in_terms(row: KeyRow, terms: str) -> KeyRow:
    words = {"centred": "centred" if terms == "UK" else "centered", "grey": TERMS[terms]["gray"]}
    looks, name = row.looks, row.name
    for old, new in words.items():
        looks, name = looks.replace(old, new), name.replace(old, new)
    return KeyRow(row.cell, row.side, looks, row.worked, name)
