"""Which pictures a file shows: the Markdown reader that sets its prose finds them, with the places of their names."""

from __future__ import annotations

import re
from pathlib import Path

from grader.loading.source import read_plain
from grader.loading.tree import Node
from grader.markup import markdown_tree, pictures_alone
from grader.models.shown import Shown
from grader.vocabulary.findings import Finding, Span

_STANDS_IN = ("say", "summary")
_IN_TEMPLATE = re.compile(r"!\[[^\[\]\n]*\]\(([^(){}\s]*)\)")
TEMPLATES = "*.j2"


def shown_in(root: Node, anywhere: bool = False) -> tuple[Shown, ...]:
    """The pictures of all texts of a file, whatever keys they stand under.

    They stand by themselves in a `say` or the summary, and in what a step says in one setup; in the texts of a
    catalogue, `anywhere`.
    """
    found: list[Shown] = []
    for path, node in root.walk():
        if node.kind != "text" or "![" not in node.text:
            continue
        tree = markdown_tree(" ".join(node.text.split()))
        alone = {id(image) for element in tree for image in pictures_alone(element)}
        printed = anywhere or path[-1] in _STANDS_IN or "setups" in path
        after = 0
        for image in tree.iter("img"):
            name = image.get("src", "")
            place = max(node.text.find(name, after), 0) if name else 0
            after = place + len(name)
            found.append(Shown(name, node.at(place), printed and id(image) in alone))
    return tuple(found)


def shown_in_templates(folder: Path) -> tuple[tuple[Shown, ...], list[Finding]]:
    """The pictures that the templates of a folder name outright, and findings for templates that can't be read."""
    shown: list[Shown] = []
    findings: list[Finding] = []
    for file in sorted(folder.glob(TEMPLATES)):
        text, told = read_plain(str(file))
        findings += told
        for number, line in enumerate((text or "").split("\n"), 1):
            places = ((each[1], Span(str(file), number, each.start(1) + 1)) for each in _IN_TEMPLATE.finditer(line))
            shown += [Shown(*each) for each in places]
    return tuple(shown), findings
