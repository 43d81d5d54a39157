"""The PDFs of the pattern that ships, read back."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pypdf
import pytest

from grader.pipeline import Checked
from grader.publishing import Edition

Make = Callable[..., dict[str, bytes]]
MILLIMETRES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a5": (148.0, 210.0)}
_NUMBER = re.compile(r"\d+(?:\.\d+)?[¼½¾]?|[¼½¾]")
KINDS = {
    "brackets": (6, Edition()),
    "letters": (14, Edition()),
    "by setup, letter": (6, Edition(arrangement="by-setup", paper="letter")),
    "letters, a5": (14, Edition(paper="a5")),
    "one size": (1, Edition(one_size=True)),
    "one size, a5": (1, Edition(one_size=True, paper="a5")),
}


@pytest.fixture(params=KINDS, scope="module")
def printed(
    request: pytest.FixtureRequest, knitted: Callable[..., Checked], made: Make
) -> tuple[Edition, str, pypdf.PdfReader]:
    """The edition, its Markdown, and its PDF opened."""
    count, edition = KINDS[request.param]
    checked = knitted(count, first=8 if count == 1 else 0)
    if count == 1:
        checked = replace(checked, socks=checked.socks[1:2])
    files = made(checked, edition)
    return edition, files["md"].decode(), pypdf.PdfReader(io.BytesIO(files["pdf"]))


def _plain(markdown: str) -> str:
    """The words of the Markdown without its picture, its rules and its marks of emphasis."""
    rows = [row for row in markdown.splitlines() if not row.startswith(("![", "| -", "| :-", "---"))]
    return "\n".join(rows).replace("\\", "").replace("*", "")


def test_every_number_of_the_markdown_is_on_a_page(printed: tuple[Edition, str, pypdf.PdfReader]) -> None:
    _, markdown, reader = printed
    pages = "\n".join(re.sub(r"page \d+ of \d+", "", page.extract_text()) for page in reader.pages)
    asked = Counter(_NUMBER.findall(_plain(markdown)))
    assert sum(asked.values()) > 200
    assert asked - Counter(_NUMBER.findall(pages)) == Counter()


def test_every_word_of_the_markdown_is_on_a_page(printed: tuple[Edition, str, pypdf.PdfReader]) -> None:
    _, markdown, reader = printed
    pages = "\n".join(page.extract_text() for page in reader.pages)
    words = re.compile(r"[^\W\d_]{2,}")
    asked = Counter(word.lower() for word in words.findall(_plain(markdown).replace("- ", "")))
    there = Counter(word.lower() for word in words.findall(pages.replace("\u00ad", "")))
    assert sum(asked.values()) > 800
    assert asked - there == Counter()


def test_each_page_says_which_it_is_and_of_how_many(printed: tuple[Edition, str, pypdf.PdfReader]) -> None:
    _, _, reader = printed
    assert 2 <= len(reader.pages) <= 40
    for number, page in enumerate(reader.pages, 1):
        text = page.extract_text()
        assert f"page {number} of {len(reader.pages)}" in text
        assert "Ninepenny Bridge plain socks · version 1.0" in text


def test_pages_have_the_size_of_the_paper(printed: tuple[Edition, str, pypdf.PdfReader]) -> None:
    edition, _, reader = printed
    for page in reader.pages:
        size = (float(page.mediabox.width) / 72 * 25.4, float(page.mediabox.height) / 72 * 25.4)
        assert size == pytest.approx(MILLIMETRES[edition.paper], abs=0.1)


def test_fonts_are_embedded(printed: tuple[Edition, str, pypdf.PdfReader]) -> None:
    _, _, reader = printed
    seen = 0
    for page in reader.pages:
        fonts: Any = page["/Resources"]["/Font"]  # type: ignore[index]
        for reference in fonts.values():
            font = reference.get_object()
            descriptor = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
            assert "/FontFile2" in descriptor["/FontDescriptor"].get_object(), font
            assert "/ToUnicode" in font
            seen += 1
    assert seen >= len(reader.pages)


def test_bookmarks_are_the_headings_in_order(printed: tuple[Edition, str, pypdf.PdfReader]) -> None:
    _, markdown, reader = printed

    def titles(outline: Any) -> list[tuple[str, int]]:
        found: list[tuple[str, int]] = []
        for each in outline:
            if isinstance(each, list):
                found += titles(each)
            else:
                found.append((str(each.title), reader.get_destination_page_number(each) or 0))
        return found

    marks = titles(reader.outline)
    headings = re.findall(r"^##+ (.*)$", markdown, re.M)
    named = [title for title, _ in marks]
    assert [title for title in named if title in headings] == [title for title in headings if title in named]
    assert set(re.findall(r"^## (.*)$", markdown, re.M)) <= set(named)
    pages = [page for _, page in marks]
    assert pages == sorted(pages)
    for title, page in marks:
        assert title.lower() in " ".join(reader.pages[page].extract_text().split()).lower(), (title, page)


def test_the_file_says_what_it_is(printed: tuple[Edition, str, pypdf.PdfReader]) -> None:
    _, _, reader = printed
    assert reader.metadata is not None
    assert reader.metadata.title == "Ninepenny Bridge plain socks"
    assert reader.metadata.author == "The Ninepenny Bridge knitting circle"
    catalog: Any = reader.trailer["/Root"]
    assert catalog["/Lang"] == "en-GB"


def test_us_terms_are_in_american_english(knitted: Callable[..., Checked], made: Make) -> None:
    files = made(knitted(1, terms="US", first=8), Edition(terms="US", paper="letter"))
    catalog: Any = pypdf.PdfReader(io.BytesIO(files["pdf"])).trailer["/Root"]
    assert catalog["/Lang"] == "en-US"
