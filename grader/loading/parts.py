"""Parts: pieces of a pattern file kept in files of their own, put together into one tree.

A pattern that says `parts: [cuff-2x2-rib, heel-german-short-row, ...]` takes numbers, stitch patterns,
sections and finished measures from those files, in that order. What the pattern says itself wins:
a number, a stitch pattern, a section or a measure of the same name takes the part's place. Every
node keeps its own source, so that a mistake in a part is told with the part's file, line and column.
"""

from __future__ import annotations

import heapq
import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from grader.loading.source import read_source
from grader.loading.tree import Node, read_tree
from grader.loading.values import suggestion
from grader.resources import folder
from grader.vocabulary.findings import Finding, Span

Find = Callable[[str], tuple[Node | None, list[Finding]]]
MOST_PARTS = 20
_WORD = re.compile(r"[A-Za-z_]\w*")
_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,60}")
_SHAPES = {
    "numbers": "map",
    "stitch_patterns": "map",
    "sections": "list",
    "finished": "map",
    "notions": "list",
    "colours": "map",
    "alterations": "list",
}
KINDS = ("stitch", "cuff", "leg", "heel", "turn", "gusset", "foot", "toe")
_ALLOWED = (
    "part",
    "title",
    "choose",
    "changes",
    "needs",
    "numbers",
    "stitch_patterns",
    "sections",
    "finished",
    "notions",
    "colours",
    "alterations",
)
_REQUIRED = ("part", "title", "choose")  # and what it is made of: a stitch its rounds, any other its sections


def _places(file: str) -> tuple[Path, Path]:
    return Path(file).parent / "parts", folder("patterns") / "parts"


def part_names(file: str) -> list[str]:
    """The names of all parts that a pattern in `file` could name, in alphabetical order."""
    stems = {each.stem for place in _places(file) if place.is_dir() for each in place.glob("*.yaml")}
    return sorted(stem for stem in stems if _NAME.fullmatch(stem))


def finder(file: str) -> Find:
    """Looks a part up: first in the folder `parts` beside the pattern file, then among those that ship."""
    places = _places(file)

    def find(name: str) -> tuple[Node | None, list[Finding]]:
        paths = [place / f"{name}.yaml" for place in places] if _NAME.fullmatch(name) else []
        path = next((each for each in paths if os.path.lexists(each)), None)
        if path is None:
            known = part_names(file)
            mend = suggestion(name, known) or f"there are {', '.join(known)}"
            return None, [Finding("unknown-part", f"there is no part {name!r}", mend=mend)]
        source, findings = read_source(str(path))
        return read_tree(source) if source else (None, findings)

    return find


@dataclass(frozen=True, slots=True)
class Composed:
    """The whole tree of a pattern with its parts, and what is wrong with the parts themselves."""

    root: Node
    findings: list[Finding]


def compose(root: Node, find: Find, instead: Mapping[str, str] | None = None) -> Composed:
    """Put the parts of a pattern into its tree; a pattern without parts stays as it is.

    `instead` names parts that take the place of others, as an alteration wants it.
    """
    listed = root.child("parts")
    if listed is not None and instead:
        items = tuple(replace(item, text=instead.get(item.text, item.text)) for item in listed.items)
        listed = replace(listed, items=items)
    if listed is None:
        return Composed(root, [])
    findings: list[Finding] = []
    parts = _parts(listed, find, findings)
    entries = [(key, value) for key, value in root.entries if key.text != "parts"]
    for name, kind in _SHAPES.items():
        own = root.child(name)
        if own is not None and own.kind != kind:
            continue  # the shape of the file will complain of it
        value = _MERGERS[name](root.child(name), _children(parts, name))
        if value is None:
            continue
        key = root.key(name) or replace(listed, kind="text", text=name, items=(), entries=())
        entries = [(each, old) for each, old in entries if each.text != name] + [(key, value)]
    whole = replace(root, entries=tuple(entries))
    _check_instead(whole.child("alterations"), find, findings, [] if instead else [item.text for item in listed.items])
    whole = _with_needs(whole, parts, findings)
    return Composed(whole, findings)


def _children(parts: list[Node], name: str) -> list[Node]:
    return [child for child in (part.child(name) for part in parts) if child is not None]


def _parts(listed: Node, find: Find, findings: list[Finding]) -> list[Node]:
    if listed.kind != "list" or not listed.items or len(listed.items) > MOST_PARTS:
        findings.append(
            Finding(
                "parts",
                f"a list of 1 to {MOST_PARTS} parts belongs here",
                listed.span,
                mend="write parts: [cuff-2x2-rib, leg-straight, ...]",
            )
        )
        return []
    found: list[Node] = []
    seen: dict[str, Span] = {}
    for item in listed.items:
        if item.kind != "text":
            findings.append(Finding("parts", "the name of a part belongs here", item.span))
            continue
        if item.text in seen:
            findings.append(Finding("parts", f"the part {item.text} stands here twice", item.span))
            continue
        seen[item.text] = item.span
        part, told = find(item.text)
        findings.extend(replace(each, span=each.span or item.span) for each in told)
        if part is not None:
            check_part(part, findings)
            found.append(part)
    return found


