"""A sock that is shaped for the calf says in its size table which calf it is for, and how wide it comes out there."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from constructions.socks import CONSTRUCTIONS, checked_text
from parts.combining import pattern_of
from shipped import NAMES, pattern_named

from grader.inspection import Run, inspect
from grader.models.edition import EDITIONS
from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check, grade_all
from grader.publishing import Edition, make_document
from grader.reporting import print_sizes

LOOP = Wanted(("long circular (magic loop)",))
SHAPED = ("high_moor", "calf")


def checked_of(name: str, size: int = 1) -> Checked:
    """One size of a pattern that ships, or of one put together of parts."""
    if name in CONSTRUCTIONS:
        return checked_text(pattern_of(CONSTRUCTIONS[name]), setups=LOOP.setups)
    pattern = pattern_named(name)
    return check(replace(pattern, bodies=pattern.bodies[size : size + 1]), LOOP)


def goes_by_the_calf(pattern: Pattern) -> bool:
    return any("calf" in rule.target.names for rule in pattern.rules)


@pytest.mark.parametrize("name", [*NAMES, *CONSTRUCTIONS])
def test_whoever_asks_for_the_calf_states_it(name: str) -> None:
    checked = checked_of(name)
    assert "calf-not-stated" not in {each.code for each in checked.findings}
    assert all(("calf" in sock.graded.finished) == goes_by_the_calf(checked.pattern) for sock in checked.socks)
    assert (name in SHAPED) == goes_by_the_calf(checked.pattern)


@pytest.mark.parametrize("one_size", [False, True])
@pytest.mark.parametrize("kind", [name for name, each in EDITIONS.items() if not each.taught])
def test_every_edition_with_a_size_table_has_the_calf(kind: str, one_size: bool) -> None:
    checked = checked_of("high_moor")
    (graded,) = checked.sizes
    made = make_document(checked, Edition(units="cm", kind=kind, one_size=one_size), "sock").files
    text = next(made[f"sock{end}"] for end in (".md", ".txt", ".html", ".epub") if f"sock{end}" in made)
    if kind == "epub":
        assert "calf" in graded.finished  # its chapters are packed; the same table as the page's
        return
    words = re.sub(r"<[^>]*>|[|\s]+", " ", text.decode())
    assert "Calf round" in words
    assert "Sock calf" in words
    assert "35½" in words or "35.5" in words  # the calf of size S, and its sock
    assert "33" in words


def test_the_table_has_what_is_knitted() -> None:
    """Size S casts on 92 stitches at 28 to 10 cm: 32.9 cm; the bare calf of the chart is 35.5 cm."""
    pattern = pattern_named("high_moor")
    text = print_sizes(pattern, grade_all(pattern)[0])
    heads, row = text.splitlines()[0], text.splitlines()[2]
    assert row[heads.index("calf round") :].split()[:2] == ["35.5", "cm"]
    assert row[heads.index("sock calf") :].split()[:2] == ["33", "cm"]


def test_a_table_that_says_nothing_of_the_calf_is_remarked_on() -> None:
    pattern = pattern_named("high_moor")
    finished = tuple(each for each in pattern.finished if each.measure != "calf")
    silent = replace(pattern, bodies=pattern.bodies[:1], finished=finished, samples=())
    (found,) = check(silent, LOOP).findings
    assert (found.code, found.is_error) == ("calf-not-stated", False)
    assert found.message.startswith("top goes by the calf")


def test_the_calf_is_measured_where_the_leg_is_widest() -> None:
    """Of the leg as it is knitted: a tenth more in the table is an error, with what was knitted."""
    checked = checked_of("high_moor")
    (sock,) = checked.socks
    wrong = replace(sock.graded, finished={**sock.graded.finished, "calf": Fraction(36)})
    (found,) = inspect(checked.pattern, [Run(wrong, sock.record)])
    assert (found.code, found.expected, found.found) == ("measure", "36.00 cm", "32.86 cm")
