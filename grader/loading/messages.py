"""Problems with the shape of a file, said in our own words at their line and column."""

from __future__ import annotations

from dataclasses import dataclass

from grader.loading.file_keys import keys_at
from grader.loading.file_model import PatternForm, Problem, shaped
from grader.loading.misfits import Misfit
from grader.loading.tree import Node
from grader.loading.values import closest, kind_of
from grader.vocabulary.findings import Finding, Span

MOST_FINDINGS = 100
MOST_WORDED = 1000  # looking for likely spellings takes its time
Path = tuple[str | int, ...]
_EXAMPLES = {
    "title": "title: Plain socks",
    "version": 'version: "1.0"',
    "gauge": "gauge: {stitches: 32, rounds: 44, per: 10 cm, needle: 2.5 mm}",
    "yarn": "yarn: {weight: super fine, metres: 420, per: 100 g}",
    "fit": "fit: {foot_circumference: -10 %, allowed: [-15 %, -5 %], foot_length: -4 %}",
    "sizes": "sizes: {chart: adult-feet}",
    "sections": "sections: with a list of parts, each with a name and steps",
    "name": "name: and what it is called",
    "steps": "steps: with a list of steps",
    "per": "per: 10 cm",
    "is": "is: and a formula",
    "size": "size: and the name of one of the sizes",
    "allowed": "allowed: [-15 %, -5 %]",
}
_MAP_EXAMPLES = {
    "numbers": "cast_on: {exactly: 64}",
    "repeat": '- round: "K"',
    "steps": '- rounds: "K"',
    "sections": "- name: Cuff",
    "regions": '[[heel, "{heel}"], [instep, "{instep}"]]',
    "leaves": '{heel: "{heel}"}',
    "pick_up": '- left edge: "{pick_up}"',
    "graft": "[instep, sole]",
    "row": '{RS: "K"}',
    "rows": '{RS: "K", WS: "P"}',
    "stitch_patterns": 'cuff: {rounds: ["*K2, P2* to end"]}',
    "finished": "leg_length: {is: leg_length, along: [Cuff, Leg]}",
    "needles": "short circular: {length: 23 cm}",
    "colours": "CC: {label: contrast colour}",
    "sample": "{size: M, numbers: {cast_on: 64}}",
    "start": "{short circular: start of instep}",
    "setups": "{short circular: Mind the marker.}",
    "notes": "- A note",
    "notions": "- A wool needle",
}
_MAPS = ("model_type", "model_attributes_type", "dict_type")
_LISTS = ("tuple_type", "list_type")


@dataclass(frozen=True, slots=True)
class Located:
    """A problem with its node: the value at fault, or the deepest one above it that stands in the file."""

    problem: Problem
    path: Path
    node: Node

    @property
    def kind(self) -> str:
        """What pydantic calls the problem."""
        return str(self.problem["type"])

    @property
    def last(self) -> str:
        """The last part of the path, whether it stands in the file or is missing there."""
        return str(self.problem["loc"][-1]) if self.problem["loc"] else ""


def located(root: Node, problem: Problem) -> Located:
    """Follow the path of a problem down the tree; parts that name a branch of a union are passed over."""
    node, path = root, []
    for part in problem["loc"]:
        below = node.child(part)
        if below is not None:
            node = below
            path.append(part)
    return Located(problem, tuple(path), node)


def findings_of(root: Node, problems: list[Problem]) -> list[Finding]:
    """The findings of every problem, but for those that another one tells already."""
    places = [located(root, problem) for problem in problems[:MOST_WORDED]]
    misspelt = {
        (each.path[:-1], closest(each.last, keys_at(each.path[:-1])))
        for each in places
        if each.kind == "extra_forbidden"
    }
    misread = {each.path for each in places if each.kind == "value_error"}
    empty = {each.path for each in places if each.kind == "empty"}
    findings = []
    for each in places:
        if each.kind == "empty":
            told = each.path[:-1] in misread  # "{cast_on}" without quotes is a key with nothing after it
        elif each.kind == "missing":
            told = (each.path, each.last) in misspelt
        else:
            told = each.path in empty
        if not told:
            findings.append(_worded(root, each))
    return findings


