"""The book: its parts, what it says of itself, and that it is the same each time."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path

import pytest

from tests.hostile.tiny import picture

from .reading_back import (
    BRACKETS,
    GOLDEN,
    LETTERS,
    ONE,
    anchors,
    book,
    book_bytes,
    chapters,
    headings,
    local,
    text,
    words,
)

PLAIN = (GOLDEN / "ninepenny_bridge.md").read_text(encoding="utf-8")
OPF = "{http://www.idpf.org/2007/opf}"
DC = "{http://purl.org/dc/elements/1.1/}"


@pytest.mark.parametrize("markdown", [BRACKETS, LETTERS, ONE, PLAIN, "", "---\n\n> x"])
def test_every_part_is_well_formed_listed_and_reached(markdown: str) -> None:
    files = book(markdown, title="Two & two", version="1.0", author="A < B", date="2026-11-25")
    assert files["mimetype"] == b"application/epub+zip"
    ET.fromstring(files["META-INF/container.xml"])
    package = ET.fromstring(files["EPUB/package.opf"])
    items = {each.attrib["id"]: each.attrib for each in package.iter(f"{OPF}item")}
    listed = {f"EPUB/{each['href']}" for each in items.values()} | {"EPUB/package.opf"}
    assert listed == {name for name in files if name.startswith("EPUB/")}
    read = [items[each.attrib["idref"]]["href"] for each in package.iter(f"{OPF}itemref")]
    pages = chapters(files)
    assert {f"EPUB/{each}" for each in read} == set(pages)
    assert read[:2] == ["title.xhtml", "nav.xhtml"]
    links = [each.attrib["href"] for each in pages["EPUB/nav.xhtml"].iter() if local(each) == "a"]
    assert set(read) <= {each.partition("#")[0] for each in links}
    for link in links:
        file, _, anchor = link.partition("#")
        assert not anchor or anchor in anchors(pages[f"EPUB/{file}"])
    for name, tree in pages.items():
        assert headings(tree)[0] == 1, name
        assert len(anchors(tree)) == len(set(anchors(tree)))
        has_svg = any(local(each) == "svg" for each in tree.iter())
        properties = next(each.get("properties", "") for each in items.values() if f"EPUB/{each['href']}" == name)
        assert has_svg == ("svg" in properties.split())


def test_the_zip_begins_with_what_it_is_and_the_same_pattern_gives_the_same_bytes() -> None:
    with zipfile.ZipFile(io.BytesIO(book_bytes(BRACKETS))) as opened:
        first = opened.infolist()[0]
        assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
        assert {each.date_time for each in opened.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert book_bytes(BRACKETS) == book_bytes(BRACKETS)


def test_a_book_is_told_from_every_other() -> None:
    def identifier(markdown: str = ONE, **more: object) -> str:
        package = ET.fromstring(book(markdown, **more)["EPUB/package.opf"])
        return str(next(package.iter(f"{DC}identifier")).text)

    names = [
        identifier(),
        identifier(version="2"),
        identifier(BRACKETS),
        identifier(language="en-US"),
        identifier(title="U"),
    ]
    assert len(set(names)) == len(names)
    assert all(name.startswith("urn:uuid:") and name[23] == "5" for name in names)
    assert identifier(identifier="urn:isbn:9780000000002") == "urn:isbn:9780000000002"


def test_a_book_says_who_made_it_when_and_what_its_readers_can_count_on() -> None:
    package = ET.fromstring(book(BRACKETS, author="Me & you", date="2026-11-25", language="en-US")["EPUB/package.opf"])
    told = {local(each): each.text for each in package.iter() if str(each.tag).startswith(DC)}
    assert (told["creator"], told["date"], told["language"]) == ("Me & you", "2026-11-25", "en-US")
    metas = [(each.attrib["property"], str(each.text)) for each in package.iter(f"{OPF}meta")]
    assert ("dcterms:modified", "2026-11-25T00:00:00Z") in metas
    assert ("schema:accessMode", "visual") in metas
    assert ("schema:accessibilityFeature", "alternativeText") in metas
    assert ("schema:accessibilityHazard", "none") in metas
    assert "schema:accessibilitySummary" in dict(metas)
    undrawn = ET.fromstring(book(ONE, date="spring <2026>", language="??")["EPUB/package.opf"])
    metas = [(each.attrib["property"], str(each.text)) for each in undrawn.iter(f"{OPF}meta")]
    assert ("schema:accessMode", "visual") not in metas
    assert ("dcterms:modified", "2000-01-01T00:00:00Z") in metas
    assert [each.text for each in undrawn.iter(f"{DC}language")] == ["en"]
    assert list(undrawn.iter(f"{DC}date")) == []


def test_nothing_is_to_be_ticked_or_chosen_in_a_book() -> None:
    for markdown in (ONE, PLAIN, LETTERS):
        files = book(markdown)
        assert not any(b"<input" in each or b"<script" in each or b"<form" in each for each in files.values())
    assert "☐☐☐☐☐☐☐☐☐☐10☐☐12" in "".join(words(tree) for tree in chapters(book(ONE)).values())
    assert "○XS36" in "".join(words(tree) for tree in chapters(book(BRACKETS)).values())


def test_the_title_page_says_by_whom_and_which_version() -> None:
    title = chapters(book(BRACKETS, author="Me", version="1.2", date="2026-11-25"))["EPUB/title.xhtml"]
    assert "Two&twoByMeVersion1.22026-11-25" in words(title)


def test_parts_list_their_sections_in_the_contents() -> None:
    tree = chapters(book("# T\n\n## One\n\n### Not this\n\n---\n\n## Magic loop\n\n### Cuff\n"))["EPUB/nav.xhtml"]
    listed = [text(each) for each in tree.iter() if local(each) == "a"]
    assert listed[:4] == ["T", "One", "Magic loop", "Cuff"]


def test_a_photo_goes_into_the_book_once_it_is_shown(tmp_path: Path) -> None:
    for name in ("a.jpg", "b.jpg"):
        (tmp_path / name).write_bytes(picture("JPEG"))
    files = book("![sock](b.jpg)", files={name: tmp_path / name for name in ("a.jpg", "b.jpg")})
    assert [name for name in files if "images" in name] == ["EPUB/images/picture-2.jpg"]
    assert b'src="images/picture-2.jpg"' in files["EPUB/title.xhtml"]
