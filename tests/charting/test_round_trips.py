"""Lines to chart to lines, and chart to text to chart: nothing is lost, and nothing is worked otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import QUICK, lines

from grader.charting import chart, is_worth_a_chart
from grader.models.chart import Cell, Chart, ChartRow
from grader.notation import print_line
from grader.notation.chart_text import print_chart, read_chart
from grader.notation.chart_words import chart_lines

from .drawn import balanced, charted, shifted, stitch_pattern, worked

FEW = settings(QUICK, max_examples=40)  # each is drawn and read back several times over
PARTS = sorted((Path(__file__).resolve().parents[2] / "patterns" / "parts").glob("stitch-*.yaml"))


def _goes_round(made: Chart) -> None:
    """The text of a chart reads back as the chart, and its words give the words again."""
    again, mistakes = read_chart(made.name, made.label, print_chart(made), made.is_flat)
    assert mistakes == ()
    assert again == made
    lines = chart_lines(made)
    remade = chart(stitch_pattern(*lines, rows=made.is_flat))
    assert remade is not None
    assert chart_lines(remade) == lines
    assert remade.columns <= made.columns, "from its words a chart is as narrow as it can be"
    assert chart(stitch_pattern(*chart_lines(remade), rows=made.is_flat)) == remade


@FEW
@given(balanced())
def test_rounds_come_back_as_they_are_worked(drawn: tuple[tuple[str, ...], int, int]) -> None:
    lines, edges, box = drawn
    made = charted(*lines)
    _goes_round(made)
    for line, told in zip(lines, chart_lines(made), strict=True):
        for times in (1, 2, 5):
            assert worked(told, edges + times * box) == worked(line, edges + times * box)


@FEW
@given(shifted())
def test_repeats_that_begin_in_different_places_share_a_box(drawn: tuple[tuple[str, ...], int, int]) -> None:
    lines, edges, box = drawn
    made = charted(*lines)
    _goes_round(made)
    assert made.width in (1, 2, 4)
    for line, told in zip(lines, chart_lines(made), strict=True):
        for times in (3, 6):
            assert worked(told, edges + times * box) == worked(line, edges + times * box)


@FEW
@given(balanced(symmetric=True))
def test_rows_come_back_as_they_are_worked(drawn: tuple[tuple[str, ...], int, int]) -> None:
    lines, edges, box = drawn
    lines = lines if len(lines) % 2 == 0 else (*lines, "P")
    made = charted(*lines, rows=True)
    _goes_round(made)
    for line, told in zip(lines, chart_lines(made), strict=True):
        assert worked(told, edges + 3 * box) == worked(line, edges + 3 * box)


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.stem)
def test_every_stitch_pattern_that_ships_has_a_chart(part: Path) -> None:
    motif = yaml.safe_load(part.read_text(encoding="utf-8"))["stitch_patterns"]["motif"]
    if "rounds" not in motif:
        drawn, mistakes = read_chart("motif", "", motif.get("chart") or motif["chart_rows"], "chart_rows" in motif)
        assert drawn is not None, mistakes
        return
    made = charted(*motif["rounds"])
    _goes_round(made)
    counts = 0
    for stitches in range(1, 100):
        for line, told in zip(motif["rounds"], chart_lines(made), strict=True):
            try:
                expected = worked(line, stitches)
                counts += worked(told, stitches) == expected
            except ValueError:
                break
    assert counts >= len(motif["rounds"]), "no number of stitches suits both"


def test_there_are_stitch_patterns_to_try() -> None:
    assert len(PARTS) >= 8


KNOWN = [
    (("*K1, yo, cdd, yo, K1, P1* to end", "K"), ("| k k k k k k |", "| p k yo cdd yo k |"), (0, 6)),
    (("*K2, P2* to end", "K"), ("| k k k k |", "| p p k k |"), (0, 4)),
    (("P1, *2/2 LC, P2* to last st, P1", "P1, *K4, P2* to last st, P1"),
     ("p | p p k k k k | p", "p | p p 2/2LC | p"), (1, 6)),
    (("*yo, k2tog* to end", "K1, *yo, k2tog* to last st, K1"), ("k | k2tog yo | k", "k2tog | yo k2tog | yo"), (1, 2)),
    (("*K1, kfb, K1* to end", "K", "*K1, k2tog, K1* to end"),
     ("| k . k2tog k |", "| k k k k |", "| k . kfb k |"), (0, 4)),
    (("*k3tog, K2* to end", "*kyok, K2* to end"), ("| k k kyok |", "| k k k3tog |"), (0, 3)),
    (("K1, *K1 MC, K1 CC* to last st, K1", "K"), ("k | k k | k", "k | k:CC k:MC | k"), (1, 2)),
    (("P2, 2/2 RC, P2", "K"), ("k k k k k k k k", "p p 2/2RC p p"), (0, 0)),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "text", "box"), KNOWN)
def test_known_patterns_are_drawn_as_a_designer_would(
    lines: tuple[str, ...], text: tuple[str, ...], box: tuple[int, int]
) -> None:
    made = charted(*lines)
    assert tuple(" ".join(line.split()) for line in print_chart(made)) == text
    assert (made.first, made.width) == box


def test_wrong_side_rows_show_the_right_side() -> None:
    made = charted("Sl1, *K1, P1* to last st, K1", "Sl1, *K1, P1* to last st, P1", rows=True)
    text = [" ".join(line.split()) for line in print_chart(made)]
    assert text == ["sl | p k | k", "k | p k | sl"]  # worked from the left: sl, k seen as purl, p seen as knit
    assert made.rows[1].cells[0] == Cell("sl"), "the first stitch of a row back is the leftmost"
    assert made.rows[1].from_right[0] == Cell("p")


def test_a_wrong_side_row_is_read_from_its_left() -> None:
    drawn, mistakes = read_chart("motif", "", ["sl | k p | k/ws", "k | k2tog yo | sl"], flat=True)
    assert mistakes == ()
    assert drawn is not None
    assert chart_lines(drawn) == (
        "Sl1, *yo, k2tog; rep from * to last st, K1",
        "Sl1, *P1, K1; rep from * to last st, K1",
    )


def test_words_are_as_short_as_the_trade_writes_them() -> None:
    drawn, _ = read_chart("motif", "", ["k k k k k k k k", "yo k2tog yo k2tog yo k2tog p p"])
    assert drawn is not None
    assert chart_lines(drawn) == ("P2, (k2tog, yo) 3 times", "K8")


def test_the_designers_squares_without_a_stitch_stay_where_they_are() -> None:
    text = ("| k k . k2tog |", "| k k k k |", "| . k kfb k |")
    made = chart(stitch_pattern("K", "K", "K", chart=text))
    assert made is not None
    assert [" ".join(line.split()) for line in print_chart(made)] == list(text)
    assert made.rows[0] == ChartRow((Cell("k"), Cell("kfb"), Cell("k"), Cell()))


NONE = [
    ("K{heel}",),
    ("K1, turn",),
    ("K to marker", "K"),
    ("*K2, P2* to end", "*K1, yo* to end"),
    ("*2/2 LC* to end", "K1, *2/2 LC* to last 3 sts, K3"),
    ("K5", "K6"),
    ("*K1, P1* to last 2 sts, DS, K1",),
    ("*K199, P1* to end", "*K197, P1* to end"),
    ("Needle 1: K. Needle 2: P",),
]


@pytest.mark.parametrize("lines", NONE)
def test_what_no_chart_can_show_has_none(lines: tuple[str, ...]) -> None:
    assert chart(stitch_pattern(*lines)) is None


@pytest.mark.parametrize(
    ("lines", "rows", "worth"),
    [
        (("*K2, P2* to end",), False, False),
        (("K",), False, False),
        (("K", "P"), False, False),
        (("*K1 tbl, P1* to end",), False, True),
        (("*K1, P1* to end", "*P1, K1* to end"), False, True),
        (("*Sl1, K1* to end", "Sl1, P to end"), True, False),
        (("*Sl1, K1* to end", "Sl1, P to end", "K1, *Sl1, K1* to last st, K1", "P"), True, True),
        (("K in MC", "K in CC"), False, True),
    ],
)
def test_only_what_words_tell_badly_is_worth_a_chart(lines: tuple[str, ...], rows: bool, worth: bool) -> None:
    assert is_worth_a_chart(charted(*lines, rows=rows)) is worth


@FEW
@given(st.lists(lines.map(print_line), min_size=1, max_size=3), st.booleans())
def test_any_lines_give_a_chart_or_none(texts: list[str], rows: bool) -> None:
    """Whatever a line may say, a chart of it works the same, and where there can be none that is no mistake."""
    made = chart(stitch_pattern(*texts, rows=rows))
    if made is not None:
        _goes_round(made)


@QUICK
@given(st.lists(st.text("k p.|:-/CyoM2L3\t", max_size=24), min_size=1, max_size=4), st.booleans())
def test_any_text_is_a_chart_or_has_mistakes(texts: list[str], flat: bool) -> None:
    made, mistakes = read_chart("motif", "", texts, flat)
    assert (made is None) == bool(mistakes)
    for mistake in mistakes:
        assert mistake.mend
        assert 0 <= mistake.line < len(texts)
        assert 0 <= mistake.offset <= len(texts[mistake.line])
    if made is not None:
        assert read_chart("motif", "", print_chart(made), flat) == (made, ())
