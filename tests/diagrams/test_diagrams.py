"""Drawings of the stages: their numbers are the record's, their words stand clear of one another and on the sheet."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest

from grader.diagrams import stage_diagrams
from grader.diagrams.needles import draw_needles, held_by
from grader.diagrams.rows import bars
from grader.diagrams.shape import widths
from grader.merging import Knitted
from grader.merging.documents import sketch_measures
from grader.models.diagram import StageDiagram
from grader.models.drawing import Drawing, Label
from grader.models.record import Record
from grader.pages.typefaces import REGULAR, width
from grader.pipeline import Checked, Sock, check, open_pattern

PATTERNS = sorted(path.stem for path in Path("patterns").glob("*.yaml"))
MM = 25.4 / 72


@cache
def _checked(name: str) -> Checked:
    """The smallest, a middle and the largest size of a pattern, in all setups."""
    pattern, _ = open_pattern(f"patterns/{name}.yaml")
    assert pattern is not None
    some = sorted({0, len(pattern.bodies) // 2, len(pattern.bodies) - 1})
    return check(replace(pattern, bodies=tuple(pattern.bodies[place] for place in some)))


@cache
def _drawn(name: str) -> tuple[tuple[Sock, tuple[StageDiagram, ...]], ...]:
    checked = _checked(name)
    told = []
    for sock in checked.socks:
        knitted = Knitted(sock.graded, sock.instructions, sock.record, sock.right)
        measures = sketch_measures(checked.pattern, [sock.graded], [knitted], "cm")
        lengths = {key: amount for key, (_, amount) in measures.items()}
        told.append((sock, stage_diagrams(checked.pattern, sock.records, lengths)))
    return tuple(told)


def _all() -> Iterator[tuple[str, StageDiagram]]:
    for name in PATTERNS:
        for sock, diagrams in _drawn(name):
            for each in diagrams:
                yield f"{name} {sock.graded.body.name} {sock.instructions.setup} {each.section} {each.kind}", each


def _box(label: Label) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of a label's words, in mm."""
    across = width(label.text, REGULAR, label.size) * MM
    left = label.x - {"start": 0.0, "middle": across / 2, "end": across}[label.anchor]
    return left, label.y - 0.7 * label.size * MM, left + across, label.y + 0.2 * label.size * MM


def test_words_stand_on_the_sheet_and_clear_of_one_another() -> None:
    for where, each in _all():
        drawing = each.drawing
        boxes = [(label.text, _box(label)) for label in drawing.labels]
        for text, (left, top, right, bottom) in boxes:
            assert left >= -0.1, (where, text)
            assert top >= -0.1, (where, text)
            assert right <= drawing.width_mm + 0.1, (where, text, right, drawing.width_mm)
            assert bottom <= drawing.height_mm + 0.1, (where, text)
        for (first, a), (second, b) in combinations(boxes, 2):
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (where, first, second)


def test_strokes_stay_on_the_sheet_and_sheets_on_a_small_page() -> None:
    for where, each in _all():
        drawing = each.drawing
        assert drawing.width_mm <= 118, where
        assert drawing.height_mm <= 76, where
        for stroke in drawing.strokes:
            for command, points in stroke.path:
                ends = points[-2:] if command == "C" else points
                assert -0.1 <= ends[0] <= drawing.width_mm + 0.1, (where, points)
                assert -0.1 <= ends[1] <= drawing.height_mm + 0.1, (where, points)


def test_the_words_say_every_number_that_is_shown() -> None:
    for where, each in _all():
        if each.kind in ("anatomy", "rows"):
            continue
        shown = {number for label in each.drawing.labels for number in re.findall(r"\d+", label.text)}
        assert shown <= set(re.findall(r"\d+", each.drawing.alt)), where


