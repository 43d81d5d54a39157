"""Which abbreviations a document uses: read from the printed lines, so none is missing and none idle."""

from __future__ import annotations

from collections.abc import Collection

from grader.merging.colours import colour_abbreviations, colours_in
from grader.models.instructions import PrintedLine
from grader.notation import read_line, spoken_name
from grader.notation.tree import CastOn, Graft, Group, Item, Mark, Op, PickUp, Reach, Repeat, Round, Run, Turn
from grader.vocabulary.abbreviations import abbreviation_table
from grader.vocabulary.stitches import stitch_named
from grader.vocabulary.techniques import TECHNIQUES, WAYS
from grader.vocabulary.wording import TERMS


def used_abbreviations(lines: Collection[PrintedLine], terms: str, spoken: bool = False) -> tuple[tuple[str, str], ...]:
    """Abbreviation and meaning for everything the lines use, in alphabetical order; the words for it where `spoken`."""
    used = {"st(s)"}
    for text, side in {(line.text, line.side) for line in lines}:
        if side:
            used |= {"RS", "WS"}
        statement = read_line(text)
        if isinstance(statement, CastOn) and statement.marker:
            used.add("pm")
        if isinstance(statement, Round):
            for part in statement.parts:
                for item in part.line.items:
                    used |= _names(item)
    known = abbreviation_table(terms)
    if spoken:
        names = {spoken_name(name): known[name] for name in used & known.keys()}
        return tuple(sorted((name, meaning) for name, meaning in names.items() if name))
    told = [("K, k" if name == "k" else "P, p" if name == "p" else name, known[name]) for name in used & known.keys()]
    told += colour_abbreviations(colours_in(lines).named, known)
    return tuple(sorted(told, key=lambda each: (not each[0][0].isalpha(), each[0].lower())))


def used_techniques(lines: Collection[PrintedLine], ways: Collection[str], terms: str) -> tuple[tuple[str, str], ...]:
    """Name and explanation of every technique the lines ask for, in the order a sock meets them.

    `ways` are the ways to cast on and off that the pattern names.
    """
    used = set()
    named = [WAYS[way] for way in WAYS if way in ways]
    for text in {line.text for line in lines}:
        statement = read_line(text)
        if isinstance(statement, CastOn):
            used |= {"cast_on", "join"} if statement.joined else {"cast_on"}
        elif isinstance(statement, Graft):
            used.add("graft")
        elif isinstance(statement, Round):
            items = [item for part in statement.parts for item in part.line.items]
            used |= {"pick_up"} if any(isinstance(item, PickUp) for item in items) else set()
            used |= {"turn"} if any(isinstance(item, Turn) for item in items) else set()
    coloured = colours_in(lines)
    used |= {name for name, there in (("change", coloured.changed), ("strand", coloured.stranded)) if there}
    if any(way.step == "cast_on" for way in named):
        used -= {"cast_on", "join"} if all(way.closed for way in named if way.step == "cast_on") else {"cast_on"}
    told = [(way.name.format(**TERMS[terms]).capitalize(), way.how) for way in named]
    first = sum(way.step == "cast_on" for way in named)
    return (*told[:first], *(TECHNIQUES[name] for name in TECHNIQUES if name in used), *told[first:])


def _names(item: Item) -> set[str]:
    if isinstance(item, Op):
        stitch = stitch_named(item.name)
        if stitch and stitch.crossing:
            return {item.name.split(" ")[1]}
        return {*item.name.split(" "), *item.manner.split()}
    if isinstance(item, Run):
        return {item.name, *_reach_names(item.reach)} if item.name != "patt" else {"patt(s)"}
    if isinstance(item, Repeat):
        inner = {name for each in item.items for name in _names(each)}
        return inner | {"rep", "*"} | (_reach_names(item.reach) if item.reach else set())
    if isinstance(item, Group):
        return {name for each in item.items for name in _names(each)} | {"( )"}
    if isinstance(item, Mark):
        return {item.kind}
    if isinstance(item, Turn):
        return {"w&t"} if item.wrap else set()
    return {"k"} if isinstance(item, PickUp) else set()


def _reach_names(reach: Reach) -> set[str]:
    return {"DS"} if reach.to == "DS" else set()
