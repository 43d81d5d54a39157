"""The handout: what is worked stays word for word, and the sock takes no more than a sheet of paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from grader.models.document import Document, Passage
from grader.pages.setting import lay_out
from grader.pipeline import Checked, Wanted, check, open_pattern
from grader.publishing import Draft, Edition, draft
from grader.vocabulary.cautions import CAUTIONS, FLOATS, in_short
from grader.write_up import boxes, line, write_up

PATTERNS = sorted(path.stem for path in (Path(__file__).resolve().parents[2] / "patterns").glob("*.yaml"))
HANDOUT = Edition(kind="handout", one_size=True)


@pytest.fixture(scope="module")
def knitted() -> Callable[[str, str], Checked]:
    """The middle size of a pattern that ships, in one setup, knitted once."""

    @cache
    def work(name: str, setup: str = "long circular (magic loop)") -> Checked:
        pattern, _ = open_pattern(str(Path(__file__).resolve().parents[2] / "patterns" / f"{name}.yaml"))
        assert pattern is not None
        middle = pattern.bodies[len(pattern.bodies) // 2]
        checked = check(replace(pattern, bodies=(middle,)), Wanted((setup,), ("UK",), "both"))
        assert checked.is_sound
        return checked

    return work


def drafted(checked: Checked) -> tuple[Draft, str]:
    made = draft(checked, HANDOUT, "sock", "sock")
    return made, write_up(made.document, "handout.md.j2")


def passages(document: Document) -> list[Passage]:
    return [
        passage
        for part in document.parts
        for section in part.sections
        for strand in section.strands
        for passage in strand.passages
    ]


@pytest.mark.parametrize("name", PATTERNS)
def test_every_line_that_is_worked_stands_in_it_in_order(name: str, knitted: Callable[[str], Checked]) -> None:
    made, text = drafted(knitted(name))
    at = 0
    for each in passages(made.document):
        for told in (*(line(instruction.text) for instruction in each.instructions), line(each.closing)):
            found = text.find(told, at)
            assert found >= 0, f"{told!r} is missing, or stands before what comes before it"
            at = found
        for number in (*(instruction.boxes for instruction in each.instructions), each.boxes):
            assert not number or f"\n\n{boxes(number)}\n\n" in text
        assert line(each.say) in text
        assert line(each.check) in text
        assert not each.why or line(each.why) not in text
    assert text.count("☐") == sum(
        each.boxes + sum(instruction.boxes for instruction in each.instructions) for each in passages(made.document)
    )


@pytest.mark.parametrize("name", PATTERNS)
def test_every_count_stands_after_an_em_dash(name: str, knitted: Callable[[str], Checked]) -> None:
    made, text = drafted(knitted(name))
    for part in made.document.parts:
        for section in part.sections:
            assert not section.ends_with or f" — **{section.ends_with}**" in text
    for each in passages(made.document):
        for instruction in each.instructions:
            assert not instruction.count or f" — **{line(instruction.count)}**" in text


def test_it_has_room_to_write_and_tools_to_cut_out(knitted: Callable[[str], Checked]) -> None:
    made, text = drafted(knitted("ninepenny_bridge"))
    assert "\nName ……………………\n" in text
    assert "\n\n……………………\n\n" in text
    assert set(made.drawings) == {"sock-ruler.svg", "sock-window.svg"}
    for name in made.drawings:
        assert f"]({name})" in text
    named = write_up(replace(made.document, title="Socks for Ada"), "handout.md.j2")
    assert "\nName " not in named


def test_it_has_no_techniques_no_reasons_and_only_words_that_a_class_lacks(knitted: Callable[[str], Checked]) -> None:
    _, text = drafted(knitted("ninepenny_bridge"))
    for absent in ("Techniques", "**Why:**", "**K, k:**", "**st(s):**", "**rep:**", "| Skill level"):
        assert absent not in text
    assert "**ssk:** slip 2 stitches knitwise" in text


def test_cautions_are_in_one_line_each() -> None:
    short = in_short((*CAUTIONS, *FLOATS))
    assert len(short) == len(CAUTIONS) + len(FLOATS)
    assert all(len(each) <= 110 for each in short)
    assert "ask a doctor or podiatrist first" in short[2]
    assert in_short(("My own.",)) == ("My own.",)


def pages(checked: Checked) -> tuple[int, int]:
    """The pages of the sock, and those of what is kept and cut out after it."""
    made, text = drafted(checked)
    laid_out = lay_out(text, style="handout", drawings=made.drawings).pages
    heads = [number for number, page in enumerate(laid_out) for each in page if each.bookmark and each.bookmark[0] == 1]
    return heads[1], len(laid_out) - heads[1]


def test_a_plain_sock_takes_one_sheet_and_its_tools_another(knitted: Callable[[str], Checked]) -> None:
    assert pages(knitted("ninepenny_bridge")) == (2, 1)
