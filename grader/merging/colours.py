"""What a document of several colours says of its yarns: facts, materials, size table, and how they are worked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from grader.merging.front import Yarn, rounded_yarn, yarn_range
from grader.models.document import Table
from grader.models.graded import Graded
from grader.models.instructions import PrintedLine
from grader.models.pattern import Colour, Pattern
from grader.notation import read_line
from grader.notation.tree import Change, Group, Item, Op, Repeat, Round, Run
from grader.vocabulary.cautions import FLOATS
from grader.vocabulary.colours import CONTRAST, colour_label

ByColour = dict[str, Yarn]  # colour -> size -> metres and grams for a pair
MOST_COLUMNS = 3  # colours that still have a column each beside the others of the size table


@dataclass(frozen=True, slots=True)
class Coloured:
    """What the lines do with colours: those `named`, whether any line carries two, whether one stands in a line."""

    named: frozenset[str] = frozenset()
    changed: bool = False
    stranded: bool = False
    within: bool = False


def colours_in(lines: Iterable[PrintedLine]) -> Coloured:
    """What the printed lines do with colours; nothing in a sock of one yarn."""
    named: set[str] = set()
    changed = stranded = within = False
    for text in {line.text for line in lines}:
        statement = read_line(text)
        if isinstance(statement, Change):
            named.add(statement.colour)
            changed = changed or statement.how != "Begin with"
        elif isinstance(statement, Round):
            yarns = {each for part in statement.parts for item in part.line.items for each in _colours(item)}
            named |= yarns - {""}
            stranded = stranded or len(yarns) > 1
            within = within or bool(yarns - {""})
    return Coloured(frozenset(named), changed, stranded, within)


def _colours(item: Item) -> Iterator[str]:
    if isinstance(item, Op | Run):
        yield item.colour
    elif isinstance(item, Group | Repeat):
        for each in item.items:
            yield from _colours(each)


def colour_abbreviations(named: frozenset[str], known: dict[str, str]) -> tuple[tuple[str, str], ...]:
    """MC and CC with their meaning, where they are used; numbered contrasts share an entry."""
    told: dict[str, list[str]] = {}
    for name in sorted(named):
        told.setdefault(CONTRAST if name.startswith(CONTRAST) else name, []).append(name)
    return tuple((", ".join(names), known[general]) for general, names in told.items())


def _called(colour: Colour, terms: str) -> str:
    return f"{colour.name} ({colour.label or colour_label(colour.name, terms)})"


def with_facts(
    facts: tuple[tuple[str, str], ...], pattern: Pattern, terms: str, by_colour: ByColour
) -> tuple[tuple[str, str], ...]:
    """The facts of the first page, with what a pair takes of each colour after what it takes in all."""
    if not pattern.colours:
        return facts
    amounts = [f"{_called(each, terms)} {yarn_range(by_colour.get(each.name, {}))}" for each in pattern.colours]
    own = ("Colours" if terms == "UK" else "Colors", "; ".join(amount.strip() for amount in amounts))
    place = next((at + 1 for at, (name, _) in enumerate(facts) if name == "For a pair"), len(facts))
    return (*facts[:place], own, *facts[place:])


def with_materials(materials: tuple[str, ...], pattern: Pattern, terms: str, by_colour: ByColour) -> tuple[str, ...]:
    """The materials, with a line for each colour after the yarn; how far its ball goes only where it differs."""
    told = []
    for each in pattern.colours:
        other = (each.metres, each.grams) != (pattern.yarn.metres, pattern.yarn.grams)
        ball = f"{float(each.metres):g} m to {float(each.grams):g} g; " if other else ""
        told.append(f"{_called(each, terms)}: {ball}for a pair {yarn_range(by_colour.get(each.name, {}))}".strip())
    return (*materials[:1], *told, *materials[1:])


def with_columns(table: Table, sizes: Sequence[Graded], pattern: Pattern, by_colour: ByColour, one_size: bool) -> Table:
    """The size table with the metres of each colour in place of those of all yarn, while there is room."""
    names = [each.name for each in pattern.colours]
    if one_size or not 0 < len(names) <= MOST_COLUMNS:
        return table
    rows = []
    for row, graded in zip(table.rows, sizes, strict=True):
        amounts = (by_colour.get(name, {}).get(graded.body.name) for name in names)
        rows.append((*row[:-1], *(str(rounded_yarn(*each)[0]) if each else "–" for each in amounts)))
    return replace(
        table,
        heads=(*table.heads[:-1], *(f"{name} m" for name in names)),
        rows=tuple(rows),
        align=table.align[:-1] + "r" * len(names),
        caption=table.caption.replace("Yarn: for a pair.", f"{', '.join(names)}: yarn for a pair."),
    )


def how_to_read_colours(used: Coloured) -> tuple[str, ...]:
    """How the colours of a line are told, where lines have any."""
    if not used.within:
        return ()
    return (
        "Letters after a stitch (MC, CC) say which yarn to work it with. Where a stitch has none, go on with the yarn"
        " in hand: the one you last began with or changed to.",
    )


def colour_cautions(used: Coloured) -> tuple[str, ...]:
    """What is to be minded where strands lie loose inside a sock."""
    return FLOATS if used.stranded else ()
