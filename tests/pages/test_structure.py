"""What a PDF says to who can't see it: valid by PDF/UA-1 and PDF/A-2a, and word for word what the Markdown says.

The rules are those of ISO 14289-1 and ISO 19005-2, checked by an independent validator (the package page-validation).
"""

from __future__ import annotations

import io
import itertools
import re

import pytest
from page import ValidationProfile, validate_pdf  # the module of page-validation
from pypdf import PdfReader

from grader.pages import set_pages
from grader.pages.setting import Press
from grader.pages.styles import STYLES
from grader.write_up import write_up
from tests.pages import samples
from tests.pages.structure import lost, told_by

PROFILES = (ValidationProfile.PDF_UA_1, ValidationProfile.PDF_A_2A)


def _markdown(one_size: bool) -> str:
    document = samples.one_size() if one_size else samples.fourteen_sizes()
    return write_up(document, "one_size.md.j2" if one_size else "pattern.md.j2") + (
        "\n## Room\n\nMore is told at [a page of ours](https://example.org/socks). Stitches: …………… of 64.\n\n……… ………\n"
    )


def _pdf(style: str, paper: str, press: Press, one_size: bool = False) -> bytes:
    return set_pages(
        _markdown(one_size),
        title="A sock, “told”",
        version="1.0",
        author="Nobody & Co",
        date="2026-11-28",
        paper=paper,
        style=style,
        one_size=one_size,
        drawing=samples.drawing(),
        press=press,
    )


CASES = [(style, ("a4", "a5")[place % 2], Press()) for place, style in enumerate(STYLES)]
CASES += [
    ("standard", "letter", Press(marks=True, one_ink=True)),
    ("standard", "a5", Press(bound=True, imposed=True)),
    ("standard", "a5", Press(marks=True, bound=True, imposed=True)),
]


@pytest.mark.parametrize(("style", "paper", "press"), CASES, ids=lambda each: str(each))
def test_a_page_is_valid_and_loses_no_word(style: str, paper: str, press: Press, tmp_path: object) -> None:
    one_size = style == "one-size"
    data = _pdf(style, paper, press, one_size)
    file = f"{tmp_path}/page.pdf"
    with open(file, "wb") as out:
        out.write(data)
    for profile in PROFILES:
        result = validate_pdf(file, profile=profile)
        assert result.is_compliant, sorted({(each.rule_id, each.message) for each in result.failures})
    assert lost(told_by(data), _markdown(one_size), samples.drawing()) == []


def test_the_validator_finds_what_is_missing(tmp_path: object) -> None:
    data = _pdf("standard", "a4", Press())
    broken = data.replace(b"/MarkInfo", b"/MarkInfx").replace(b"/Scope /Column", b"/Scopx /Column")
    assert broken != data
    with open(f"{tmp_path}/broken.pdf", "wb") as out:
        out.write(broken)
    assert not validate_pdf(f"{tmp_path}/broken.pdf", profile=ValidationProfile.PDF_UA_1).is_compliant


def test_headings_leave_no_level_out_and_tables_have_heads() -> None:
    told = told_by(_pdf("standard", "a4", Press()))
    levels = [int(each.kind[1]) for each in told.walk() if re.fullmatch(r"H\d", each.kind)]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))
    for table in (each for each in told.walk() if each.kind == "Table"):
        rows = [row for row in table.walk() if row.kind == "TR"]
        assert all(any(cell.scope for cell in row.children) for row in rows)
        assert len({len(row.children) for row in rows}) == 1


def test_a_label_hangs_beside_its_work_in_one_list_item() -> None:
    data = set_pages("- **Round 1:** K1, ssk. — **64 sts**\n- **Round 2:** K.\n", title="T", version="", author="")
    items = [each for each in told_by(data).walk() if each.kind == "LI"]
    assert [[part.kind for part in item.children] for item in items] == [["Lbl", "LBody"], ["Lbl", "LBody"]]
    assert [item.text for item in items] == ["Round 1K1, ssk.64 sts", "Round 2K."]


def test_a_note_is_read_where_it_belongs_though_it_stands_beside() -> None:
    text = "## Leg\n\n- **Round 1:** K.\n\n> **Check:** All is well.\n\n## Toe\n\nThe end.\n"
    told = [each.text for each in told_by(set_pages(text, title="T", version="", author="")).children]
    assert told == ["Leg", "Round 1K.", "Check: All is well.", "Toe", "The end."]


def test_pictures_and_boxes_are_told() -> None:
    data = set_pages("☐☐☐☐☐ ☐☐☐☐☐ 10 ☐☐ 12\n\nStitches: ……………\n", title="T", version="", author="")
    alts = [each.alt for each in told_by(data).walk() if each.kind == "Figure"]
    assert alts == ["Boxes to tick: 1 to 12", "room to write"]


def test_an_imposed_booklet_reads_in_the_order_of_its_pages() -> None:
    plain_pages = told_by(_pdf("standard", "a5", Press(bound=True)))
    sheets = told_by(_pdf("standard", "a5", Press(bound=True, imposed=True)))
    assert sheets.text == plain_pages.text


def test_black_alone_is_what_a_printer_gets() -> None:
    reader = PdfReader(io.BytesIO(_pdf("standard", "a4", Press(one_ink=True))))
    for page in reader.pages:
        content = page.get_contents()
        assert content is not None
        assert not re.search(rb"[\d.]+ [\d.]+ [\d.]+ (?:rg|RG|k|K)\b", content.get_data())


def test_bleed_lies_round_the_trimmed_page() -> None:
    page = PdfReader(io.BytesIO(_pdf("standard", "a4", Press(marks=True)))).pages[0]
    trim, bleed, media = ([float(n) for n in box] for box in (page.trimbox, page.bleedbox, page.mediabox))
    three_mm = 3 * 72 / 25.4
    assert [trim[2] - trim[0], trim[3] - trim[1]] == pytest.approx([595.276, 841.89], abs=0.01)
    assert [a - b for a, b in zip(trim, bleed, strict=True)] == pytest.approx(
        [three_mm, three_mm, -three_mm, -three_mm], abs=0.001
    )
    assert media[0] < bleed[0]
    assert media[2] > bleed[2]
