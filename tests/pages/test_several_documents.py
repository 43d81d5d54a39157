"""Several documents in one file: each as if it stood alone, all read in order, and none held once it is drawn."""

from __future__ import annotations

import gc
import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from page import ValidationProfile, validate_pdf  # the module of page-validation
from pypdf import PdfReader

from grader.pages import set_pages
from grader.pages.structure import Element
from tests.pages.structure import told_by

LONG = "\n\n".join(f"Paragraph {n} of many words that are read one after the other." for n in range(90))
DOCUMENTS = [
    f"# {name}\n\nSee [it](https://example.org/{name}).\n\n## Leg\n\n| Size | Sts |\n|--|--:|\n| 1 | {name} |\n\n{text}"
    for name, text in (("Ada", ""), ("Bo", LONG), ("Cleo", "- K1.\n- P1."))
]


def _set(documents: str | list[str] | Iterator[str]) -> bytes:
    return set_pages(documents, title="A class", version="1", author="Nobody")


def _words(data: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def test_each_has_the_pages_that_it_has_alone() -> None:
    together, alone = _set(DOCUMENTS), [_set(text) for text in DOCUMENTS]
    assert _words(together) == [page for each in alone for page in _words(each)]
    assert told_by(together).children == [part for each in alone for part in told_by(each).children]
    assert _set(DOCUMENTS[:1]) == alone[0]


def test_bookmarks_and_links_lead_to_the_pages_of_their_own_document() -> None:
    reader = PdfReader(io.BytesIO(_set(DOCUMENTS)))
    first = len(_words(_set(DOCUMENTS[0]))), len(_words(_set(DOCUMENTS[1])))
    titles = [each for each in reader.outline if not isinstance(each, list)]
    assert [(each.title, reader.get_destination_page_number(each)) for each in titles] == [
        ("Ada", 0),
        ("Bo", first[0]),
        ("Cleo", sum(first)),
    ]
    told = {
        number: [note.get_object()["/A"]["/URI"] for note in page.get("/Annots", [])]
        for number, page in enumerate(reader.pages)
    }
    begin = [0, first[0], sum(first)]
    assert {number: links for number, links in told.items() if links} == {
        number: [f"https://example.org/{name}"] for number, name in zip(begin, ("Ada", "Bo", "Cleo"), strict=True)
    }


@pytest.mark.parametrize("profile", [ValidationProfile.PDF_UA_1, ValidationProfile.PDF_A_2A])
def test_they_are_valid_together(profile: ValidationProfile, tmp_path: Path) -> None:
    (tmp_path / "class.pdf").write_bytes(_set(DOCUMENTS))
    result = validate_pdf(str(tmp_path / "class.pdf"), profile=profile)
    assert result.is_compliant, sorted({(each.rule_id, each.message) for each in result.failures})


def test_what_is_drawn_is_forgotten_before_the_next_is_asked_for() -> None:
    """So that memory doesn't grow with a class; elements of the structure stand for all that a page holds."""
    alive: list[int] = []
    gc.collect()
    gc.freeze()  # what other tests left behind is neither looked through each time nor counted

    def documents() -> Iterator[str]:
        for _ in range(32):
            gc.collect()
            alive.append(sum(isinstance(each, Element) for each in gc.get_objects()))
            yield DOCUMENTS[1]

    _set(documents())
    one = alive[2] - alive[0]
    assert one > 90
    assert max(alive[2:]) <= alive[2]
