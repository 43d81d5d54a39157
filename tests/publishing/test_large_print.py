"""Large print: nothing is smaller than it promises, in charts too, and no row of sizes is broken on any paper."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from grader.pages.pieces import Sketch, Text
from grader.pages.setting import LaidOut
from grader.pipeline import Checked, check, open_pattern
from grader.pipeline import Wanted as Worked

from .making import PAPERS, TOGETHER, Wanted, chosen, edition_of, made

_OPEN = re.compile(r"(?:^|[\d½¼¾–] )\((?:[\d½¼¾.–]+, ?)+(?:[\d½¼¾.–]+)?$")  # a row of sizes that goes on below
POINTS = {"large-18": 18.0, "large-24": 24.0}


@pytest.fixture(scope="module", params=["high_moor", "quayside"])
def charted(request: pytest.FixtureRequest) -> Checked:
    """A pattern with a chart, in all its sizes."""
    pattern, _ = open_pattern(f"patterns/{request.param}.yaml")
    assert pattern is not None
    return check(pattern, Worked(("long circular (magic loop)",), units="both"))


def _laid_out(checked: Checked, kind: str, paper: str) -> LaidOut:
    wanted = Wanted(edition_of(kind, paper), TOGETHER, "")
    return made(chosen(checked, wanted), wanted.edition, ink=False)[0].laid_out


def _type(laid_out: LaidOut) -> Iterator[tuple[float, str]]:
    """Every piece of text with its size on paper."""
    for page in laid_out.pages:
        for mark in (mark for placed in page for mark in placed.marks):
            if isinstance(mark, Text):
                yield mark.size, mark.text
            elif isinstance(mark, Sketch):
                yield from ((label.size * mark.scale, label.text) for label in mark.drawing.labels)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("kind", POINTS)
def test_nothing_is_too_small_and_rows_stay_whole(charted: Checked, kind: str, paper: str) -> None:
    laid_out = _laid_out(charted, kind, paper)
    small = {(round(size, 1), text) for size, text in _type(laid_out) if size < POINTS[kind] - 0.01}
    assert small == set()
    assert any(isinstance(mark, Sketch) for page in laid_out.pages for placed in page for mark in placed.marks)
    lines = [text for page in laid_out.pages for placed in page for text in _lines(placed.marks)]
    assert [line for line in lines if _OPEN.search(line)] == []


def _lines(marks: tuple[object, ...]) -> list[str]:
    told: dict[float, str] = {}
    for mark in marks:
        if isinstance(mark, Text):
            told[mark.y] = told.get(mark.y, "") + mark.text
    return list(told.values())
