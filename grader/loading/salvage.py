"""What is left of a file when everything that has no right shape is set aside.

The rest can still be looked through for mistakes of its own, so that all of them are reported at once.
"""

from __future__ import annotations

from functools import cache

from grader.loading.file_model import PatternForm, Problem
from grader.loading.messages import Path, located, shape_of
from grader.loading.source import source_of
from grader.loading.tree import Node, read_tree

_STAND_INS = """\
title: stand-in
version: stand-in
gauge: {stitches: 30, rounds: 42, per: 10 cm}
yarn: {weight: super fine, metres: 400, per: 100 g}
fit: {foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}
sizes: {own: [{name: stand-in, foot_circumference: 22 cm, foot_length: 24 cm, leg_length: 18 cm,
                ankle: 22 cm, calf: 34 cm}]}
"""
_NAMED = ("numbers", "stitch_patterns", "finished")
_TRIES = 3


def salvage(root: Node, problems: list[Problem]) -> tuple[PatternForm, Node] | None:
    """A form and the tree it came from, without what is wrong; None if too little is left."""
    for _ in range(_TRIES):
        root = _without_problems(root, problems)
        form, problems = shape_of(root)
        if form is not None and not problems:
            return form, root
    return None


def _without_problems(root: Node, problems: list[Problem]) -> Node:
    dropped: set[int] = set()
    replaced: set[str] = set()
    for problem in problems:
        where = located(root, problem)
        first = str(problem["loc"][0]) if problem["loc"] else ""
        if where.kind != "extra_forbidden" and first in _stand_ins():
            replaced.add(first)
        unit = where.path if where.kind == "extra_forbidden" else _unit(root, where.path)
        if unit:
            dropped.add(id(_at(root, unit)))
    kept = root.without(dropped)
    entries = tuple((key, value) for key, value in kept.entries if key.text not in replaced)
    added = tuple(_stand_ins()[name] for name in sorted(replaced))
    return Node("map", root.source, root.line, root.column, entries=(*entries, *added))


def _unit(root: Node, path: Path) -> Path:
    """The smallest whole thing round a problem: one number, one step, one section, one top-level key."""
    if path[:1] and path[0] in _NAMED:
        return path[:2]
    if path[:1] != ("sections",):
        return path[:1]
    depth = min(len(path), 2)
    while path[depth : depth + 1] in (("steps",), ("repeat",)) and len(path) > depth + 1:
        depth += 2
    return path[:depth]


def _at(root: Node, path: Path) -> Node:
    for part in path:
        root = root.child(part) or root
    return root


@cache
def _stand_ins() -> dict[str, tuple[Node, Node]]:
    source, _ = source_of(_STAND_INS, "stand-in")
    assert source is not None
    root, _ = read_tree(source)
    assert root is not None
    return {key.text: (key, value) for key, value in root.entries}
