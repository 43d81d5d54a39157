"""The YAML of a pattern file as a tree of nodes that know their places.

Only a plain subset is let in: one document of maps, lists and texts. Every scalar keeps its own
text, so that no number passes through a float and no word becomes a truth value.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import yaml

from grader.loading.places import offsets
from grader.loading.source import Source
from grader.loading.syntax import in_plain_words
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.findings import Finding, Span

DEEPEST = 40
_UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff]")
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True, eq=False)
class Node:
    """One value of the file: a text, a map or a list; line and column count from 0.

    `style` is empty for plain text, else one of ' " | >; `flow` marks maps and lists in braces or brackets.
    """

    kind: str
    source: Source
    line: int
    column: int
    text: str = ""
    style: str = ""
    flow: bool = False
    entries: tuple[tuple[Node, Node], ...] = ()
    items: tuple[Node, ...] = ()
    _offsets: list[tuple[int, int]] = field(default_factory=list, init=False, repr=False)
    _by_key: dict[str, tuple[Node, Node]] = field(default_factory=dict, init=False, repr=False)

    @property
    def span(self) -> Span:
        """Where the value begins; for quoted text the quote."""
        return self.source.span(self.line, self.column)

    def at(self, offset: int = 0) -> Span:
        """The place of the character `offset` of a text, whatever quotes or folds it is written in."""
        if self.kind != "text":
            return self.span
        if not self._offsets:
            found = offsets(self.source.lines, self.line, self.column, self.text, self.style)
            if not offset:
                return self.source.span(*next(found))
            self._offsets.extend(found)  # once for all that are asked for
        return self.source.span(*self._offsets[min(offset, len(self.text))])

    @property
    def is_nothing(self) -> bool:
        """True where no value is written."""
        return self.kind == "text" and not self.style and self.text in ("", "~")

    @property
    def has_items(self) -> bool:
        """True for a map or list with something in it."""
        return bool(self.items or self.entries)

    def child(self, key: str | int) -> Node | None:
        """The value under a key of a map, or at a place of a list."""
        if isinstance(key, int):
            return self.items[key] if 0 <= key < len(self.items) else None
        return self._entry(key)[1]

    def key(self, key: str) -> Node | None:
        """The key itself, for its place."""
        return self._entry(key)[0]

    def _entry(self, key: str) -> tuple[Node, Node] | tuple[None, None]:
        """A key with its value, the first of its name; all are looked through once, however often one is asked for."""
        if self.entries and not self._by_key:
            self._by_key.update((each[0].text, each) for each in reversed(self.entries))
        return self._by_key.get(key, (None, None))

    def plain(self) -> Any:
        """The value without places: dicts, lists, texts, and None for nothing."""
        if self.kind == "map":
            return {name.text: value.plain() for name, value in self.entries}
        if self.kind == "list":
            return [item.plain() for item in self.items]
        return None if self.is_nothing else self.text

    def walk(self, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Node]]:
        """Every value below and including this one, with its path."""
        found: list[tuple[tuple[str | int, ...], Node]] = []
        self._gather(path, found)
        return iter(found)

    def _gather(self, path: tuple[str | int, ...], found: list[tuple[tuple[str | int, ...], Node]]) -> None:
        found.append((path, self))
        for name, value in self.entries:
            value._gather((*path, name.text), found)
        for number, item in enumerate(self.items):
            item._gather((*path, number), found)

    def without(self, dropped: set[int]) -> Node:
        """A copy that leaves out the nodes whose `id` is in `dropped`."""
        if self.kind == "text":
            return self
        entries = tuple((name, value.without(dropped)) for name, value in self.entries if id(value) not in dropped)
        items = tuple(item.without(dropped) for item in self.items if id(item) not in dropped)
        return Node(self.kind, self.source, self.line, self.column, flow=self.flow, entries=entries, items=items)


class _Stop(Exception):
    """Ends the scan where going on makes no sense."""


@dataclass(slots=True)
class _Open:
    """A map or list whose end has not come yet."""

    kind: str
    line: int
    column: int
    flow: bool
    key: Node | None = None
    entries: list[tuple[Node, Node]] = field(default_factory=list)
    items: list[Node] = field(default_factory=list)
    seen: dict[str, Node] = field(default_factory=dict)


class _Scan:
    """Builds the tree from the events of the parser; `fatal` is set by what may not be let in."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.findings: list[Finding] = []
        self.open: list[_Open] = []
        self.root: Node | None = None
        self.nodes = 0
        self.documents = 0
        self.fatal = False
        self.quoted: tuple[Any, int] = (None, -1)  # where the last quoted text begins, and the line it ends in

    def run(self) -> None:
        try:
            for event in yaml.parse(self.source.text, Loader=_LOADER):
                self.take(event)
        except _Stop:
            self.fatal = True
        except yaml.MarkedYAMLError as mistake:
            if not self.fatal:  # what follows an alias or a tag is seldom what it seems
                self.complain(mistake)
        except (yaml.YAMLError, ValueError, OverflowError):
            self.refuse("yaml", "this file can't be read as YAML", self.source.span(0, 0), "quote what is text")

    def complain(self, mistake: yaml.MarkedYAMLError) -> None:
        """One finding for what the parser could not read; a quote left open shows only where the next one stands."""
        if mistake.problem_mark and mistake.problem_mark.line == self.quoted[1] > self.quoted[0].line:
            message = f"the quote opened here is closed only in line {self.quoted[1] + 1}"
            self.refuse("yaml", message, self.mark(self.quoted[0]), "close it where its text ends")
            return
        words, mend, at_context = in_plain_words(f"{mistake.context}: {mistake.problem}")
        mark = mistake.context_mark if at_context and mistake.context_mark else mistake.problem_mark
        self.refuse("yaml", words, self.mark(mark), mend)

    def place_of(self, mark: Any) -> tuple[int, int]:
        """Line and column from 0; the end of the last line for what stands behind it."""
        line = min(mark.line, len(self.source.lines) - 1) if mark else 0
        return line, mark.column if mark and mark.line == line else len(self.source.lines[line])

    def mark(self, mark: Any) -> Span:
        return self.source.span(*self.place_of(mark))

    def refuse(self, code: str, message: str, span: Span, mend: str) -> None:
        self.findings.append(Finding(code, message, span, mend=mend))
        self.fatal = True

    def take(self, event: yaml.Event) -> None:
        if isinstance(event, (yaml.ScalarEvent, yaml.CollectionStartEvent)):
            self.value(event)
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                mend = "keep one pattern in one file"
                self.refuse("yaml", "a second document starts here", self.mark(event.start_mark), mend)
                raise _Stop
        elif isinstance(event, yaml.AliasEvent):
            mend = "write the value out; a line that begins with * goes into quotes"
            self.refuse("yaml", "aliases are not a part of a pattern file", self.mark(event.start_mark), mend)
            self.place(self.text(event, "", "'"))
        elif isinstance(event, yaml.CollectionEndEvent):
            last = self.open.pop()
            self.place(
                Node(
                    last.kind,
                    self.source,
                    last.line,
                    last.column,
                    flow=last.flow,
                    entries=tuple(last.entries),
                    items=tuple(last.items),
                )
            )

    def value(self, event: yaml.ScalarEvent | yaml.CollectionStartEvent) -> None:
        if event.anchor is not None:
            self.refuse(
                "yaml",
                "anchors are not a part of a pattern file",
                self.mark(event.start_mark),
                "delete the & and its word",
            )
        if event.tag is not None:
            self.refuse(
                "yaml",
                "tags are not a part of a pattern file",
                self.mark(event.start_mark),
                "delete the ! and its word",
            )
        self.nodes += 1
        if self.nodes > allowed("values"):
            message, mend = too_much("values")
            self.refuse("budget", message, self.mark(event.start_mark), mend)
            raise _Stop
        if isinstance(event, yaml.ScalarEvent):
            self.scalar(event)
            return
        if len(self.open) >= DEEPEST:
            mend = "a pattern file needs ten levels at the most"
            self.refuse(
                "too-large", f"values stand more than {DEEPEST} levels deep here", self.mark(event.start_mark), mend
            )
            raise _Stop
        kind = "map" if isinstance(event, yaml.MappingStartEvent) else "list"
        self.open.append(_Open(kind, *self.place_of(event.start_mark), bool(event.flow_style)))

    def scalar(self, event: yaml.ScalarEvent) -> None:
        style = event.style if event.style in ("'", '"', "|", ">") else ""
        text = event.value.removesuffix("\n") if style in ("|", ">") else event.value
        if len(text) > allowed("text"):
            message, mend = too_much("text", len(text))
            self.refuse("budget", message, self.mark(event.start_mark), f"break it into several; {mend}")
        elif _UNPRINTABLE.search(text):
            self.refuse(
                "character",
                "this text spells a character that can't be printed",
                self.mark(event.start_mark),
                "leave it out",
            )
        if style in ("'", '"'):
            self.quoted = (event.start_mark, self.place_of(event.end_mark)[0])
        self.place(self.text(event, text, style))

    def text(self, event: yaml.Event, text: str, style: str) -> Node:
        return Node("text", self.source, *self.place_of(event.start_mark), text, style)

    def place(self, node: Node) -> None:
        """Put a finished node where it belongs: under its key, into its list, or at the root."""
        if not self.open:
            self.root = node
            return
        into = self.open[-1]
        if into.kind == "list":
            into.items.append(node)
        elif into.key is None:
            if node.kind != "text":
                self.refuse("yaml", "a key must be a single word", node.span, "quote it if it is text")
            into.key = node
        else:
            self.entry(into, into.key, node)
            into.key = None

    def entry(self, into: _Open, key: Node, node: Node) -> None:
        first = into.seen.setdefault(key.text, key)
        if first is key:
            into.entries.append((key, node))
            return
        message = f"the key {key.text!r} stands here again; it stands first in line {first.line + 1}"
        self.findings.append(Finding("duplicate-key", message, key.span, mend="keep one of the two"))


def read_tree(source: Source) -> tuple[Node | None, list[Finding]]:
    """The tree of a source, None if it can't be used; duplicate keys are reported and the first one kept."""
    root, findings = _known(source)
    return root, list(findings)


@lru_cache(maxsize=64)
def _known(source: Source) -> tuple[Node | None, tuple[Finding, ...]]:
    """The same text, as that of a part that many patterns take, is scanned once; nobody can change a tree."""
    scan = _Scan(source)
    scan.run()
    if not scan.fatal and (scan.root is None or scan.root.kind != "map"):
        span = scan.root.span if scan.root else source.span(0, 0)
        scan.refuse(
            "yaml",
            "a pattern begins with keys such as title: and gauge:",
            span,
            "start from the pattern that `grader new` writes",
        )
    return (None if scan.fatal else scan.root), tuple(scan.findings)
