"""Each law of `laws` is broken once, to see that it is caught; and how type is set where it was found broken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from grader.pages.binding import bind
from grader.pages.blocks import Run
from grader.pages.lines import Look, break_lines
from grader.pages.paging import divide
from grader.pages.pieces import ALWAYS, FREE, WITHIN, Piece, Placed, Text
from grader.pages.setting import LaidOut, lay_out
from tests.pages.laws import broken

ROW = "– (–, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22) cm"
PAGE = f"""# A sock

## Leg

- **Round 1:** K.
- **Round 2:** Work to the end of the round and begin anew, {ROW} in all.

| Size | Stitches |
| :- | -: |
| S | 48 |
| M | 56 |

## Toe

The end.
"""


@pytest.fixture(scope="module")
def page() -> LaidOut:
    """One page that keeps all laws."""
    laid_out = lay_out(PAGE)
    assert len(laid_out.pages) == 1
    assert broken(laid_out) == []
    return laid_out


def _placed(page: LaidOut, words: str) -> int:
    """The place on its page of what begins with these words."""
    return next(
        place
        for place, each in enumerate(page.pages[0])
        if "".join(mark.text for mark in each.marks if isinstance(mark, Text)).startswith(words)
    )


def _turned(page: LaidOut, words: str) -> LaidOut:
    """The page turned before these words."""
    at = _placed(page, words)
    return replace(page, pages=(page.pages[0][:at], page.pages[0][at:]))


def _changed(page: LaidOut, words: str, change: Callable[[Placed], Placed]) -> LaidOut:
    at = _placed(page, words)
    placed = page.pages[0]
    return replace(page, pages=((*placed[:at], change(placed[at]), *placed[at + 1 :]),))


def _further(right: float, down: float) -> Callable[[Placed], Placed]:
    def change(placed: Placed) -> Placed:
        marks = tuple(mark._replace(x=mark.x + right) if isinstance(mark, Text) else mark for mark in placed.marks)
        return placed._replace(y=placed.y + down, marks=marks)

    return change


def _laws(laid_out: LaidOut) -> set[str]:
    return {fault.partition(":")[0] for fault in broken(laid_out)}


def test_a_heading_last_on_its_page_is_caught(page: LaidOut) -> None:
    assert "heading last" in _laws(_turned(page, "The end."))


def test_the_head_of_a_table_last_on_its_page_is_caught(page: LaidOut) -> None:
    assert "heading last" in _laws(_turned(page, "S48"))


def test_an_empty_page_is_caught(page: LaidOut) -> None:
    assert _laws(_turned(page, "Toe")) == {"empty"}


@pytest.mark.parametrize(("right", "down"), [(450.0, 0.0), (-5.0, 0.0), (0.0, 800.0), (0.0, -800.0)])
def test_what_stands_outside_the_margins_is_caught(page: LaidOut, right: float, down: float) -> None:
    assert "outside" in _laws(_changed(page, "The end.", _further(right, down)))


def test_words_on_other_words_are_caught(page: LaidOut) -> None:
    assert _laws(_changed(page, "M56", _further(0.0, -10.0))) == {"overlap"}


def test_a_label_away_from_its_work_is_caught(page: LaidOut) -> None:
    at = _placed(page, "Round 1")
    placed = page.pages[0][at]
    label, *work = placed.marks
    apart = (placed._replace(marks=(label,)), placed._replace(marks=tuple(work), y=placed.y + 1))
    assert "label alone" in _laws(replace(page, pages=((*page.pages[0][:at], *apart, *page.pages[0][at + 1 :]),)))


def test_a_row_of_a_table_on_two_pages_is_caught(page: LaidOut) -> None:
    at = _placed(page, "S48")
    placed = page.pages[0]
    first, *rest = placed[at].marks
    split = (
        (*placed[:at], placed[at]._replace(marks=(first,))),
        (placed[at]._replace(marks=tuple(rest)), *placed[at + 1 :]),
    )
    assert "row split" in _laws(replace(page, pages=split))


def test_a_row_of_sizes_on_two_lines_is_caught(page: LaidOut) -> None:
    def torn(placed: Placed) -> Placed:
        marks = [mark for mark in placed.marks if isinstance(mark, Text)]
        at = next(place for place, mark in enumerate(marks) if ROW in mark.text)
        begin, end = marks[at].text.split("14, ")
        below = marks[at].y + 20
        halves = (marks[at]._replace(text=f"{begin}14,"), marks[at]._replace(text=end, y=below))
        return placed._replace(marks=(*marks[:at], *halves, *marks[at + 1 :]))

    assert "row of sizes broken" in _laws(_changed(page, "Round 2", torn))


def test_the_unit_before_a_row_of_sizes_is_not_bound_to_it() -> None:
    """Else the row is wider by a word, and is broken on narrow pages where it need not be."""
    assert bind("Work these two rows 8 (9, 10) times") == "Work these two rows 8\u00a0(9,\u00a010)\u00a0times"
    assert bind("rows 12 to 14, size 3") == "rows\u00a012 to 14, size\u00a03"


def test_a_word_that_fits_the_first_line_only_is_broken_on_the_next() -> None:
    look = Look(11, 16)
    runs = (Run("A few words come here and go on, then 44 (50, 54, 60, 64, 70, 74) sts."),)
    first, rest = 250.0, 110.0
    lines = break_lines(runs, look, first, rest)
    assert all(line.width <= (rest if place else first) for place, line in enumerate(lines))


def test_a_row_of_sizes_wider_than_the_outer_column_stands_in_the_text() -> None:
    aside = f"## Leg\n\n- **Round 1:** K.\n\n> **Check:** It measures {ROW}.\n"
    laid_out = lay_out(aside)
    note = next(placed for placed in laid_out.pages[0] if placed.role == "note")
    assert max(mark.x for mark in note.marks if isinstance(mark, Text)) < laid_out.sheet.column
    assert broken(laid_out) == []


@pytest.mark.parametrize(("turn", "on_first"), [(FREE, 2), (-12.0, 1)])
def test_a_passage_is_torn_before_a_page_stays_two_thirds_empty_unless_a_part_follows(
    turn: float, on_first: int
) -> None:
    pieces = [Piece(120.0, (), "paragraph"), Piece(120.0, (), "paragraph", turn=turn)]
    pages = divide([*pieces, Piece(250.0, (), "paragraph", turn=WITHIN)], 400.0)
    assert pages is not None
    assert [len(page) for page in pages] == [on_first, 3 - on_first]


def test_the_page_before_another_title_ends_where_it_does() -> None:
    """It is the last of its document: the first page isn't left empty so that this one is filled."""
    pieces = [Piece(150.0, (), "paragraph") for _ in range(3)]
    pages = divide([*pieces, Piece(300.0, (), "heading", turn=ALWAYS)], 400.0)
    assert pages is not None
    assert [len(page) for page in pages] == [2, 1, 1]


def test_the_head_of_a_table_never_stands_without_its_first_row() -> None:
    tall = " ".join(["a word in a tall cell"] * 30)
    rows = "\n".join(f"| {n} | {tall} |" for n in range(10))
    laid_out = lay_out(
        f"## Words\n\n{'Text. ' * 200}\n\n## List\n\n| A | B |\n| :- | :- |\n{rows}\n", paper="a5", style="large-24"
    )
    assert {fault for fault in broken(laid_out) if fault.startswith("heading last")} == set()
