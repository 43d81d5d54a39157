"""A pattern of parts as one text that needs no parts, so that a single mistake can be made anywhere in it."""

from __future__ import annotations

from collections.abc import Iterator

from grader.loading.parts import compose, finder
from grader.loading.source import source_of
from grader.loading.tree import Node, read_tree
from grader.resources import folder

HERE = str(folder("patterns") / "put_together.yaml")
_ORDER = {"numbers": "{}", "stitch_patterns": "{}", "finished": "{}", "sections": "[]", "notions": "[]"}


def flat(text: str) -> str:
    """The text of the same pattern, with all that its parts say written out in it, rules before their use."""
    source, findings = source_of(text, HERE)
    root, told = read_tree(source) if source else (None, [])
    findings += told
    if root is None or findings:
        raise ValueError(f"this can't be read: {findings}")
    composed = compose(root, finder(HERE))
    if composed.findings:
        raise ValueError(f"the parts do not fit: {composed.findings}")
    entries = {key.text: value for key, value in composed.root.entries}
    lines: list[str] = []
    for name in (*(name for name in entries if name not in _ORDER), *_ORDER):
        lines += _entry(name, entries[name], 0, (name,)) if name in entries else [f"{name}: {_ORDER[name]}"]
    return "\n".join(lines) + "\n"


def _entry(key: str, value: Node, indent: int, path: tuple[str, ...]) -> Iterator[str]:
    """A key of a map and its value, over as many lines as that takes."""
    pad = " " * indent
    if value.has_items and not _is_short(value, path):
        yield f"{pad}{key}:"
        yield from _block(value, indent + 2, path)
    else:
        yield f"{pad}{key}: {_inline(value)}".rstrip()


def _block(node: Node, indent: int, path: tuple[str, ...]) -> Iterator[str]:
    for key, value in node.entries:
        yield from _entry(key.text, value, indent, (*path, key.text))
    for item in node.items:
        if item.has_items and not _is_short(item, path):
            first, *others = _block(item, indent + 2, path)
            yield f"{' ' * indent}- {first.lstrip()}"
            yield from others
        else:
            yield f"{' ' * indent}- {_inline(item)}"


def _is_short(node: Node, path: tuple[str, ...]) -> bool:
    """What stood in braces or brackets stays so, but the rules and whatever has been put together of parts."""
    return node.flow and not (len(path) <= 2 and path[0] in ("numbers", "stitch_patterns", "finished"))


def _inline(node: Node) -> str:
    if node.kind == "map":
        return f"{{{', '.join(f'{key.text}: {_inline(value)}'.rstrip() for key, value in node.entries)}}}"
    if node.kind == "list":
        return f"[{', '.join(_inline(item) for item in node.items)}]"
    if not node.style:
        return node.text
    escaped = node.text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