def check_part(part: Node, findings: list[Finding]) -> None:
    """A part has its own few keys; what stands under them is checked with the whole pattern."""
    if part.kind != "map":
        findings.append(Finding("parts", "a part is a map of keys and values", part.span))
        return
    for key, _ in part.entries:
        if key.text not in _ALLOWED:
            findings.append(
                Finding(
                    "unknown-key",
                    f"a part has no key {key.text!r}",
                    key.span,
                    mend=f"a part may have {', '.join(_ALLOWED)}",
                )
            )
    kind = part.child("part")
    named = kind.text if kind is not None and kind.kind == "text" else ""
    for name in (*_REQUIRED, "stitch_patterns" if named == "stitch" else "sections"):
        if part.child(name) is None:
            findings.append(Finding("missing-key", f"the part has no {name}", part.span, mend=f"add {name}:"))
    if kind is not None and kind.text not in KINDS:
        findings.append(
            Finding("parts", f"{kind.text!r} is no part of a sock", kind.span, mend=f"one of {', '.join(KINDS)}")
        )


def _check_instead(alterations: Node | None, find: Find, findings: list[Finding], listed: list[str]) -> None:
    """The parts that alterations would take must be there, and so must those they replace, of the `listed` if any."""
    for item in alterations.items if alterations else ():
        swapped = item.child("parts")
        for old, new in swapped.entries if swapped else ():
            if listed and old.text not in listed:
                mend = suggestion(old.text, listed) or f"the parts are {', '.join(listed)}"
                findings.append(Finding("unknown-part", f"the pattern has no part {old.text!r}", old.span, mend=mend))
            if new.kind == "text":
                _, told = find(new.text)
                findings.extend(replace(each, span=new.span) for each in told if each.code == "unknown-part")


# -- merging


def _maps(own: Node | None, parts: list[Node]) -> Node | None:
    """Maps one after the other; the pattern's new keys come first, its others take the place of the part's."""
    entries: dict[str, tuple[Node, Node]] = {}
    given = {key.text: (key, value) for key, value in own.entries} if own else {}
    offered = {key.text for part in parts for key, _ in part.entries}
    for name, entry in given.items():
        if name not in offered:
            entries[name] = entry
    for part in parts:
        for key, value in part.entries:
            entries[key.text] = given.get(key.text, (key, value))
    if not entries:
        return own
    return replace(own or parts[0], kind="map", entries=tuple(entries.values()), items=())


def _numbers(own: Node | None, parts: list[Node]) -> Node | None:
    """Numbers of the pattern and its parts, each after those it uses; else in the order they stand."""
    merged = _maps(own, parts)
    if merged is None:
        return None
    place = {key.text: at for at, (key, _) in enumerate(merged.entries)}
    uses = [
        {place[word] for word in _used(rule) if word in place} - {at} for at, (_, rule) in enumerate(merged.entries)
    ]
    users: dict[int, list[int]] = {}
    for at, used in enumerate(uses):
        for each in used:
            users.setdefault(each, []).append(at)
    ready = [at for at, used in enumerate(uses) if not used]  # a heap as it stands: it is in order
    ordered: dict[int, None] = {}
    while ready:
        at = heapq.heappop(ready)
        ordered[at] = None
        for each in users.get(at, ()):
            uses[each].remove(at)
            if not uses[each]:
                heapq.heappush(ready, each)
    ordered.update(dict.fromkeys(range(len(uses))))  # names that use each other are told by the checks
    return replace(merged, entries=tuple(merged.entries[at] for at in ordered))


def _used(rule: Node) -> set[str]:
    """The words of a rule's formulas."""
    texts = (node.text for path, node in rule.walk() if node.kind == "text" and path[-1:] not in (("why",), ("label",)))
    return {word for text in texts for word in _WORD.findall(text)}


def _sections(own: Node | None, parts: list[Node]) -> Node | None:
    """Sections in the order of the parts; the pattern's own takes the place of one of its name, or ends the list."""
    given: dict[str, Node] = {}
    for item in own.items if own else ():
        given.setdefault(_name(item), item)  # a second section of a name stays, to be complained of
    found: list[Node] = []
    used: set[str] = set()
    for part in parts:
        for item in part.items:
            name = _name(item)
            found.append(given.get(name, item))
            used.add(name)
    found += [item for item in (own.items if own else ()) if _name(item) not in used or given[_name(item)] is not item]
    found = [_placed(item) for item in sorted(found, key=_is_last)]
    return replace(own or parts[0], kind="list", items=tuple(found), entries=()) if found else own


def _is_last(section: Node) -> bool:
    """True for what a part wants done when all else is: `place: last`."""
    place = section.child("place")
    return place is not None and place.text == "last"


