"""Charts as drawings: squares, numbers, the repeat box, the key, and what happens on a narrow page."""

from __future__ import annotations

import itertools
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from strategies import QUICK

from grader.charting import chart_key, chart_size, draw_chart
from grader.charting.drawing import LARGE_MM, LEAST_MM, STANDARD_MM
from grader.charting.shapes import symbol_paths
from grader.models.chart import Cell, Chart
from grader.models.drawing import Drawing, Stroke
from grader.notation.chart_text import read_chart
from grader.pages import drawing_svg
from grader.vocabulary.abbreviations import abbreviation_table
from grader.vocabulary.chart_symbols import seen_from_right, symbol_for, worked_from_wrong
from grader.vocabulary.reference import read_reference
from grader.vocabulary.stitches import _TABLE, stitch_named

from .drawn import balanced, charted

LACE = ("*K1, yo, cdd, yo, K1, P1* to end", "K")


def _one(chart: Chart, **how: object) -> Drawing:
    (drawing,) = draw_chart(chart, chart_key(chart), **how)  # type: ignore[arg-type]
    return drawing


def _points(stroke: Stroke) -> list[tuple[float, float]]:
    return [point for _, flat in stroke.path for point in zip(flat[::2], flat[1::2], strict=True)]


def _levels(drawing: Drawing) -> list[float]:
    """Where the longest level lines lie, from the top."""
    lines = [(p[0][1], abs(p[0][0] - p[1][0])) for p in map(_points, drawing.strokes) if p[0][1] == p[-1][1]]
    longest = max(length for _, length in lines)
    return sorted({round(y, 3) for y, length in lines if length > longest - 0.01})


def _heavy(drawing: Drawing) -> list[Stroke]:
    return [stroke for stroke in drawing.strokes if stroke.weight > 0.5]


@QUICK
@given(balanced(symmetric=True))
def test_everything_lies_on_its_sheet(drawn: tuple[tuple[str, ...], int, int]) -> None:
    lines = drawn[0] if len(drawn[0]) % 2 == 0 else (*drawn[0], "P")
    chart = charted(*lines, rows=True)
    for drawing in draw_chart(chart, chart_key(chart), room_mm=(110, 130)):
        assert drawing.width_mm <= 110.01
        assert drawing.height_mm <= 130.01
        for stroke in drawing.strokes:
            for x, y in _points(stroke):
                assert -0.01 <= x <= drawing.width_mm + 0.01
                assert -0.01 <= y <= drawing.height_mm + 0.01
        assert all(0 <= label.x <= drawing.width_mm and 0 < label.y <= drawing.height_mm for label in drawing.labels)
        assert ET.fromstring(drawing_svg(drawing)).tag.endswith("svg")


def test_squares_are_as_large_as_asked_for() -> None:
    for size in (STANDARD_MM, LARGE_MM):
        levels = _levels(_one(charted(*LACE), size_mm=size))
        assert [round(b - a, 3) for a, b in itertools.pairwise(levels)] == [size, size]
    flat = _levels(_one(charted(*LACE), proportion=0.75))
    assert [round(b - a, 3) for a, b in itertools.pairwise(flat)] == [3.75, 3.75]


def test_rounds_are_numbered_at_the_right_from_the_bottom_up() -> None:
    drawing = _one(charted("*K1, P1* to end", "*P1, K1* to end", "*K1, P1* to end"))
    numbers = [label for label in drawing.labels if label.text.isdigit()]
    right = _points(max(_heavy(drawing), key=lambda stroke: _points(stroke)[0][0]))[0][0]
    assert [label.text for label in sorted(numbers, key=lambda label: -label.y)] == ["1", "2", "3"]
    assert all(label.x > right and label.anchor == "start" for label in numbers)


def test_wrong_side_rows_are_numbered_at_the_left() -> None:
    drawing = _one(charted("K1, *K1, P1* to last st, K1", "P", "K", "P", rows=True))
    at = {label.text: label for label in drawing.labels if label.text.isdigit()}
    assert at["1"].x == at["3"].x > at["2"].x == at["4"].x
    assert (at["1"].anchor, at["2"].anchor) == ("start", "end")


def test_the_box_stands_round_the_repeat_and_says_how_wide_it_is() -> None:
    drawing = _one(charted("P1, *2/2 LC, P2* to last st, P1", "P1, *K4, P2* to last st, P1"))
    points = [point for stroke in _heavy(drawing) for point in _points(stroke)]
    assert round(max(x for x, _ in points) - min(x for x, _ in points), 3) == 6 * STANDARD_MM
    assert round(max(y for _, y in points) - min(y for _, y in points), 3) == 2 * STANDARD_MM
    assert len(_heavy(drawing)) == 4
    assert "repeat: 6 sts" in {label.text for label in drawing.labels}


