"""Whole patterns set in type, and the PDF read back."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from typing import Any

import pypdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from grader.models.document import Document
from grader.pages import MissingGlyph, set_pages
from grader.pages.pieces import Page, Square, Text
from grader.pages.setting import lay_out
from grader.pages.sheets import SHEETS
from grader.pages.typefaces import width
from grader.write_up import write_up

from . import samples

PAPERS = ("a4", "letter", "a5")
SAMPLES = {
    "five": samples.five_sizes(),
    "fourteen": samples.fourteen_sizes(),
    "by setup": samples.by_setup(),
    "one": samples.one_size(),
}
EVERY = [(name, paper) for name in SAMPLES for paper in PAPERS]


def _markdown(document: Document) -> str:
    return write_up(document, "one_size.md.j2" if document.one_size else "pattern.md.j2")


def _pdf(name: str, paper: str = "a4") -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(_bytes(name, paper)))


def _bytes(name: str, paper: str = "a4") -> bytes:
    document = SAMPLES[name]
    return set_pages(
        _markdown(document),
        title=document.title,
        version=document.version,
        author=document.author,
        paper=paper,
        drawing=samples.drawing(),
        one_size=document.one_size,
    )


def _pages(name: str, paper: str) -> tuple[Page, ...]:
    document = SAMPLES[name]
    return lay_out(_markdown(document), paper=paper, drawing=samples.drawing(), one_size=document.one_size).pages


def _fonts(reader: pypdf.PdfReader) -> Iterator[Any]:
    for page in reader.pages:
        for reference in page["/Resources"]["/Font"].values():  # type: ignore[index]
            yield reference.get_object()


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_every_font_is_embedded(name: str, paper: str) -> None:
    fonts = list(_fonts(_pdf(name, paper)))
    assert fonts
    assert all("SourceSans3" in font["/BaseFont"] for font in fonts)
    assert all("/FontFile2" in font["/FontDescriptor"] for font in fonts)


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_every_number_of_the_markdown_is_in_print(name: str, paper: str) -> None:
    markdown = re.sub(r"\([\w-]+\.svg\)", "", _markdown(SAMPLES[name]))
    printed = "".join(page.extract_text() for page in _pdf(name, paper).pages)
    wanted = re.findall(r"\d+", markdown)
    assert len(wanted) > 100
    found = re.findall(r"\d+", printed)
    assert {number: wanted.count(number) for number in set(wanted) if found.count(number) < wanted.count(number)} == {}


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_the_foot_counts_the_pages(name: str, paper: str) -> None:
    pages = _pdf(name, paper).pages
    assert len(pages) == len(_pages(name, paper)) > 2
    for number, page in enumerate(pages, 1):
        text = page.extract_text()
        assert f"page {number} of {len(pages)}" in text
        assert "Ninepenny Bridge plain socks · version 1.0" in text


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_no_heading_stands_last_on_a_page(name: str, paper: str) -> None:
    headings = 0
    for page in _pages(name, paper):
        column = sorted((placed for placed in page if placed.role != "note"), key=lambda placed: placed.y)
        headings += sum(placed.role == "heading" for placed in column)
        assert column[-1].role not in ("heading", "table head", "table top")
    assert headings > 10


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_numbers_of_a_size_never_break(name: str, paper: str) -> None:
    """No line of any block ends inside a bracket of numbers or between a number and its unit."""
    looked_at = 0
    for page in _pages(name, paper):
        for placed in page:
            lines: dict[float, str] = {}
            for mark in placed.marks:
                if isinstance(mark, Text):
                    lines[mark.y] = lines.get(mark.y, "") + mark.text
            if placed.role in ("table head", "table row", "facts", "header again"):
                continue
            for text in lines.values():
                looked_at += 1
                assert not re.search(r"[\d–,]\s*$", re.sub(r"(Round|Row|Rounds) [\d–]+$", "", text).strip()) or (
                    text.count("(") == text.count(")")
                ), text
                opened = text.rfind("(")
                assert opened <= text.rfind(")") or not re.match(r"\([\d–]", text[opened:]), text
                assert not re.match(r"(sts?|cm|times)\b", text.strip()), text
    assert looked_at > 60


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_nothing_leaves_the_page_or_covers_another(name: str, paper: str) -> None:
    sheet = SHEETS[paper]
    for page in _pages(name, paper):
        words = [(placed.y + mark.y, mark) for placed in page for mark in placed.marks if isinstance(mark, Text)]
        for y, mark in words:
            assert 0 < y <= sheet.depth + 1
            assert -0.01 <= mark.x <= mark.x + width(mark.text, mark.font, mark.size) <= sheet.wide + 0.5
        words.sort(key=lambda each: each[0])
        for index, (y, mark) in enumerate(words):
            for below, other in words[index + 1 : index + 12]:
                apart = mark.x + width(mark.text.rstrip(), mark.font, mark.size) <= other.x + 0.3 or (
                    other.x + width(other.text.rstrip(), other.font, other.size) <= mark.x + 0.3
                )
                assert apart or below - y >= other.size, (mark.text, other.text)


@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_no_page_but_the_last_is_half_empty(name: str, paper: str) -> None:
    for page in _pages(name, paper)[:-1]:
        assert max(placed.y + placed.height for placed in page) > SHEETS[paper].depth / 2


@pytest.mark.parametrize("paper", PAPERS)
def test_a_split_table_repeats_its_head(paper: str) -> None:
    rows = "\n".join(f"| {row} | {row * 3} | {row * 7} |" for row in range(120))
    pages = lay_out(f"# T\n\n| Size | Stitches | Rounds |\n|--|--:|--:|\n{rows}\n", paper=paper).pages
    assert len(pages) > 2
    for page in pages:
        assert any(isinstance(mark, Text) and mark.text == "Stitches" for placed in page for mark in placed.marks)


def test_fourteen_sizes_fit_every_paper_on_one_line_a_row() -> None:
    cells = [str(size * 4 + 100) for size in range(14)]
    table = f"|  | {' | '.join(str(n) for n in range(1, 15))} |\n|--|{'--:|' * 14}\n| A | {' | '.join(cells)} |\n"
    for paper in PAPERS:
        row = next(placed for placed in lay_out(table, paper=paper).pages[0] if placed.role == "table row")
        texts = [mark for mark in row.marks if isinstance(mark, Text)]
        assert [mark.text for mark in texts] == ["A", *cells]
        assert len({mark.y for mark in texts}) == 1


def test_a_label_hangs_and_its_work_stands_beside_it() -> None:
    text = "## Toe\n\n- **Round 1:** K1, ssk — **64 sts**\n- Repeat once.\n\n> **Check:** All is well.\n"
    (page,) = lay_out(text).pages
    texts = {
        mark.text.strip(): (placed.y + mark.y, mark.x)
        for placed in page
        for mark in placed.marks
        if isinstance(mark, Text)
    }
    label, work, count = texts["Round 1"], texts["K1, ssk"], texts["64 sts"]
    assert label[0] == work[0] == count[0]
    assert label[1] == 0 < work[1] < SHEETS["a4"].column < count[1]
    assert texts["Repeat once."][1] == work[1]
    assert texts["Check:"][1] == count[1]


def test_boxes_stand_in_fives_with_the_number_at_each_tenth() -> None:
    pages = lay_out("## Leg\n\n☐☐☐☐☐ ☐☐☐☐☐ 10 ☐☐☐☐☐ ☐☐☐☐☐ 20 ☐☐☐ 23\n").pages
    squares = [mark for placed in pages[0] for mark in placed.marks if isinstance(mark, Square)]
    texts = [mark.text for placed in pages[0] for mark in placed.marks if isinstance(mark, Text)]
    assert len(squares) == 23
    assert texts == ["Leg", "10", "20", "23"]


def test_bookmarks_nest_like_the_headings() -> None:
    outline = _pdf("by setup").outline
    assert outline[0].title == "Ninepenny Bridge plain socks"  # type: ignore[union-attr]
    titles = [entry.title for entry in outline[1] if not isinstance(entry, list)]  # type: ignore[union-attr]
    assert titles[0] == "Sizes"
    assert "Short circular" in titles
    part = outline[1][titles.index("Short circular") + 1]  # type: ignore[index]
    assert [entry.title for entry in part] == [  # type: ignore[union-attr]
        "Cuff",
        "Leg",
        "Heel flap",
        "Heel turn",
        "Gusset",
        "Foot",
        "Toe",
    ]


def test_the_file_says_what_it_is() -> None:
    reader = _pdf("five")
    assert reader.metadata is not None
    assert reader.metadata.title == "Ninepenny Bridge plain socks"
    assert reader.metadata.author == "The Ninepenny Bridge knitting circle"
    assert reader.trailer["/Root"]["/Lang"] == "en-GB"  # type: ignore[index]


def test_papers_have_their_sizes() -> None:
    for paper, size in {"a4": (595, 842), "letter": (612, 792), "a5": (420, 595)}.items():
        box = _pdf("one", paper).pages[0].mediabox
        assert (round(box.width), round(box.height)) == size
    with pytest.raises(ValueError, match="unknown paper"):
        lay_out("# T", paper="foolscap")


def test_the_same_input_gives_the_same_bytes() -> None:
    assert _bytes("five") == _bytes("five")
    assert _bytes("five") != _bytes("one")


def test_a_character_without_a_glyph_is_named() -> None:
    with pytest.raises(MissingGlyph, match=r"U\+1F9E6.*SOCKS"):
        set_pages("# Warm \U0001f9e6 feet", title="T", version="1", author="A")
    with pytest.raises(MissingGlyph):
        set_pages("# T", title="编织", version="1", author="A")


def test_raw_html_is_printed_as_text() -> None:
    text = pypdf.PdfReader(io.BytesIO(set_pages("<b>K2</b> & P2", title="T", version="", author=""))).pages[0]
    assert "<b>K2</b> & P2" in text.extract_text()


_WORDS = st.text(alphabet="aK1 2(),-*_|#>`[]!<&:.\n½–☐○\t\\—~+", max_size=120)
_LONG = st.integers(1, 900).map(lambda n: "m" * n)
_BLOCK = st.one_of(
    _WORDS,
    _LONG,
    _WORDS.map(lambda text: f"# {text}"),
    _WORDS.map(lambda text: f"- **{text}:** {text} — **{text}**"),
    _LONG.map(lambda text: f"> **Check:** {text}"),
    _WORDS.map(lambda text: f"| {text} | |\n|--|--:|\n| {text} |"),
    st.just("| | |\n|--|--|"),
    st.just("---\n\n## Part\n\n### Head"),
    st.just("![a](b.svg)"),
    st.integers(1, 300).map(lambda n: "☐" * n),
    st.integers(1, 40).map(lambda n: "|" + "x|" * n + "\n|" + "--|" * n),
)


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(_BLOCK, max_size=25), st.sampled_from(PAPERS), st.booleans())
def test_odd_markdown_never_stops_the_press(blocks: list[str], paper: str, one_size: bool) -> None:
    data = set_pages(
        "\n\n".join(blocks),
        title="T",
        version="1",
        author="A",
        paper=paper,
        one_size=one_size,
        drawing=samples.drawing(),
    )
    assert len(pypdf.PdfReader(io.BytesIO(data)).pages) >= 1


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_printed_or_its_missing_glyph_named(text: str) -> None:
    try:
        data = set_pages(text, title="T", version="1", author="A")
    except MissingGlyph as missing:
        unprintable = missing.character
    else:
        assert data.startswith(b"%PDF")
        return
    with pytest.raises(MissingGlyph):
        set_pages(f"x{unprintable}x", title="T", version="1", author="A")
