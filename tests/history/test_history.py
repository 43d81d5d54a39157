"""Published socks, from the cast-on to the end: they knit up without a finding, and their own figures come out."""

from __future__ import annotations

from typing import Any

import pytest
from outside.readings import only_on, read, slack

from grader.loading import load_text
from grader.pipeline import check
from grader.setups import setup_names

from .socks import HERE, Published, knitted, socks, sources, text_of

FIGURES = [
    pytest.param(sock, name, figure, id=f"{sock.name} {name} {figure} [{sock.source}]")
    for sock in socks()
    for name, figure in sock.figures.items()
]


@pytest.mark.parametrize("sock", socks(), ids=lambda sock: f"{sock.name} [{sock.source}]")
def test_published_directions_knit_up_without_a_finding(sock: Published) -> None:
    checked = knitted(sock.name)
    assert not checked.findings
    wanted = checked.pattern.setups or setup_names()
    assert [each.record.setup for each in checked.socks] == list(wanted)
    assert len(wanted) >= 3  # the smallest go round no short circular needle
    assert all(each.record.complete and each.record.left_on_needles == 0 for each in checked.socks)


@pytest.mark.parametrize(("sock", "name", "figure"), FIGURES)
def test_a_published_figure_comes_out_of_the_knitting(sock: Published, name: str, figure: Any) -> None:
    checked = knitted(sock.name)
    compared = [each for each in checked.socks if only_on(name) in ("", each.record.setup)]
    assert compared
    for each in compared:
        found = read(name, checked, each)
        if name.endswith("_at_most"):
            assert found <= figure, each.record.setup
        elif slack(name, checked):
            assert found == pytest.approx(figure, abs=slack(name, checked)), each.record.setup
        else:
            assert found == figure, each.record.setup


def test_every_pattern_file_has_its_figures_and_every_figure_its_source() -> None:
    assert {path.stem for path in HERE.glob("*.yaml")} - {"figures", "derived"} == set(sources())
    assert all(entry["source"] and entry["status"] for entry in sources().values())


@pytest.mark.parametrize("name", ["red_cross", "field_comforts"])
@pytest.mark.parametrize(
    ("number", "moved"),
    [("cast_on", 1), ("heel", 2), ("first_plain", 1), ("second_plain", 1), ("heel_left", 2)],
)
def test_a_wrong_number_in_the_file_shows(name: str, number: str, moved: int) -> None:
    # either the directions no longer knit up, or a published figure no longer comes out
    sock = next(each for each in socks() if each.pattern == name)
    text = text_of(sock)
    right = f"  {number}: {{exactly: "
    at = text.index(right) + len(right)
    figure = text[at : text.index("}", at)]
    pattern, findings = load_text(f"{text[:at]}{int(figure) + moved}{text[at + len(figure) :]}", f"{name}.yaml")
    checked = check(pattern) if pattern else None
    told = [*findings, *(checked.findings if checked else ())]
    assert any(each.is_error for each in told) or (
        checked is not None
        and any(read(each, checked, checked.socks[0]) != wanted for each, wanted in sock.figures.items())
    )


def test_there_are_nearly_two_hundred_figures() -> None:
    assert len(FIGURES) > 190