def test_a_panel_has_no_box() -> None:
    chart = charted("P2, 2/2 RC, P2", "P2, K4, P2")
    assert _heavy(_one(chart)) == []
    assert chart_size(chart)[0] == "Panel of 8 sts and 2 rounds, worked once across."


def test_no_line_of_the_grid_goes_through_a_cable() -> None:
    drawing = _one(charted("*2/2 LC, K1* to end", "K"))
    upright = [_points(stroke) for stroke in drawing.strokes if stroke.weight <= 0.1]
    upright = [each for each in upright if each[0][0] == each[1][0]]
    through = [x for (x, top), (_, bottom) in upright if bottom > 2 * STANDARD_MM and x < 5 * STANDARD_MM + 1]
    assert len(through) == 3, "the edges, and the one between the cable and the stitch before it"


def test_a_chart_too_wide_for_the_page_is_divided_and_never_too_small() -> None:
    cells = ", ".join(["K3, yo, cdd, yo, 2/2 LC"] * 8 + ["P3, yo, cdd, yo, 2/2 LC"])
    chart = charted(f"*{cells}* to end", "K")
    sheets = draw_chart(chart, chart_key(chart))
    assert len(sheets) > 1
    labels = [label.text for sheet in sheets for label in sheet.labels if label.text.startswith("square")]
    told = [tuple(int(word) for word in label.split() if word.isdigit()) for label in labels]
    assert (told[0][0], told[-1][1]) == (1, 90)
    assert all(a[1] + 1 == b[0] for a, b in itertools.pairwise(told))
    assert all(first % 10 not in (8, 9, 0) for first, _ in told), "no cable is cut"
    assert all(sheet.width_mm <= 165 for sheet in sheets)
    assert all(b - a >= LEAST_MM - 0.01 for sheet in sheets for a, b in itertools.pairwise(_levels(sheet)[:3]))
    assert all(sheet.alt.endswith(f"Part {n} of {len(sheets)}.") for n, sheet in enumerate(sheets, 1))


def test_a_chart_that_nearly_fits_shrinks() -> None:
    chart = charted(f"*{'K1, P1, ' * 19}K2* to end", "*K1, P1* to end")
    (drawing,) = draw_chart(chart, chart_key(chart))
    first, second = _levels(drawing)[:2]
    assert LEAST_MM < second - first < STANDARD_MM
    assert drawing.width_mm <= 165


def test_a_tall_chart_is_divided_into_rounds() -> None:
    chart = charted(*("*K1, P1* to end", "*P1, K1* to end") * 50)
    sheets = draw_chart(chart, chart_key(chart))
    numbers = [[int(label.text) for label in sheet.labels if label.text.isdigit()] for sheet in sheets]
    assert sorted(itertools.chain(*numbers)) == list(range(1, 101))
    assert max(numbers[0]) < min(numbers[1])
    assert all(sheet.height_mm <= 220 for sheet in sheets)


# -- the key and the symbols


def test_the_key_holds_only_what_is_used() -> None:
    key = chart_key(charted(*LACE))
    assert [(row.worked, row.name) for row in key] == [
        ("K", "knit"),
        ("P", "purl"),
        ("yo", "yarn over"),
        ("cdd", "centred double decrease"),
    ]
    assert chart_key(charted(*LACE), "US")[-1].name == "centered double decrease"
    drawing = _one(charted(*LACE))
    assert {label.text for label in drawing.labels} >= {"K: knit", "P: purl", "yo: yarn over"}


def test_the_key_says_what_a_symbol_is_on_either_side() -> None:
    chart = charted("Sl1, *K1, P1* to end", "Sl1, *K1, P1* to end", rows=True)
    key = {row.name: row.worked for row in chart_key(chart)}
    assert key == {"knit": "K (RS) or P (WS)", "purl": "P (RS) or K (WS)", "slip, yarn at wrong side": "sl"}


def test_a_stitch_without_a_symbol_is_told_by_its_letters() -> None:
    (cdd,) = [row for row in chart_key(charted("K", "*yo, cdd, yo* to end", rows=True)) if "cdd" in row.worked]
    assert cdd.worked == "cdd (WS)"
    assert "our own symbol" in cdd.name
    assert symbol_for("cdd", "WS").shape == "letters"


def test_squares_without_a_stitch_come_last_and_are_grey() -> None:
    chart = charted("*K1, kfb, K1* to end", "K", "*K1, k2tog, K1* to end")
    assert chart_key(chart)[-1].looks == "grey square"
    assert chart_key(chart, "US")[-1].looks == "gray square"
    grey = [stroke for stroke in _one(chart).strokes if stroke.shade and not stroke.weight]
    assert len(grey) == 3, "two in the chart, one in the key"


