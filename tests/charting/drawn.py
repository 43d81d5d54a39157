"""Stitch patterns for the chart tests, and what their lines work, stitch by stitch."""

from __future__ import annotations

from hypothesis import strategies as st

from grader.charting import chart
from grader.models.chart import Chart
from grader.models.pattern import StitchPattern, Written
from grader.notation import read_line
from grader.notation.counting import resolve
from grader.notation.tree import Group, Item, Op, Repeat, Round
from grader.vocabulary.findings import Span

_HERE = Span("test.yaml", 1, 1)
Ops = tuple[tuple[str, str, str], ...]


def stitch_pattern(*lines: str, rows: bool = False, chart: tuple[str, ...] = ()) -> StitchPattern:
    """A stitch pattern of these rounds, or of these rows from the right side on."""
    written = tuple(Written(line, _HERE) for line in lines)
    drawn = tuple(Written(line, _HERE) for line in chart)
    return StitchPattern("motif", () if rows else written, written if rows else (), "motif", _HERE, drawn)


def charted(*lines: str, rows: bool = False) -> Chart:
    """The chart of these lines, which there must be."""
    made = chart(stitch_pattern(*lines, rows=rows))
    assert made is not None, lines
    return made


def worked(text: str, stitches: int) -> Ops:
    """What a line works over so many stitches, one operation after the other: its name, its manner, its colour."""
    statement = read_line(text)
    assert isinstance(statement, Round)
    (part,) = statement.parts
    return tuple(op for stretch in resolve(part.line, stitches) for op in _ops(stretch.item))


def _ops(item: Item) -> list[tuple[str, str, str]]:
    if isinstance(item, Op):
        assert isinstance(item.count, int)
        return [(item.name, item.manner, item.colour)] * item.count
    assert isinstance(item, Group | Repeat)
    assert isinstance(item.times, int)
    return [op for inner in item.items for op in _ops(inner)] * item.times


# -- stitch patterns by chance: what a bundle takes it leaves, so that all rounds go on from one another

_BUNDLES: dict[int, tuple[str, ...]] = {
    1: ("K1", "P1", "Sl1 wyif", "K1 tbl", "Sl1"),
    2: ("yo, k2tog", "ssk, yo", "p2tog, yo", "1/1 RC", "K1 MC, K1 CC", "m1L, k2tog"),
    3: ("yo, cdd, yo", "kfb, k2tog", "2/1 LPC", "sssk, yo, yo", "K3 CC2", "k2tog, kfb"),
    4: ("2/2 LC", "kyok, k3tog", "(k1, p1, k1) into one, sk2p", "pfb, ssp, P1"),
}


@st.composite
def _stretch(draw: st.DrawFn, width: int) -> str:
    parts = []
    left = width
    while left:
        size = draw(st.integers(1, min(4, left)))
        parts.append(draw(st.sampled_from(_BUNDLES[size])))
        left -= size
    return ", ".join(parts)


@st.composite
def balanced(draw: st.DrawFn, symmetric: bool = False) -> tuple[tuple[str, ...], int, int]:
    """Rounds with one box and the same edges in all, the stitches of their edges and of their box.

    Where they are to be rows, the two edges are equally wide.
    """
    box, before, after = draw(st.integers(1, 9)), draw(st.integers(0, 3)), draw(st.integers(0, 3))
    after = before if symmetric else after
    lines = []
    for _ in range(draw(st.integers(1, 6))):
        own = draw(st.sampled_from([each for each in range(1, box + 1) if box % each == 0]))
        first = f"{draw(_stretch(before))}, " if before else ""
        reach = f"to last {after} sts" if after else "to end"
        last = f", {draw(_stretch(after))}" if after else ""
        lines.append(f"{first}*{draw(_stretch(own))}* {reach}{last}")
    return tuple(lines), before + after, box


@st.composite
def shifted(draw: st.DrawFn) -> tuple[tuple[str, ...], int, int]:
    """Rounds of single stitches and pairs whose repeats begin in different places, as in a lace that leans."""
    edges = draw(st.integers(0, 4))
    lines = []
    for _ in range(draw(st.integers(1, 5))):
        before = draw(st.integers(0, edges))
        first = f"{draw(_stretch_of(before, 1))}, " if before else ""
        reach = f"to last {edges - before} sts" if edges - before else "to end"
        last = f", {draw(_stretch_of(edges - before, 1))}" if edges - before else ""
        lines.append(f"{first}*{draw(_stretch_of(draw(st.sampled_from((2, 4))), 2))}* {reach}{last}")
    return tuple(lines), edges, 4


@st.composite
def _stretch_of(draw: st.DrawFn, width: int, most: int) -> str:
    parts = []
    left = width
    while left:
        size = draw(st.integers(1, min(most, left)))
        parts.append(draw(st.sampled_from(("K1", "P1") if size == 1 else ("yo, k2tog", "ssk, yo"))))
        left -= size
    return ", ".join(parts)