def _placed(section: Node) -> Node:
    """The section without the word on its place, which is spent."""
    if not _is_last(section):
        return section  # any other word is for the shape of the file to complain of
    return replace(section, entries=tuple(each for each in section.entries if each[0].text != "place"))


def _name(section: Node) -> str:
    name = section.child("name")
    return name.text if name else ""


def _finished(own: Node | None, parts: list[Node]) -> Node | None:
    """Measures of all parts; where several parts add rounds to one, their sections are added up."""
    measures: dict[str, tuple[Node, Node]] = {}
    for part in parts:
        for key, value in part.entries:
            if key.text in measures:
                first_key, first = measures[key.text]
                measures[key.text] = (first_key, _added(first, value))
            else:
                measures[key.text] = (key, value)
    for key, value in own.entries if own else ():
        measures[key.text] = (key, _overridden(measures[key.text][1], value) if key.text in measures else value)
    if not measures:
        return own
    return replace(own or parts[0], kind="map", entries=tuple(measures.values()), items=())


def _overridden(part: Node, own: Node) -> Node:
    """A measure of the parts in which the pattern's own words stand for theirs."""
    given = {key.text: (key, value) for key, value in own.entries}
    kept = tuple(each for each in part.entries if each[0].text not in given)
    return replace(own, entries=(*kept, *given.values())) if own.kind == "map" else own


def _added(first: Node, second: Node) -> Node:
    """Two shares of one measure: the later word wins, `along` lists and what is `plus` are added up."""
    entries = {key.text: (key, value) for key, value in first.entries}
    for key, value in second.entries:
        if key.text == "plus" and "plus" in entries:
            old_key, old = entries["plus"]
            entries["plus"] = (old_key, replace(old, text=f"({old.text}) + ({value.text})"))
        elif key.text == "along" and "along" in entries:
            old_key, old = entries["along"]
            entries["along"] = (old_key, replace(old, items=(*old.items, *value.items)))
        else:
            entries[key.text] = (key, value)
    return replace(first, entries=tuple(entries.values()))


def _lists(own: Node | None, parts: list[Node]) -> Node | None:
    """Lists one after the other, without saying a thing twice."""
    items: dict[str, Node] = {}
    for each in (*([own] if own else []), *parts):
        for item in each.items:
            items.setdefault(item.text, item)
    return replace(own or parts[0], kind="list", items=tuple(items.values()), entries=()) if items else own


def _in_turn(own: Node | None, parts: list[Node]) -> Node | None:
    """Lists one after the other, the pattern's own first."""
    items = tuple(item for each in (*([own] if own else []), *parts) for item in each.items)
    return replace(own or parts[0], kind="list", items=items, entries=()) if items else own


_MERGERS: dict[str, Callable[[Node | None, list[Node]], Node | None]] = {
    "numbers": _numbers,
    "stitch_patterns": _maps,
    "sections": _sections,
    "finished": _finished,
    "notions": _lists,
    "colours": _maps,
    "alterations": _in_turn,
}


# -- needs


def _with_needs(root: Node, parts: list[Node], findings: list[Finding]) -> Node:
    """What a part needs of a number (that it divides by 8, say) joins that number's own rule."""
    numbers = root.child("numbers")
    for part in parts:
        needs = part.child("needs")
        for key, value in needs.entries if needs else ():
            rule = numbers.child(key.text) if numbers else None
            wanted = value.child("multiple_of")
            if wanted is None:
                findings.append(
                    Finding("needs", f"the need of {key.text} says nothing", key.span, mend="write multiple_of: 4")
                )
                continue
            if rule is not None and rule.kind != "map":
                continue  # the shape of the file will complain of it
            if rule is None:
                findings.append(
                    Finding(
                        "needs",
                        f"the part needs {key.text}, which the pattern does not have",
                        key.span,
                        mend=f"write `{key.text}: {{multiple_of: 4}}` and give the pattern that number",
                    )
                )
                continue
            numbers = _replaced(numbers, key.text, _needing(rule, wanted)) if numbers else None
    if numbers is None:
        return root
    return _replaced(root, "numbers", numbers)


def _needing(rule: Node, wanted: Node) -> Node:
    old = rule.child("multiple_of")
    steps = (
        *(old.items if old and old.kind == "list" else (old,) if old else ()),
        *(wanted.items if wanted.kind == "list" else (wanted,)),
    )
    listed = replace(wanted, kind="list", text="", items=steps, entries=(), flow=True)
    if old is None:
        key = replace(wanted, kind="text", text="multiple_of", items=(), entries=())
        return replace(rule, entries=(*rule.entries, (key, listed)))
    return _replaced(rule, "multiple_of", listed)


def _replaced(node: Node, name: str, value: Node) -> Node:
    return replace(node, entries=tuple((key, value if key.text == name else old) for key, old in node.entries))
