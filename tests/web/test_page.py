"""The web page: what a knitter finds, chooses and ticks, and what those need who use it without eyes or mouse."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from grader.loading import load_language
from grader.models.looks import Looks
from grader.translating import spaced, translator
from grader.web.phrases import phrases
from grader.web.sizes import Sizes
from tests.hostile.tiny import picture

from .reading_back import (
    BRACKETS,
    FEW,
    GOLDEN,
    LETTERS,
    ONE,
    STITCHES,
    anchors,
    as_read_in,
    headings,
    local,
    of_class,
    page,
    page_text,
    sizes_table,
    text,
    words,
)

ALL = (BRACKETS, LETTERS, ONE, (GOLDEN / "ninepenny_bridge.md").read_text(encoding="utf-8"))


@pytest.mark.parametrize("markdown", ALL)
def test_a_page_has_what_every_page_needs(markdown: str) -> None:
    tree = page(markdown, language="en-US", title="A < B")
    assert tree.attrib["lang"] == "en-US"
    assert [text(each) for each in tree.iter("title")] == ["A < B"]
    assert len(list(tree.iter("main"))) == 1
    levels = headings(tree)
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    ids = anchors(tree)
    assert len(ids) == len(set(ids))
    targets = [each.attrib["href"][1:] for each in tree.iter("a") if each.attrib["href"].startswith("#")]
    assert "content" in targets
    assert set(targets) <= set(ids)
    assert {each.attrib["for"] for each in tree.iter("label")} <= set(ids)


@pytest.mark.parametrize("markdown", ALL)
def test_a_page_needs_nothing_else(markdown: str) -> None:
    html = page_text(markdown)
    assert not re.search(r"""(?:src|href)=["'](?!#|data:)""", html)
    assert not re.search(r"url\(|@import|fetch\(|XMLHttp", html)
    assert html == page_text(markdown)


def test_only_a_designers_own_links_lead_away() -> None:
    tree = page(
        "[mine](https://example.org/a?b=1&c=2), [bad](javascript:alert(1)), [file](x.html), [at](mailto:a@b.org)"
    )
    assert [each.attrib["href"] for each in tree.iter("a")][1:] == ["https://example.org/a?b=1&c=2", "mailto:a@b.org"]
    assert "mine,bad,file,at" in words(tree)


@pytest.mark.parametrize("place", range(1, 6))
def test_each_size_finds_its_number_in_every_bracket(place: int) -> None:
    at = place - 1
    read = as_read_in(page(BRACKETS), place)
    first, second = ("16", "–", "20", "24", "24")[at], ("20½", "20", "24", "½", "28.5")[at]
    assert f"Cast on {STITCHES[at]} sts: {first} and {second} sts." in read
    assert f"{(9, 9, 11, 11, 13)[at]} rounds, 10 cm (4 in)" in read
    assert f"K2 (3, 4), turn, (k1, p1) 5 times. — {STITCHES[at]} sts" in read


def test_one_chooses_ones_size_in_the_table_and_the_rules_know_it() -> None:
    html = page_text(BRACKETS)
    tree = page(BRACKETS)
    picks = of_class(tree, "pick")
    assert [each.attrib["aria-label"] for each in picks] == [f"Size {name}" for name in FEW]
    assert {each.attrib["name"] for each in picks} == {"size"}
    for number, (pick, name) in enumerate(zip(picks, FEW, strict=True), 1):
        assert f":root:has(#{pick.attrib['id']}:checked) .own>.s{number}" in html
        (row,) = [each for each in tree.iter("tr") if pick in each.iter()]
        assert row.attrib["class"] == f"s{number}"
        assert text(row[1]) == name
    assert ".s6" not in html


def test_every_row_of_a_size_is_known_as_its_own() -> None:
    tree = page(f"{BRACKETS}\n\n| Size | Colour |\n| - | - |\n| M | MC |\n| M | CC |\n| XL | MC |")
    last = list(tree.iter("table"))[-1]
    assert [row.get("class") for row in last.iter("tr")] == [None, "s3", "s3", "s5"]