def test_a_colour_is_never_told_by_grey_alone() -> None:
    chart = charted("*K1 MC, K1 CC, K1 CC3* to end", "*k2tog CC, yo MC, K1 MC* to end")
    drawing = _one(chart)
    letters = [label.text for label in drawing.labels if label.text in ("C", "3")]
    grey = [stroke for stroke in drawing.strokes if stroke.shade]
    assert len(letters) == len(grey) == 5, "three squares and two of the key"
    assert len({stroke.shade for stroke in grey}) == 2
    told = {row.worked: (row.looks, row.name) for row in chart_key(chart)}
    assert told["MC"] == ("white square", "main colour")
    assert told["CC"] == ("grey square with C", "contrast colour")


def test_every_stitch_of_the_notation_has_a_symbol_of_its_own() -> None:
    shapes: dict[str, str] = {}
    for stitch in _TABLE:
        if stitch.name == "DS":
            continue
        symbol = symbol_for(stitch.name)
        assert symbol.shape not in ("letters", "none"), stitch.name
        assert symbol_paths(Cell(stitch.name)) or stitch.name == "k"
        assert shapes.setdefault(symbol.shape, symbol.name) == symbol.name
    assert len(shapes) >= 20


def test_symbols_lie_inside_of_their_squares() -> None:
    names = [each.name for each in _TABLE] + ["2/2 LC", "3/1 RPC", "1/2 LPC", "1/1 RC", "5/5 LC", "k tbl", "sl wyif"]
    for name in names:
        cell = Cell(name)
        points = [point for path in symbol_paths(cell) for point in _points(Stroke(path))]
        assert all(0 <= x <= cell.columns and 0 <= y <= 1 for x, y in points), name


def test_the_strands_in_front_of_a_cable_are_whole_and_lean_as_it_does() -> None:
    for name, lean in (("2/1 RC", 1), ("2/1 LC", -1)):
        ends = [_points(Stroke(path)) for path in symbol_paths(Cell(name))]
        whole = [each for each in ends if abs(each[0][1] - each[1][1]) > 0.6]
        assert len(whole) == 2
        assert all((top[0] - bottom[0]) * lean > 0 for bottom, top in whole)
        assert len(ends) - len(whole) == 2, "the strand behind is broken in two"


def test_the_symbols_of_both_sides_agree() -> None:
    """What is worked as one stitch from the wrong side and looks like another is symmetric, and both have a name."""
    rows = read_reference("chart_symbols")["rows"]
    known = abbreviation_table()
    for row in rows:
        if row["rs"] and row["ws"]:
            assert worked_from_wrong(row["rs"]) == row["ws"]
            assert seen_from_right(row["ws"]) == row["rs"]
            assert symbol_for(row["rs"]) == symbol_for(row["ws"], "WS")
        if row["rs"] and not row["rs"].startswith("("):
            assert stitch_named(row["rs"]) or row["rs"].split()[0] in known
    assert worked_from_wrong("k") == "p"
    assert worked_from_wrong("cdd") == ""


# -- what is wrong with a chart as text

WRONG = [
    (("| k yoo |",), "unknown symbol 'yoo'", 0, 4),
    (("k k", "k k k"), "this line is 2 squares wide, the lowest 3", 0, 2),
    (("k | k", "k k"), "this line has 1 of the bars that edge the repeat", 0, 0),
    (("k | k |", "| k | k"), "the bars of the repeat don't stand in the same columns as in the lowest line", 0, 0),
    (("| k | k |",), "this line has 3 of the bars that edge the repeat", 0, 2),
    (("k3 k",), "'k3' is more than one square", 0, 0),
    (("k:red",), "'red' is no colour in 'k:red'", 0, 0),
    (("k-tbll",), "unknown symbol 'k-tbll'", 0, 0),
    (("yo-tbl",), "unknown symbol 'yo-tbl'", 0, 0),
    (("DS",), "unknown symbol 'DS'", 0, 0),
    (("cdd/ws",), "'cdd/ws' stands in no wrong-side row", 0, 0),
    (("",), "this line of the chart has no stitch", 0, 0),
    (("| k yo |",), "round 1 takes 1 repeat sts, round 1 leaves 2", 0, 0),
    (("yo | k k | k", "k | k k | k"), "round 2 takes 1 sts, round 1 leaves 2", 0, 0),
]


@pytest.mark.parametrize(("lines", "message", "line", "offset"), WRONG)
def test_a_mistake_has_its_line_and_its_place(lines: tuple[str, ...], message: str, line: int, offset: int) -> None:
    chart, mistakes = read_chart("motif", "", lines)
    assert chart is None
    first = mistakes[0]
    assert (first.message, first.line, first.offset) == (message, line, offset)
    assert first.mend


def test_all_mistakes_are_told_at_once() -> None:
    _, mistakes = read_chart("motif", "", ("k yoo", "k4 k", "k k"))
    assert [(each.line, each.offset) for each in mistakes] == [(0, 2), (1, 0)]
