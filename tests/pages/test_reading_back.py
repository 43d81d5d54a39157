"""The words of the PDF alone, read along its structure, hold all the work: every line comes back as it was knitted.

A document for one knitter is turned from its tags into the plain marks that `tests.merging.unmerging` reads, and what
is read there is compared with the instructions and the worked record.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from grader.pipeline import Checked, Sock, Wanted, check, open_pattern
from grader.publishing import Edition, make_document
from tests.merging.test_unmerging import _compare
from tests.merging.unmerging import Reader
from tests.pages.structure import Told, told_by

PATTERNS = sorted((Path(__file__).resolve().parents[2] / "patterns").glob("*.yaml"))
EDITION = Edition(one_size=True, kind="one-size")
_WIDE_LABEL = re.compile(r"((?:[\w-]+ (?:round|row)|Rounds?|Rows?)s?(?: \d[^:]*| \([^:]*\))?): ")  # before its work
_COUNT = re.compile(r" — ([^—]*)$")


def _checked(path: Path) -> Checked:
    """The middle size of a pattern in all setups."""
    pattern, _ = open_pattern(str(path))
    assert pattern is not None
    middle = pattern.bodies[len(pattern.bodies) // 2]
    checked = check(replace(pattern, bodies=(middle,), samples=()), Wanted(units="both"))
    assert checked.is_sound
    return checked


def _printed(checked: Checked, sock: Sock) -> Told:
    return told_by(make_document(replace(checked, socks=(sock,)), EDITION, "sock").files["sock.pdf"])


def _read(told: Told, checked: Checked, sock: Sock) -> int:
    """Read a document and compare it with what was knitted; how many lines of work it has."""
    size, setup = sock.graded.body.name, sock.instructions.setup
    sections = Reader(_marked(told), (size,)).read(size, setup[0].upper() + setup[1:])
    assert [section.name for section in sections] == [each.name for each in sock.instructions.sections]
    return sum(_compare(section, sock, place, checked, "both") for place, section in enumerate(sections))


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: str(path.stem))
def test_every_line_is_read_back_from_the_pdf(path: Path) -> None:
    """Of each pattern in every second setup, from the second or the first in turn."""
    checked = _checked(path)
    socks = checked.socks[(PATTERNS.index(path) + 1) % 2 :: 2]
    read = sum(_read(_printed(checked, sock), checked, sock) for sock in socks)
    assert read > 20 * len(socks) > 0


def test_what_is_changed_on_a_page_is_found() -> None:
    checked = _checked(PATTERNS[0])
    sock = checked.socks[1]
    told = _printed(checked, sock)
    bodies = [each for each in told.walk() if each.kind == "LBody" and "k2tog" in each.text]
    assert len(bodies) > 2
    for body in (bodies[1], bodies[-1]):
        kept, body.parts = body.parts, [body.text.replace("k2tog", "ssk", 1)]
        with pytest.raises(AssertionError):
            _read(told, checked, sock)
        body.parts = kept
    _read(told, checked, sock)


def test_tags_are_turned_into_plain_marks() -> None:
    told = Told("Document")
    item = _said("LI", _said("Lbl", "Round 1"), _said("LBody", "K1, ssk. — 64 sts"))
    told.children = [_said("H2", "Leg"), item, _said("Beside", "Check: All is well."), _said("P", "The end.")]
    assert _marked(told) == "## Leg\n\n- **Round 1:** K1, ssk. — **64 sts**\n\n> **Check:** All is well.\n\nThe end.\n"


def _said(kind: str, *parts: str | Told) -> Told:
    return Told(kind, children=[part for part in parts if isinstance(part, Told)], parts=list(parts))


def _marked(told: Told) -> str:
    """The document in plain marks: headings, labels, counts and notes as far as the structure tells of them."""
    return "\n\n".join(text for child in told.children for text in _texts(child)) + "\n"


def _texts(told: Told) -> Iterator[str]:
    if re.fullmatch(r"H\d", told.kind):
        yield f"{'#' * int(told.kind[1])} {told.text}"
    elif told.kind == "L":
        yield "\n".join(_item(child) for child in told.children)
    elif told.kind == "LI":
        yield _item(told)
    elif told.kind == "Beside":
        name, _, rest = told.text.partition(": ")
        yield f"> **{name}:** {rest.lstrip()}"
    elif told.kind == "P":
        yield re.sub(r"^(On the needles now: )(.*)$", r"\1**\2**", told.text)


def _item(told: Told) -> str:
    """One line of work; its count stands in an element of its own, or behind a dash."""
    label = "".join(child.text for child in told.children if child.kind == "Lbl")
    label = label if label not in ("•", "") else ""
    body = next(child for child in told.children if child.kind == "LBody")
    counts = [each.text for each in body.walk() if each.kind == "Count"]
    text = body.text.removesuffix(counts[0]) if counts else body.text
    wide = _WIDE_LABEL.match(text) if not label else None
    if wide:
        label, text = wide[1], text[wide.end() :]
    inline = _COUNT.search(text) if not counts else None
    if inline:
        counts, text = [inline[1]], text[: inline.start()]
    return "- " + (f"**{label}:** " if label else "") + text + (f" — **{counts[0]}**" if counts else "")