def test_without_sizes_there_is_nothing_to_choose() -> None:
    for markdown in (ONE, f"# Same\n\n{sizes_table(('M', 'M'))}\nK4 (5)."):
        tree = page(markdown)
        assert of_class(tree, "pick") + of_class(tree, "sizes") + of_class(tree, "yours") == []
        assert ":has(#size" not in page_text(markdown)


def test_letters_tell_what_they_stand_for_and_columns_their_size() -> None:
    tree = page(LETTERS)
    told = {
        "".join(each.itertext())[:1]: [text(own) for own in of_class(each, "own")[0]]
        for each in of_class(tree, "letter")
    }
    assert set(told) == {"A", "B", "Q"}  # Z stands in no table
    assert told["A"] == [str(number) for number in range(20, 34)]
    assert told["B"] == [str(number) for number in range(50, 64)]  # the first number stands in another section only
    assert told["Q"][2] == "12.5 cm / 6¼ in"
    table = [each for each in tree.iter("table") if of_class(each, "s14")][1]
    assert [text(cell) for cell in of_class(table, "s3")] == ["3", "22", "12.5", "6¼", "52"]


def test_a_letter_that_means_two_things_tells_no_number() -> None:
    tree = page(LETTERS.replace("| **B** | 50 | 51 |", "| **B** | 50 | 77 |"))
    assert {"".join(each.itertext())[:1] for each in of_class(tree, "letter")} == {"A", "Q"}


def test_what_is_for_some_sizes_says_for_which() -> None:
    (only,) = of_class(page(BRACKETS), "only")
    assert only.attrib["class"] == "only of-s1 of-s2 of-s3 of-s5"


@pytest.mark.parametrize(
    ("language", "bracket", "only"),
    [
        ("de-DE", "60 (64/68/72/76)", "Nur Größen XS bis M und XL:"),
        ("fr-FR", "13,5 (14-14,5-–-16)", "Tailles XS à M et XL seulement :"),
        ("en-US", "60 (64, 68, 72, 76)", "Sizes XS to M and XL only:"),
    ],
)
def test_sizes_can_be_chosen_in_every_language(language: str, bracket: str, only: str) -> None:
    names = ("XS", "S", "M", "L", "XL")
    tree = page(f"# Sock\n\n{sizes_table(names)}\n\n**{only}**\n\n- **1:** {bracket} x (3).\n", language=language)
    (found,) = of_class(tree, "sizes")
    assert "".join(found.itertext()) == bracket
    assert text(of_class(found, "s4")[0]) == {"de": "72", "fr": "–", "en": "72"}[language[:2]]
    assert [each.attrib["class"] for each in of_class(tree, "only")] == ["only of-s1 of-s2 of-s3 of-s5"]


@pytest.mark.parametrize("name", ["de", "fr"])
def test_a_page_knows_how_its_language_says_for_which_sizes_a_line_is(name: str) -> None:
    language, found = load_language(name)
    assert language is not None, found
    said = spaced(translator(language).text("Sizes XS to M and XL only:"), language)
    assert Sizes(("XS", "S", "M", "L", "XL"), phrases(language.tag)).only(said) == (0, 1, 2, 4)


def test_rounds_are_ticked_in_groups_of_five_with_names() -> None:
    tree = page(ONE)
    (group,) = of_class(tree, "ticks")
    assert local(group) == "fieldset"
    assert text(group[0]) == "Rounds to tick: Foot"
    assert [len(of_class(each, "tick")) for each in of_class(group, "five")] == [5, 5, 2]
    assert [each.attrib["aria-label"] for each in of_class(tree, "tick")] == [f"round {n}" for n in range(1, 13)]
    assert [text(each) for each in of_class(group, "so-far")] == ["10", "12"]


def test_another_text_keeps_its_ticks_elsewhere() -> None:
    one, other = (page(each).attrib["data-edition"] for each in (ONE, ONE + "\nMore."))
    assert one != other


