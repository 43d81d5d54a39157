"""What a document of the pattern that ships must hold, and must not."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import replace

import markdown
import pytest
from written import markdown_of

from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check
from grader.publishing import Edition
from grader.vocabulary.abbreviations import abbreviation_table

from .unmerging import ALL_SETUPS, BRACKET, LETTER, SETUPS

WORDS = {
    "short circular": r"short circular|marker",
    "long circular (magic loop)": r"long circular|magic loop|needles 1 and 2\b",
    "double-pointed, set of 5": r"set of 5|needle 4|4 needles",
    "double-pointed, set of 4": r"set of 4",
}
MAY = {"short circular": {"set of 5", "needle 4", "4 needles"}}  # the toe of a short circular is worked on a set of 5
Make = Callable[..., dict[str, bytes]]


def _one(checked: Checked, size: str, setup: str) -> Checked:
    return replace(
        checked,
        sizes=tuple(graded for graded in checked.sizes if graded.body.name == size),
        socks=tuple(
            sock for sock in checked.socks if sock.graded.body.name == size and sock.instructions.setup == setup
        ),
    )


def _printed(checked: Checked, **how: object) -> str:
    return markdown_of(checked, Edition(**how))  # type: ignore[arg-type]


def _instructions(text: str) -> str:
    return text.split("\n## Techniques\n")[1].split("\n## ", 1)[1].split("\n## Finishing\n")[0]


ONES = [
    ("3", "double-pointed, set of 4"),
    ("6", "short circular"),
    ("9", "long circular (magic loop)"),
    ("12", "double-pointed, set of 5"),
    ("10", "short circular"),
    ("1", "double-pointed, set of 5"),
]


@pytest.mark.parametrize(("size", "setup"), ONES)
def test_one_knitter_reads_of_no_other_size_and_no_other_setup(
    size: str, setup: str, knitted: Callable[..., Checked]
) -> None:
    text = _printed(_one(knitted(14), size, setup), one_size=True)
    body = _instructions(text)
    assert not BRACKET.search(text)
    assert not LETTER.search(body)
    assert "–" not in body
    assert not re.search(r"\bsizes?\b [\d,]", body, re.IGNORECASE)
    assert "All setups" not in body
    assert "All sizes" not in body
    assert "○" not in text
    for other, words in WORDS.items():
        found = {word.lower() for word in re.findall(words, text, re.IGNORECASE)} - MAY.get(setup, set())
        assert bool(found) == (other == setup), (other, found)


@pytest.mark.parametrize(("size", "setup"), ONES)
def test_nouns_agree_with_their_numbers(size: str, setup: str, knitted: Callable[..., Checked]) -> None:
    body = _instructions(_printed(_one(knitted(14), size, setup), one_size=True))
    counted = re.findall(r"(?<![\d.])(\d+) (sts?|rounds?|rows?|times?|stitch(?:es)?|chains?)\b", body)
    assert len(counted) > 20
    assert not [(number, noun) for number, noun in counted if (number == "1") == (noun.endswith("s"))]


@pytest.mark.parametrize(("size", "setup"), ONES)
def test_there_is_a_box_for_each_round_of_a_repeat(size: str, setup: str, knitted: Callable[..., Checked]) -> None:
    checked = _one(knitted(14), size, setup)
    text = _printed(checked, one_size=True)
    (sock,) = checked.socks
    repeated = sum(
        block.times * len(block.lines)
        for section in sock.instructions.sections
        for block in section.blocks
        if block.times > 1
    )
    assert text.count("☐") == repeated
    for row in text.splitlines():
        if row.startswith("☐"):
            assert row.count("☐") == int(row.split()[-1])


@pytest.mark.parametrize(("size", "setup"), ONES)
def test_rounds_and_rows_are_numbered_from_one_in_each_section(
    size: str, setup: str, knitted: Callable[..., Checked]
) -> None:
    body = _instructions(_printed(_one(knitted(14), size, setup), one_size=True))
    numbered = 0
    for section in f"## {body}".split("\n## "):
        numbers = [int(number) for number in re.findall(r"^- \*\*(?:Round|Row) (\d+)\b", section, re.M)]
        assert numbers == list(range(1, len(numbers) + 1))
        numbered += len(numbers)
    assert numbered >= 8


@pytest.mark.parametrize("how", [{}, {"arrangement": "by-setup"}])
@pytest.mark.parametrize("count", [6, 14])
def test_what_is_bold_in_the_markdown_is_bold_on_the_page(
    count: int, how: dict[str, str], knitted: Callable[..., Checked]
) -> None:
    """No star is left over, and none but those of repeats reaches the reader."""
    text = _printed(knitted(count), **how)
    assert "****" not in text
    page = html.unescape(markdown.markdown(text, extensions=["tables"]))
    assert page.count("<strong>") == text.count("**") // 2
    assert page.count("*") == text.count("\\*")
    assert "<em>" not in page


def test_a_document_takes_the_socks_of_its_own_terms(ninepenny: Pattern, made: Make) -> None:
    both = check(replace(ninepenny, bodies=ninepenny.bodies[6:8]), Wanted((), ("UK", "US"), "both"))
    for terms in ("UK", "US"):
        alone = check(both.pattern, Wanted((), (terms,), "both"))
        assert made(both, Edition(terms)) == made(alone, Edition(terms))


@pytest.mark.parametrize("count", [2, 6, 8])
def test_each_bracket_has_a_number_for_each_size(count: int, knitted: Callable[..., Checked]) -> None:
    text = _printed(knitted(count, first=3))
    brackets = BRACKET.findall(text)
    assert len(brackets) > 50
    assert {len(rest.split(", ")) + 1 for _, rest in brackets} == {count}
    assert not LETTER.search(_instructions(text))


def test_with_more_sizes_each_letter_stands_in_the_table_of_its_section(knitted: Callable[..., Checked]) -> None:
    """And the table holds no letter that the section doesn't use; a letter means the same in every section."""
    body = _instructions(_printed(knitted(14)))
    assert not BRACKET.search(body)
    meaning: dict[str, str] = {}
    for section in f"## {body}".split("\n## "):
        rows = dict(re.findall(r"^\| \*\*([A-Z]+(?: cm| in)?)\*\* +\| (.*) \|$", section, re.M))
        text = re.sub(r"^\|.*$", "", section, flags=re.M)
        assert {found[0] for found in LETTER.findall(text)} == {name.split()[0] for name in rows}
        for name, row in rows.items():
            numbers = " ".join(row.split())
            assert meaning.setdefault(name, numbers) == numbers or "–" in numbers + meaning[name]
    assert len(meaning) > 20


