"""Published socks from what a knitter is told: a derived figure comes out, or the reason is on record."""

from __future__ import annotations

from collections import Counter

from .deriving import asked, compared


def test_a_derived_figure_comes_out_or_has_its_reason() -> None:
    unexplained = [
        (each.sock, each.figure, each.published, each.found)
        for each in compared()
        if each.how == "out" and not each.reason
    ]
    assert unexplained == []


def test_no_reason_stands_for_what_comes_out_everywhere() -> None:
    out = {(each.sock.rpartition("-")[0], each.figure) for each in compared() if each.how == "out"}
    reasons = {(name, figure) for name, entry in asked().items() for figure in entry["out"]}
    assert reasons <= out


def test_most_of_what_is_published_is_derived_and_little_is_typed() -> None:
    counts = Counter(each.how for each in compared())
    assert counts["typed"] < len(compared()) / 5
    assert counts["derived"] + counts["within"] > 3 * counts["typed"]
    assert counts["out"] < len(compared()) / 4
