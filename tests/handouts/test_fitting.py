"""Text in columns, as large as there is room for: whatever it says, nothing is lost, cut or out of order."""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from grader.pages.pieces import Placed, Text
from grader.pages.setting import LaidOut, lay_out
from grader.pages.sheets import wanted_pages
from grader.pages.styles import STYLES
from grader.rulers import ruler
from tests.pages.laws import broken

HANDOUT = STYLES["handout"]
HEAD = "# A sock\n\nName …………………………\n\n> **Yarn:** fine; **Needles:** 2.5 mm.\n\n"
ITEMS = st.builds(
    lambda label, words: f"- {f'**{label}:** ' if label else ''}{words}",
    st.sampled_from(["", "Round 1", "Rounds 2 and 3", "Every round", "Pick-up round"]),
    st.sampled_from(
        [
            "K.",
            "*K2, P2; rep from * to end.",
            "Slip the **34** heel sts onto one needle.",
            "K to last 3 sts, k2tog, K1. " * 4,
        ]
    ),
)
PARTS = st.one_of(
    st.lists(ITEMS, min_size=1, max_size=9).map("\n".join),
    st.integers(1, 120).map(lambda number: "☐" * number),
    st.sampled_from(["> A word beside the work.", "> " + "Words of some length. " * 12, "……………………\n……………………"]),
)
SECTIONS = st.lists(st.lists(PARTS, min_size=1, max_size=4).map("\n\n".join), min_size=1, max_size=9)


def document(sections: list[str]) -> str:
    told = "\n\n".join(f"## Part {number}x\n\n{each}" for number, each in enumerate(sections, 1))
    return f"{HEAD}{told}\n\n![A ruler](r.svg)\n"


def set_so(text: str, paper: str = "a4") -> LaidOut:
    return lay_out(text, paper=paper, style=HANDOUT, drawings={"r.svg": ruler(102 if paper == "a5" else 150)})


def words(laid_out: LaidOut) -> str:
    """All words of the text in order, without spaces; those of the page's head stand before them."""
    marks = [mark for page in laid_out.pages for placed in page for mark in placed.marks if isinstance(mark, Text)]
    return re.sub(r"[\s\u00a0\u00ad•]", "", "".join(mark.text for mark in marks if mark.size > 0))


def boxes(laid_out: LaidOut) -> int:
    return sum(
        1
        for page in laid_out.pages
        for placed in page
        for mark in placed.marks
        if placed.role == "ticks" and not isinstance(mark, Text)
    )


_NOTE = "> " + "Words of some length. " * 12
_NOTES_ALONE = ["- K.\n- K.", f"{_NOTE}\n\n{_NOTE}", f"{_NOTE}\n\n{_NOTE}", "☐" * 31]


@settings(max_examples=40, deadline=None)
@example(_NOTES_ALONE, "a5")
@given(SECTIONS, st.sampled_from(["a4", "letter", "a5"]))
def test_whatever_it_says_pages_keep_the_laws(sections: list[str], paper: str) -> None:
    text = document(sections)
    laid_out = set_so(text, paper)
    assert broken(laid_out) == []
    assert boxes(laid_out) == text.count("☐")
    said = re.findall(r"Part(\d+)x", words(laid_out))
    assert [int(each) for each in said] == list(range(1, len(sections) + 1))
    if len(laid_out.pages) > wanted_pages(paper, HANDOUT):
        smallest = list(HANDOUT.tightened())[-1]
        assert len(lay_out(text, paper=paper, style=smallest).pages) > wanted_pages(paper, HANDOUT)


@pytest.mark.parametrize(("rounds", "size"), [(1, 11.5), (60, 11.5), (110, 10.0)])
def test_the_largest_type_that_fits_is_taken(rounds: int, size: float) -> None:
    laid_out = set_so(document(["\n".join(f"- **Round {n}:** K to last 3 sts, k2tog, K1." for n in range(rounds))]))
    assert laid_out.style.body.size >= size
    assert len(laid_out.pages) <= 2
    larger = [style for style in HANDOUT.tightened() if style.body.size > laid_out.style.body.size]
    assert all(style.body.size > 8.5 for style in larger)


def test_type_gets_smaller_by_steps_and_its_great_numbers_never_smaller_than_fourteen() -> None:
    styles = list(HANDOUT.tightened())
    sizes = [style.body.size for style in styles]
    assert sizes == [11.5 - step / 2 for step in range(7)]
    assert all(14 <= round(style.body.size * style.stands_out, 6) <= 18 for style in styles)
    assert all(min(style.small.size, style.cell.size) >= 8.5 for style in styles)
    assert {style.foot for style in styles} == {HANDOUT.foot}


def test_the_ruler_stands_at_the_foot_of_the_last_page_and_notes_reach_down_to_it() -> None:
    laid_out = set_so(document(["- **Round 1:** K.", "……………………\n……………………"]))
    (page,) = laid_out.pages
    last = page[-1]
    assert last.role == "chart"
    assert last.y + last.height == pytest.approx(laid_out.sheet.depth)
    lines = [placed for placed in page if placed.role == "lines"]
    assert len(lines) > 10
    assert max(placed.y + placed.height for placed in lines) == pytest.approx(last.y - 8)


def test_a_name_is_written_beside_the_title_where_there_is_room() -> None:
    def top(text: str) -> Placed:
        return set_so(text).pages[0][0]

    assert any(mark.text.startswith("Name") for mark in top(document(["- K."])).marks if isinstance(mark, Text))
    long = document(["- K."]).replace("# A sock", f"# {'A sock of many words ' * 3}")
    assert not any(mark.text.startswith("Name") for mark in top(long).marks if isinstance(mark, Text))


def test_a_table_in_the_text_is_set_over_the_whole_page() -> None:
    laid_out = set_so(f"{HEAD}## Numbers\n\n| A | B | C |\n| -: | -: | -: |\n| 1 | 2 | 3 |\n")
    assert max(mark.x for placed in laid_out.pages[0] for mark in placed.marks if isinstance(mark, Text)) > 400


def test_every_document_of_a_file_is_fitted_by_itself() -> None:
    short, long = document(["- K."]), document(["\n".join(["- **Round 1:** K to last 3 sts, k2tog, K1."] * 120)])
    pages = set_so(f"{short}\n{long}\n{short}").pages
    heads = [number for number, page in enumerate(pages) for each in page if each.bookmark and each.bookmark[0] == 1]
    assert heads == [0, 1, 3]
    assert len(pages) == 4