def shape_of(root: Node) -> tuple[PatternForm | None, list[Problem]]:
    """The shape of a tree, or its problems, among them keys with nothing after them; only `arrange` may stand alone."""
    form, problems = shaped(root.plain())
    # pydantic counts only the items that have their shape
    problems = [each for each in problems if each["type"] != "too_short" or not located(root, each).node.has_items]
    problems += [
        {"type": "empty", "loc": path} for path, node in root.walk() if node.is_nothing and path[-1:] != ("arrange",)
    ]
    return form, problems


def limited(findings: list[Finding]) -> list[Finding]:
    """The findings in the order of the file, each once, and no more than a screen or two of them."""
    unique = dict.fromkeys(findings)
    ordered = sorted(unique, key=lambda each: (each.span or Span("", 0, 0), each.message))
    if len(ordered) <= MOST_FINDINGS:
        return ordered
    more = f"at least {len(ordered) - MOST_FINDINGS} more mistakes stand further down"
    last = ordered[MOST_FINDINGS]
    return [*ordered[:MOST_FINDINGS], Finding("more", more, last.span, mend="mend the first ones and look again")]


def _empty(path: Path, node: Node) -> Finding:
    last = path[-1] if path else ""
    if isinstance(last, int):
        return Finding("empty-value", "nothing stands in this item of the list", node.span, mend="delete the item")
    mend = f"write it like {_EXAMPLES[last]}" if last in _EXAMPLES else "write its value, or leave the key out"
    return Finding("empty-value", f"nothing stands after {last!r}", node.span, mend=mend)


def _worded(root: Node, where: Located) -> Finding:
    kind, node = where.kind, where.node
    last = where.last
    if kind == "empty":
        return _empty(where.path, node)
    mistake = where.problem.get("ctx", {}).get("error")
    if isinstance(mistake, Misfit):
        return _misfit(root, where, mistake)
    if kind == "extra_forbidden":
        return _unknown_key(root, where, last)
    if kind == "missing" and last.isdecimal():
        return Finding("shape", "a pair belongs here", node.span, mend=_example(where.path))
    if kind == "missing":
        mend = f"add {_EXAMPLES.get(last, last + ':')}"
        return Finding("missing-key", f"the key {last!r} is missing", node.span, mend=mend)
    if kind == "too_long":
        return Finding(
            "shape", f"a pair belongs here, but {len(node.items)} stand here", node.span, mend=_example(where.path)
        )
    if kind == "too_short":
        return Finding("shape", "at least one belongs here", node.span, mend="add one, or delete the key")
    if kind in _MAPS or kind in _LISTS:
        wanted = "keys and values belong" if kind in _MAPS else "a list belongs"
        message = f"{wanted} here, but {kind_of(node.plain())} stands here"
        return Finding("shape", message, node.span, mend=_example(where.path))
    return Finding("shape", str(where.problem["msg"]), node.span)


def _misfit(root: Node, where: Located, mistake: Misfit) -> Finding:
    place = where.node.at(mistake.offset)
    if where.problem["loc"][-1] == "[key]":
        key = str(where.problem["loc"][-2])
        place = _key_place(root, where.path[:-1], key)
    elif mistake.key:
        value = where.node.child(mistake.key)
        key_node = where.node.key(mistake.key)
        place = key_node.span if key_node else value.span if value else place
    return Finding(mistake.code, mistake.message, place, mend=mistake.mend)


def _key_place(root: Node, path: Path, key: str) -> Span:
    node = root
    for part in path:
        node = node.child(part) or node
    found = node.key(key)
    return found.span if found else node.span


def _unknown_key(root: Node, where: Located, key: str) -> Finding:
    above = where.path[:-1]
    known = keys_at(above)
    near = closest(key, known)
    mend = f"did you mean {near!r}?" if near else f"the keys here are {', '.join(known)}"
    return Finding("unknown-key", f"unknown key {key!r}", _key_place(root, above, key), mend=mend)


def _example(path: Path) -> str:
    examples = {**_EXAMPLES, **_MAP_EXAMPLES}
    named = next((part for part in reversed(path) if part in examples), None)
    return f"write it like {examples[str(named)]}" if named else "look it up in the starter pattern"
