"""The parts there are: their files read one by one, to be listed or looked into before a pattern names them."""

from __future__ import annotations

from grader.loading.parts import KINDS, check_part, finder, part_names
from grader.loading.tree import Node
from grader.models.part import Part, PartAlteration, PartNumber, PartStitches
from grader.vocabulary.findings import Finding

_BOUNDS = ("exactly", "nearest", "at_least", "at_most", "multiple_of", "plus", "parity", "unit")
_HOW = ("rounds", "rows", "chart", "chart_rows")


def read_parts(file: str, names: tuple[str, ...] = ()) -> tuple[tuple[Part, ...], list[Finding]]:
    """The parts that a pattern in `file` could name, in the order in which a sock takes them; only `names` if given.

    A part with a mistake in its own keys is left out, and its findings say why; so does one for a name that no part
    has.
    """
    find = finder(file)
    parts: list[Part] = []
    findings: list[Finding] = []
    for name in names or part_names(file):
        root, told = find(name)
        if root is not None:
            check_part(root, told)
        findings += told
        if root is not None and not told:
            parts.append(_part(name, root))
    order = (*KINDS[1:], KINDS[0])  # stitch patterns go with every part, and so come last
    return tuple(sorted(parts, key=lambda part: order.index(part.kind))), findings


def _part(name: str, root: Node) -> Part:
    sections = _items(root.child("sections"))
    return Part(
        name=name,
        kind=_text(root, "part"),
        title=_text(root, "title"),
        choose=_text(root, "choose"),
        changes=_text(root, "changes"),
        file=root.source.file,
        needs=_numbers(root.child("needs")),
        numbers=_numbers(root.child("numbers")),
        stitch_patterns=tuple(_stitches(key.text, value) for key, value in _entries(root.child("stitch_patterns"))),
        sections=tuple(_text(each, "name") for each in sections),
        last=tuple(_text(each, "name") for each in sections if _text(each, "place") == "last"),
        notions=tuple(each.text for each in _items(root.child("notions"))),
        alterations=tuple(_alteration(each) for each in _items(root.child("alterations"))),
    )


def _alteration(node: Node) -> PartAlteration:
    """Numbers as their rules, parts as the one that is taken in place of the other."""
    numbers = [f"{key.text}: {_rule(value)}" for key, value in _entries(node.child("numbers"))]
    parts = [f"{new.text} in place of {old.text}" for old, new in _entries(node.child("parts"))]
    return PartAlteration(_text(node, "name"), _text(node, "when"), "; ".join((*parts, *numbers)), _text(node, "why"))


def _entries(node: Node | None) -> tuple[tuple[Node, Node], ...]:
    return node.entries if node else ()


def _items(node: Node | None) -> tuple[Node, ...]:
    return node.items if node else ()


def _text(node: Node, key: str) -> str:
    value = node.child(key)
    return value.text if value else ""


def _numbers(node: Node | None) -> tuple[PartNumber, ...]:
    return tuple(
        PartNumber(key.text, _rule(value), _text(value, "label"), _text(value, "why")) for key, value in _entries(node)
    )


def _rule(node: Node) -> str:
    """A rule in one line: nearest heel, multiple of 2."""
    told = ((key, node.child(key)) for key in _BOUNDS)
    return ", ".join(f"{key.replace('_', ' ')} {_value(value)}" for key, value in told if value)


def _value(node: Node) -> str:
    """What stands under a key: a list as "4 and 2", a multiple with its remainder as "4 plus 2"."""
    if node.kind == "list":
        return " and ".join(_value(each) for each in node.items)
    told = (_value(value) if key.text == "of" else f"{key.text} {_value(value)}" for key, value in node.entries)
    return " ".join(told) or node.text


def _stitches(name: str, node: Node) -> PartStitches:
    how = next((key for key in _HOW if node.child(key)), "")
    written = node.child(how) if how else None
    lines = [each for item in _items(written) for each in _lines(item)] or (_lines(written) if written else [])
    asides = [f"{key} {_value(value)}" for key in ("sides", "gauge") if (value := node.child(key))]
    stops = _items(node.child("stops"))
    if stops:
        asides.append(f"may end after round {', '.join(each.text for each in stops)}")
    return PartStitches(name, _text(node, "label"), how, tuple(lines), tuple(asides))


def _lines(node: Node) -> list[str]:
    """A round or a line of a chart, or a row with its side."""
    return [f"{side.text}: {row.text}" for side, row in node.entries] or ([node.text] if node.kind == "text" else [])