def test_tables_have_names_and_heads_and_wide_ones_scroll() -> None:
    for tree in map(page, ALL):
        names = [text(each) for each in tree.iter("caption")]
        assert len(names) == len(set(names)) == len(list(tree.iter("table")))
        for head in tree.iter("th"):
            assert head.attrib["scope"] in ("row", "col")
            assert text(head)
        for region in of_class(tree, "scroll"):
            assert (region.attrib["role"], region.attrib["tabindex"]) == ("region", "0")
            assert region.attrib["aria-label"]
    assert len(of_class(page(ONE), "scroll")) == 1


def test_labels_counts_notes_and_room_are_marked() -> None:
    tree = page(BRACKETS)
    assert [text(each) for each in of_class(tree, "label")] == ["Round 1:", "Row 2 (WS):"]
    assert [text(each) for each in of_class(tree, "count")] == ["— 36 (40, 44, 48, 52) sts"]
    assert [text(each)[:6] for each in of_class(tree, "note")] == ["Takes:", "Check:"]
    one = page(ONE)
    assert [each.attrib["aria-label"] for each in of_class(one, "room")] == ["room to write"]
    assert len(of_class(one, "line")) == 2


def test_a_heading_within_an_item_or_a_note_is_no_part_of_the_outline() -> None:
    tree = page("# T\n\n- ## In an item\nand on\n\n> ## In a note")
    assert headings(tree) == [1]
    assert [text(each) for each in tree.iter("strong")] == ["In an item", "In a note"]
    assert "Inanitemandon" in words(tree)


def test_notes_stand_in_the_row_of_their_passage() -> None:
    row = of_class(page(BRACKETS), "row")[0]
    assert [each.attrib["class"] for each in row] == ["side", "text", "side"]
    assert "Cast on" in text(row[1])


def test_drawings_are_in_the_page_with_their_words() -> None:
    tree = page(
        "![x](foot.svg)\n\n## Charts\n\n![y](chart.svg)\n\n![gone <b>](gone.svg)\n\n![away](https://example.org/a.png)"
    )
    drawn = [each for each in tree.iter() if local(each) == "svg"]
    assert [(each.attrib["role"], each.attrib["aria-label"]) for each in drawn] == [("img", 'A "foot" & more')] * 2
    assert len(of_class(tree, "scroll")) == 1  # the wide one
    assert "gone<b>away" in words(tree)
    assert "example.org" not in page_text("![away](https://example.org/a.png)")


def test_a_photo_is_taken_in_and_no_other_file(tmp_path: Path) -> None:
    (tmp_path / "a.png").write_bytes(picture())
    (tmp_path / "b.png").write_text("<svg/>")
    html = page_text("![my sock](a.png)", files={"a.png": tmp_path / "a.png"})
    assert '<img src="data:image/png;base64,iVBORw0KGgo' in html
    for name in ("b.png", "c.png"):
        with pytest.raises(ValueError, match=name):
            page_text("", files={name: tmp_path / name})


def test_a_designers_looks_and_large_print_are_kept(tmp_path: Path) -> None:
    (tmp_path / "logo.png").write_bytes(picture())
    looks = Looks(accent=(0.0, 0.3, 0.0), logo=tmp_path / "logo.png", larger=1.2)
    html = page_text(ONE, looks=looks, files={"logo.png": tmp_path / "logo.png"}, author="Me", style="large-24")
    assert "--accent:#004c00" in html
    assert 'class="logo"' in html
    assert ":root{font-size:200%}" in html
    assert "body{font-size:1.2rem}" in html


def test_a_page_speaks_the_language_it_is_in() -> None:
    html = page_text(ONE, language="de")
    assert "Zur Anleitung springen" in html
    assert 'aria-label="Runde 7"' in html
    assert "Skip to the pattern" in page_text(ONE, language="cy")


def test_the_contents_list_the_sections_of_each_part() -> None:
    tree = page("# T\n\n## One\n\n### not listed\n\n---\n\n## Magic loop\n\n### Cuff\n\n### Leg\n\n---\n\n## Last")
    (contents,) = tree.iter("nav")
    listed = [text(each) for each in contents.iter("a")]
    assert listed == ["One", "Magic loop", "Cuff", "Leg", "Last"]