@pytest.mark.parametrize("name", PATTERNS)
def test_every_section_that_is_shaped_or_turned_is_drawn(name: str) -> None:
    for sock, diagrams in _drawn(name):
        drawn = {(each.section, each.kind) for each in diagrams}
        assert ("", "anatomy") in drawn
        for record in sock.records:
            for line in record.lines:
                if line.kind == "round" and line.before != line.after:
                    assert (line.section, "shape") in drawn
                if line.kind == "row" and "turn" in line.text.split():
                    assert (line.section, "rows") in drawn
        assert sum(each.kind == "needles" for each in diagrams) >= 2


def test_counts_of_the_needles_are_those_of_the_record() -> None:
    for _, diagrams in _drawn("ninepenny_bridge"):
        last = next(each for each in reversed(diagrams) if each.kind == "needles")
        counts = [int(n) for n in re.findall(r"(\d+) sts", last.drawing.alt)]
        assert sum(counts) == 2 * counts[0] or len(set(counts)) == 1
    sock, diagrams = next(
        each for each in _drawn("ninepenny_bridge") if each[0].instructions.setup == "double-pointed, set of 5"
    )
    gusset = next(each for each in diagrams if (each.section, each.kind) == ("Gusset", "needles"))
    line = [each for each in sock.record.lines if each.section == "Gusset"][-1]
    assert [int(n) for n in re.findall(r"(\d+) sts?", gusset.drawing.alt)] == list(line.needles)


def test_regions_are_shared_out_over_needles() -> None:
    assert held_by((26, 16, 16, 26), (("sole", 26), ("instep", 32), ("sole", 26))) == (
        (26, "sole"),
        (16, "instep"),
        (16, "instep"),
        (26, "sole"),
    )
    assert held_by((32, 32), (("sole", 16), ("instep", 48))) == ((32, "sole and instep"), (32, "instep"))


def test_short_rows_close_in_and_open_again() -> None:
    rows = [line for line in _record("weir_walk").lines if line.section == "Heel" and line.kind == "row"]
    found = bars(rows)
    spans = [bar.right - bar.left for bar in found]
    shortest = spans.index(min(spans))
    assert spans[0] == rows[0].before
    assert spans[: shortest + 1] == sorted(spans[: shortest + 1], reverse=True)
    assert all(bar.side == ("RS", "WS")[place % 2] for place, bar in enumerate(found))


def test_a_turned_heel_opens_until_all_stitches_are_used() -> None:
    rows = [line for line in _record("ninepenny_bridge").lines if line.section == "Heel turn"]
    found = bars(rows)
    whole = rows[0].before or 0
    assert (found[0].right, found[-1].after) == (whole, rows[-1].after)
    assert min(bar.left for bar in found) == 0
    assert max(bar.right for bar in found) == whole
    assert all(late.left <= early.left for early, late in zip(found[::2], found[2::2], strict=False))


def test_the_shape_is_as_wide_as_its_stitches() -> None:
    record = _record("ninepenny_bridge")
    toe = [line for line in record.lines if line.section == "Toe"]
    found = widths(toe)
    assert found[0][0] == toe[0].before
    assert sum(times for _, times in found) == sum(
        line.times * line.block_times for line in toe if line.kind == "round"
    )
    _, diagrams = _drawn("ninepenny_bridge")[0]
    drawing = next(each.drawing for each in diagrams if (each.section, each.kind) == ("Toe", "shape"))
    points = [point for _, point in drawing.strokes[0].path]
    top = max(x for x, _ in points) - min(x for x, _ in points)
    lowest = max(y for _, y in points)
    bottom = [x for x, y in points if math.isclose(y, lowest)]
    assert (max(bottom) - min(bottom)) / top == pytest.approx(found[-1][0] / found[0][0])


def test_two_needles_have_a_cable_only_in_a_magic_loop() -> None:
    def curves(drawing: Drawing) -> int:
        return sum(command == "C" for stroke in drawing.strokes for command, _ in stroke.path)

    assert curves(draw_needles((8, 8), (), loop=True)) == 2
    assert curves(draw_needles((8, 8), (), loop=False)) == 0


def _record(name: str) -> Record:
    return _drawn(name)[0][0].record
