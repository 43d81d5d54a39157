"""Numbers of many sizes as one text: brackets, letters, dashes, and nouns that agree."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grader.merging.numbers import Lettering, Merged, merge_texts

from .unmerging import Reader, plural

THREE = ("S", "M", "L")
MANY = tuple(str(number) for number in range(1, 12))


def _one(texts: dict[str, str], sizes: tuple[str, ...] = THREE) -> str:
    merged = merge_texts(texts, Lettering(sizes), sizes)
    assert len(merged) == 1
    return merged[0].text


@pytest.mark.parametrize(
    ("texts", "printed"),
    [
        (("K16", "K16", "K18"), "K16 (16, 18)"),
        (("K16", "K16", "K16"), "K16"),
        (("K0", "K4", "K4"), "K– (4, 4)"),
        (("K0", "K0", "K4"), "K– (–, 4)"),
        (("K0", "K0", "K0"), "K0"),
        (("1 st", "2 sts", "3 sts"), "1 (2, 3) sts"),
        (("1 st", "1 st", "1 st"), "1 st"),
        (("1 time", "2 times", "2 times"), "1 (2, 2) times"),
        (("4.5 cm", "5 cm", "10 cm"), "4.5 (5, 10) cm"),
        (("¾ in", "1¼ in", "2 in"), "¾ (1¼, 2) in"),
        (("K4, P10", "K4, P10", "K5, P9"), "K4 (4, 5), P10 (10, 9)"),
    ],
)
def test_one_text_for_three_sizes(texts: tuple[str, ...], printed: str) -> None:
    assert _one(dict(zip(THREE, texts, strict=True))) == printed


def test_a_size_without_the_text_has_a_dash_and_the_sizes_are_named() -> None:
    merged = merge_texts({"S": "K4", "L": "K6"}, Lettering(THREE), THREE)
    assert merged == [Merged("K4 (–, 6)", ("S", "L"))]


def test_what_only_sizes_that_the_needles_hold_have_needs_no_naming() -> None:
    assert merge_texts({"M": "K4", "L": "K6"}, Lettering(THREE), ("M", "L")) == [Merged("K– (4, 6)")]


def test_other_words_make_another_text() -> None:
    merged = merge_texts({"S": "K4, turn", "M": "K5", "L": "K6"}, Lettering(THREE), THREE)
    assert merged == [Merged("K4, turn", ("S",)), Merged("K– (5, 6)", ("M", "L"))]


@pytest.mark.parametrize("text", ["K1, P1", "1 st", "K0", "0 cm", "5 cm / 2 in"])
def test_one_size_stands_as_it_is(text: str) -> None:
    assert _one({"yours": text}, ("yours",)) == text


def test_eight_sizes_stand_in_brackets_and_nine_under_a_letter() -> None:
    eight, nine = MANY[:8], MANY[:9]
    assert _one({size: f"K{size}" for size in eight}, eight) == "K1 (2, 3, 4, 5, 6, 7, 8)"
    lettering = Lettering(nine)
    merged = merge_texts({size: f"K{size}" for size in nine}, lettering, nine)
    assert merged == [Merged("K\u00a0**A**")]
    assert lettering.rows == [("A", nine)]


def test_a_row_that_lacks_sizes_shares_the_letter_of_the_fuller_one() -> None:
    lettering = Lettering(MANY)
    merge_texts({size: f"K{size}, P{size}" for size in MANY}, lettering, MANY)
    merge_texts({size: f"ssk, K{size}" for size in MANY[3:]}, lettering, MANY)
    assert lettering.rows == [("A", MANY)]


def test_none_is_not_the_same_as_not_there() -> None:
    """A size that works none of it must not find the number of another row under its letter."""
    lettering = Lettering(MANY)
    first = merge_texts({size: f"K{size}" for size in MANY}, lettering, MANY)
    second = merge_texts({size: "P0" if size == "3" else f"P{size}" for size in MANY}, lettering, MANY)
    assert (first[0].text, second[0].text) == ("K\u00a0**A**", "P\u00a0**B**")
    assert lettering.rows[1][1][2] == "–"


def test_a_letter_keeps_its_numbers_all_through_a_document_and_each_section_shows_its_own() -> None:
    lettering = Lettering(MANY)
    for numbers in ("K{}", "P1{}"):
        merge_texts({size: numbers.format(size) for size in MANY}, lettering, MANY)
    assert [name for name, _ in lettering.rows] == ["A", "B"]
    lettering.begin_section()
    assert lettering.rows == []
    assert merge_texts({size: f"P1{size}" for size in MANY}, lettering, MANY) == [Merged("P\u00a0**B**")]
    assert [name for name, _ in lettering.rows] == ["B"]


def test_there_are_letters_enough_and_none_reads_as_a_stitch() -> None:
    lettering = Lettering(MANY)
    for shift in range(45):
        merge_texts({size: f"K{int(size) + 100 * shift}" for size in MANY}, lettering, MANY)
    assert len(set(lettering.names)) == 45
    assert not {name[0] for name in lettering.names} & set("IOKPMS")


_NUMBERS = st.integers(0, 40)
_SIZES = st.sampled_from([2, 3, 8, 9, 14])


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.data(), _SIZES)
def test_each_size_finds_its_own_text_again(data: st.DataObject, count: int) -> None:
    """Any texts of one wording: whatever letters they share, the number of each size comes back."""
    sizes = tuple(str(number + 1) for number in range(count))
    lettering = Lettering(sizes)
    kept: list[tuple[str, dict[str, str]]] = []
    wordings = st.sampled_from(["K{} to end", "ssk, P{}, turn", "{} sts, {} rounds"])
    for words in data.draw(st.lists(wordings, max_size=4)):
        there = data.draw(st.sets(st.sampled_from(sizes), min_size=1))
        drawn = data.draw(st.lists(st.tuples(_NUMBERS, _NUMBERS), min_size=count, max_size=count))
        texts = {size: words.format(*pair) for size, pair in zip(sizes, drawn, strict=True) if size in there}
        merged = merge_texts(texts, lettering, tuple(texts))
        assert len(merged) == 1
        kept.append((merged[0].text, texts))
    reader = Reader("", sizes)
    for printed, texts in kept:
        for size, text in texts.items():
            letters = {name: row[sizes.index(size)] for name, row in lettering.rows}
            assert reader.own(printed, size, letters) == plural(text)