@pytest.mark.parametrize("terms", ["UK", "US"])
@pytest.mark.parametrize("setup", [*WORDS, None])
def test_the_abbreviations_are_those_of_the_lines(
    setup: str | None, terms: str, knitted: Callable[..., Checked]
) -> None:
    checked = knitted(4, terms=terms, first=4)
    if setup:
        checked = replace(checked, socks=tuple(sock for sock in checked.socks if sock.instructions.setup == setup))
    text = _printed(checked, terms=terms)
    lines = [
        line
        for sock in checked.socks
        for section in sock.instructions.sections
        for block in section.blocks
        for line in block.lines
    ]
    work = "\n".join(line.text for line in lines)
    patterns = {name: rf"(?i)(?<![a-z0-9]){re.escape(name)}(?![a-z0-9])" for name in abbreviation_table(terms)}
    patterns |= {
        "k": r"\bK\d*\b",
        "p": r"\bP\d*\b",
        "sl": r"\b[Ss]l\d",
        "*": r"\*",
        "( )": r"\) \d+ times",
        "st(s)": r"\bsts?\b",
        "patt(s)": r"\bpatts?\b",
    }
    used = {name for name, pattern in patterns.items() if re.search(pattern, work)}
    used |= {line.side for line in lines if line.side}
    table = text.split("\n## Abbreviations\n")[1].split("\n## ")[0]
    listed = [row.split("|")[1].strip().replace("\\", "") for row in table.strip().splitlines()[2:]]
    assert {name.split(", ")[-1] if name in ("K, k", "P, p") else name for name in listed} == used
    assert len(listed) == len(set(listed))


def test_everything_to_have_at_hand_is_listed(knitted: Callable[..., Checked]) -> None:
    checked = knitted(6)
    materials = _printed(checked).split("\n## Materials\n")[1].split("\n## ")[0]
    for setup in {sock.instructions.setup for sock in checked.socks}:
        assert f"- Needles for {setup}: " in materials
    for notion in checked.pattern.notions:
        assert f"- {notion.text}" in materials
    assert "2.5 mm (US 1.5)" in materials
    assert "marker" in materials
    alone = _printed(_one(knitted(14), "9", "long circular (magic loop)"), one_size=True)
    assert "marker" not in alone.split("\n## Materials\n")[1]


def test_setups_stand_apart_where_they_differ_and_together_where_they_agree(knitted: Callable[..., Checked]) -> None:
    body = _instructions(_printed(knitted(6)))
    headed = 0
    for section in f"## {body}".split("\n## "):
        pieces = re.split(r"\n### (.*)\n", section)
        strands = dict(zip(pieces[1::2], pieces[2::2], strict=True))
        for heading in pieces[1::2]:
            assert heading in (*SETUPS, ALL_SETUPS)
        own = [strands[setup] for setup in SETUPS if setup in strands]
        assert len(own) in (0, 4)
        if own:
            headed += 1
            assert len(set(own)) > 1
            order = [heading for heading in pieces[1::2] if heading != ALL_SETUPS]
            assert order[:4] == list(SETUPS)
    assert 3 <= headed <= 5
    assert body.count(r"\*K2, P2; rep from \* to end.") == 1
    by_setup = _printed(knitted(6), arrangement="by-setup")
    assert by_setup.count(r"\*K2, P2; rep from \* to end.") == 4
    assert "All setups" not in by_setup
