"""The handout: what is worked stays word for word, numbers to look up stand out, and all has room on one sheet."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from grader.handouts import with_great_numbers
from grader.models.document import Document, Instruction, Part, Passage, SectionText, Strand, Table
from grader.models.looks import Looks
from grader.pages.pieces import Placed, Text
from grader.pipeline import Checked, Wanted, check, open_pattern
from grader.publishing import Draft, Edition, draft, make_document
from grader.vocabulary.cautions import CAUTIONS, FLOATS, in_short
from grader.write_up import boxes, line, ringed, write_up
from tests.pages.laws import broken
from tests.pages.structure import lost, told_by
from tests.publishing.making import ROOT, edition_of, made

PATTERNS = sorted(path.stem for path in (ROOT / "patterns").glob("*.yaml"))
HANDOUT = Edition(kind="handout", one_size=True)


@pytest.fixture(scope="module")
def knitted() -> Callable[[str, str], Checked]:
    """The middle size of a pattern that ships, in one setup, knitted once."""

    @cache
    def work(name: str, setup: str = "long circular (magic loop)") -> Checked:
        pattern, _ = open_pattern(str(ROOT / "patterns" / f"{name}.yaml"))
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
    drafts, text = drafted(knitted(name))
    at = 0
    for each in passages(drafts.document):
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
        each.boxes + sum(instruction.boxes for instruction in each.instructions) for each in passages(drafts.document)
    )


@pytest.mark.parametrize("name", PATTERNS)
def test_every_count_stands_after_an_em_dash(name: str, knitted: Callable[[str], Checked]) -> None:
    drafts, text = drafted(knitted(name))
    for part in drafts.document.parts:
        for section in part.sections:
            assert not section.ends_with or f" — **{section.ends_with}**" in text
    for each in passages(drafts.document):
        for instruction in each.instructions:
            assert not instruction.count or f" — **{line(instruction.count)}**" in text


def test_it_has_room_to_write_and_tools_to_cut_out(knitted: Callable[[str], Checked]) -> None:
    drafts, text = drafted(knitted("ninepenny_bridge"))
    assert "\n\nName …………………………\n\n" in text
    assert re.search(r"Cast on \*\*64\*\* sts: \*\*\d\d\*\* and \*\*\d\d\*\* sts on needles 1 and 2\.", text)
    assert "\n\n……………………\n……………………\n……………………\n\n" in text
    assert set(drafts.drawings) == {"sock-ruler.svg", "sock-window.svg"}
    for name in drafts.drawings:
        assert f"]({name})" in text
    named = write_up(replace(drafts.document, title="Socks for Ada", whose="Ada"), "handout.md.j2")
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


@pytest.mark.parametrize("name", PATTERNS)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_sock_takes_one_sheet_of_paper(name: str, paper: str, knitted: Callable[[str], Checked]) -> None:
    (sheet,) = made(knitted(name), edition_of("handout", paper), ink=False)
    assert len(sheet.laid_out.pages) <= 2
    assert broken(sheet.laid_out) == []
    body = sheet.laid_out.style.body.size
    least = min(mark.size for page in sheet.laid_out.pages for placed in page for mark in texts(placed))
    assert body >= least >= 8.5


def test_the_longest_sock_takes_one_sheet_too() -> None:
    pattern, _ = open_pattern(str(ROOT / "patterns" / "high_moor.yaml"))
    assert pattern is not None
    largest = replace(pattern, bodies=pattern.bodies[-1:])
    checked = check(largest, Wanted(("double-pointed, set of 5",), ("UK",), "both"))
    (sheet,) = made(checked, edition_of("handout", "letter"), ink=False)
    assert len(sheet.laid_out.pages) == 2


def test_a_small_paper_takes_four_pages(knitted: Callable[[str], Checked]) -> None:
    (sheet,) = made(knitted("ninepenny_bridge"), edition_of("handout", "a5"), ink=False)
    assert len(sheet.laid_out.pages) <= 4
    assert broken(sheet.laid_out) == []


@pytest.mark.parametrize("name", ["ninepenny_bridge", "first_steps"])
def test_it_says_in_print_all_that_its_markdown_says(name: str, knitted: Callable[[str], Checked]) -> None:
    (sheet,) = made(knitted(name), edition_of("handout", "a4"))
    assert lost(told_by(sheet.data), sheet.markdown, None, sheet.drawings) == []


@pytest.mark.parametrize("name", PATTERNS)
def test_large_numbers_are_the_stitches_to_have_and_the_rounds_to_work(
    name: str, knitted: Callable[[str], Checked]
) -> None:
    (sheet,) = made(knitted(name), edition_of("handout", "a4"), ink=False)
    large = [
        mark
        for page in sheet.laid_out.pages
        for placed in page
        if placed.role != "heading"
        for mark in texts(placed)
        if mark.size > sheet.laid_out.style.body.size and mark.of is not None
    ]
    assert all(14 <= mark.size <= 18 for mark in large)
    assert [mark.text.strip() for mark in large] == wanted_large(sheet.markdown)


def texts(placed: Placed) -> list[Text]:
    return [mark for mark in placed.marks if isinstance(mark, Text)]


def wanted_large(markdown: str) -> list[str]:
    """The numbers of every count and bold number of the work, and how many boxes each run has."""
    found: list[str] = []
    for row in markdown.splitlines():
        if row.startswith("☐"):
            found += row.split()[-1:]
        elif row[:1] not in "|>#":
            said = re.findall(r"\*\*([^*]+)\*\*", row)
            found += [number for each in said if not each.endswith(":") for number in re.findall(r"\d+", each)]
    return found


@pytest.mark.parametrize(
    ("label", "text", "closing", "boxes", "great"),
    [
        ("", "Cast on 68 sts: 16, 16, 20 and 16 sts on needles 1 to 4. Join in the round.", "", 0, "68 16 16 20 16"),
        ("", "Graft 4 sts to 4 sts.", "", 0, "4 4"),
        ("", "K10 to the centre of the sole: 8 sts on each of 2 needles.", "", 0, "8"),
        ("", "The tail is 25 cm / 9¾ in long, or 6 in.", "", 0, ""),
        ("Round 1", "K18, ssk, K to last 3 sts.", "", 0, ""),
        ("Every round", "K.", "Work 66 rounds, 15 cm / 6 in.", 66, ""),
        ("Round 2", "K.", "Work these two rounds 11 times in all, until 68 sts are left.", 22, "68"),
        ("Round 6", "K.", "Work these 6 rounds 4 times in all: 24 rounds.", 24, ""),
        ("Row 2", "P.", "The round starts here: needle 1 holds 28 sole sts, needle 2 holds 17 sts.", 0, "28 17"),
    ],
)
def test_great_numbers(label: str, text: str, closing: str, boxes: int, great: str) -> None:
    passage = Passage((Instruction(label, text),), closing, boxes=boxes)
    told = numbered(passage, passage)
    assert re.findall(r"\*\*(\d+)\*\*", f"{told.instructions[0].text} {told.closing}") == great.split()
    assert told.instructions[0].text.replace("**", "") == text
    assert told.closing.replace("**", "") == closing


def test_great_numbers_are_found_in_a_translation_by_the_english_ones() -> None:
    english = Passage((Instruction("", "K10 to the centre. Needle 1 holds 28 sts.", ""),), "")
    german = Passage((Instruction("", "10 M re bis zur Mitte. Auf Nd 1 liegen 28 M.", ""),), "")
    assert numbered(german, english).instructions[0].text == "10 M re bis zur Mitte. Auf Nd 1 liegen **28** M."


def numbered(passage: Passage, english: Passage) -> Passage:
    """The passage as it stands in a handout."""
    document, was = (
        Document(*("",) * 7, (), Table((), ()), (), "", (), (), (), (Part("", "", (section(each),)),), (), (), ())
        for each in (passage, english)
    )
    return passages(with_great_numbers(document, was))[0]


def section(passage: Passage) -> SectionText:
    return SectionText("Cuff", (Strand("", (passage,)),))


def test_a_sock_that_finds_no_room_is_told(knitted: Callable[[str], Checked]) -> None:
    checked = knitted("ninepenny_bridge")
    assert make_document(checked, HANDOUT, "sock").told == ()
    (told,) = make_document(checked, replace(HANDOUT, looks=Looks(larger=1.6)), "sock").told
    assert re.fullmatch(r"sock\.pdf takes \d pages: even the smallest type finds no room on 2", told)


def test_a_set_of_needles_is_named_once(knitted: Callable[[str, str], Checked]) -> None:
    _, text = drafted(knitted("ninepenny_bridge", "double-pointed, set of 5"))
    assert "**Needle setup:** a set of 5 double-pointed needles of 15 cm / 6 in." in text


def test_one_size_is_not_to_be_ringed() -> None:
    rows = (("S", "48"), ("M", "56"))
    assert "○" in ringed(Table(("Size", "Stitches"), rows))
    assert "○" not in ringed(Table(("Size", "Stitches"), rows[:1]))
