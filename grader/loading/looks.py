"""A designer's `style.yaml`: her colours, typefaces, logo and words, each told with its place where it is wrong."""

from __future__ import annotations

import os
import re
from pathlib import Path

from grader.loading.pictures import shown_in, shown_in_templates
from grader.loading.source import read_source
from grader.loading.tree import Node, read_tree
from grader.models.looks import Looks
from grader.models.shown import Shown
from grader.regular_files import lies_beside
from grader.vocabulary.findings import Finding, Ledger, Severity

STYLE_FILE = "style.yaml"
_KEYS = ("accent", "band", "fonts", "logo", "larger", "words")
_COLOUR = re.compile(r"#([0-9a-fA-F]{2})([0-9a-fA-F]{2})([0-9a-fA-F]{2})")
_LEAST_CONTRAST = 4.5  # WCAG 2.2, 1.4.3
_LARGER = (0.8, 1.5)


def read_looks(folder: Path) -> tuple[Looks, list[Finding]]:
    """The looks in a folder of templates; our own where there is no such file there."""
    file = folder / STYLE_FILE
    shown, told = shown_in_templates(folder)
    if not os.path.lexists(file):
        return Looks(pictures=shown), told
    source, findings = read_source(str(file))
    root, mistakes = read_tree(source) if source else (None, [])
    ledger = Ledger([*told, *findings, *mistakes])
    if root is None:
        return Looks(), ledger.entries
    for key, _ in root.entries:
        if key.text not in _KEYS:
            ledger.add("unknown-key", f"a style has no key {key.text!r}", key.span, mend=f"it has {', '.join(_KEYS)}")
    fonts = root.child("fonts")
    regular, bold = (_file(fonts.child(name) if fonts else None, folder, ledger) for name in ("regular", "bold"))
    if fonts and (regular is None) != (bold is None) and not ledger:
        ledger.add("fonts", "a typeface has two weights", fonts.span, mend="give regular: and bold:, each a .ttf file")
    looks = Looks(
        accent=_accent(root.child("accent"), ledger),
        band=_colour(root.child("band"), ledger),
        regular=regular,
        bold=bold,
        logo=_file(root.child("logo"), folder, ledger),
        larger=_larger(root.child("larger"), ledger),
        words=_words(root.child("words"), ledger),
        pictures=(*shown, *shown_in(root), *(Shown(node.text, node.at()) for node in (root.child("logo"),) if node)),
        typefaces=tuple(
            Shown(str(file), node.at())
            for name, file in (("regular", regular), ("bold", bold))
            if fonts and file and (node := fonts.child(name))
        ),
    )
    return looks, ledger.entries


def _colour(node: Node | None, ledger: Ledger) -> tuple[float, float, float] | None:
    if node is None:
        return None
    match = _COLOUR.fullmatch(node.text)
    if not match:
        ledger.add("colour", f"{node.text!r} is no colour", node.span, mend='write it as "#6e2129"')
        return None
    red, green, blue = (int(part, 16) / 255 for part in match.groups())
    return red, green, blue


def _accent(node: Node | None, ledger: Ledger) -> tuple[float, float, float] | None:
    """The colour of headings, which must be told from white."""
    colour = _colour(node, ledger)
    if colour is not None and node is not None and contrast_to_white(colour) < _LEAST_CONTRAST:
        message = f"{node.text} is too pale for words: {contrast_to_white(colour):.1f}:1 on white"
        mend = f"take one of at least {_LEAST_CONTRAST}:1"
        ledger.add("pale", message, node.span, severity=Severity.REMARK, mend=mend)
    return colour


def contrast_to_white(colour: tuple[float, float, float]) -> float:
    """How much a colour stands out from white, 1 to 21 (WCAG 2.2, relative luminance and contrast ratio)."""
    red, green, blue = (each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in colour)
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)


def _file(node: Node | None, folder: Path, ledger: Ledger) -> Path | None:
    if node is None:
        return None
    file, why = lies_beside(node.text, (folder,))
    if file is None:
        mend = "put it beside the style, and write its name alone"
        ledger.add("no-file", f"the file {node.text or 'without a name'} {why}", node.span, mend=mend)
    return file


def _larger(node: Node | None, ledger: Ledger) -> float:
    if node is None:
        return 1.0
    try:
        factor = float(node.text)
    except ValueError:
        factor = 0.0
    if not _LARGER[0] <= factor <= _LARGER[1]:
        low, high = _LARGER
        mend = f"give {low} to {high}, such as 1.1"
        ledger.add("larger", f"{node.text!r} is no factor for type", node.span, mend=mend)
        return 1.0
    return factor


def _words(node: Node | None, ledger: Ledger) -> tuple[tuple[str, str], ...]:
    if node is None:
        return ()
    if node.kind != "map":
        ledger.add("words", "words: says what is printed in place of ours", node.span, mend="write: {Notes: Remarks}")
        return ()
    return tuple((key.text, value.text) for key, value in node.entries)
