"""One thing changed at a time: what the errata sheet says of it, to the letter."""

from __future__ import annotations

import re
from functools import cache

import pytest

from grader.comparing import changelog_entry, compare_patterns, write_errata
from grader.loading import load_text
from grader.models.errata import Errata
from grader.publishing import Edition, draft
from grader.vocabulary.size_charts import read_chart
from grader.write_up import write_up

from .conftest import ROOT, Change, Version

NEXT: Change = ('version: "1.0"\ndate: "2026-11-25"', 'version: "1.1"\ndate: "2026-12-01"')
TOE = 'instep: "K1, ssk, K to last 3 sts, k2tog, K1", sole: "K1, ssk, K to last 3 sts, k2tog, K1"'
SWAPPED: Change = (TOE, TOE.replace("ssk", "XX", 1).replace("k2tog", "ssk", 1).replace("XX", "k2tog", 1))
RULE: Change = ("nearest: leg_length / 5", "nearest: leg_length / 4")
LEG = '  - name: Leg\n    steps:\n      - rounds: "K"\n'
LIMITED: Change = (LEG, LEG.replace('- rounds: "K"', '- round: "K"\n        when: cast_on > 50\n      - rounds: "K"'))
INSERTED: Change = ("  - name: Leg\n", '  - name: Band\n    steps:\n      - round: "K"\n  - name: Leg\n')
REMOVED: Change = ('choose: ["4", "8"]', 'choose: ["8"]')
PROSE: Change = ("The count is back to what you cast on.", "The count is back to {cast_on}.")
RENAMED: Change = ("  - name: Heel turn\n", "  - name: Turning the heel\n")
CHANGES = {
    "swapped": SWAPPED,
    "rule": RULE,
    "limited": LIMITED,
    "inserted": INSERTED,
    "removed": REMOVED,
    "prose": PROSE,
    "renamed": RENAMED,
    "version": NEXT,
}


@cache
def compared(version: Version, *changes: Change) -> Errata:
    return compare_patterns(version(), version(*changes), "UK", "cm")


def body(errata: Errata) -> str:
    """The sheet without its head and its changelog entry."""
    text = write_errata(errata, entry=False)
    return text[text.index("\n**") :].strip() + "\n"


def test_a_swapped_decrease(version: Version) -> None:
    assert body(compared(version, SWAPPED)) == (
        "**All sizes knit differently.**\n\n"
        "Mark these in your copy. Figures in brackets are those of the sizes named, in their order.\n\n"
        "## Toe\n\n"
        "- **Round 1:** All sizes, long circular (magic loop)  \n"
        "  instead of: Each needle: K1, ssk, K to last 3 sts, k2tog, K1  \n"
        "  read: **Needle 1 (instep): K1, k2tog, K to last 3 sts, ssk, K1."
        " Needle 2 (sole): K1, ssk, K to last 3 sts, k2tog, K1**\n\n"
        "- **Round 1:** All sizes, double-pointed, set of 5  \n"
        "  instead of: Needles 1 and 3: K to last 3 sts, k2tog, K1. Needles 2 and 4: K1, ssk, K to end  \n"
        "  read: **Needle 1: K to last 3 sts, k2tog, K1. Needle 2: K1, k2tog, K to end."
        " Needle 3: K to last 3 sts, ssk, K1. Needle 4: K1, ssk, K to end**\n"
    )


def test_a_step_for_some_sizes_is_one_correction_and_moves_nothing_else(version: Version) -> None:
    errata = compared(version, LIMITED)
    assert body(errata).startswith("**Size 8 knits differently; all other sizes knit the same stitches.**")
    told = [(each.sort, each.place, each.before, each.after, each.sizes) for each in errata.corrections]
    leg = [each for each in told if each[0] != "fact"]
    assert ("line", "At the beginning", "", "K", ("8",)) in leg
    assert {each[0] for each in leg} == {"line", "takes"}


def test_a_rule_for_all_sizes_is_told_once_with_every_size_in_brackets(version: Version) -> None:
    errata = compared(version, RULE)
    often = [each for each in errata.corrections if each.sort == "often"]
    assert [each.section for each in often] == ["Cuff", "Leg"]
    assert re.fullmatch(r"Work \d+ \(\d+\) rounds, [\d.]+ \([\d.]+\) cm\.", often[0].after)
    assert all(not each.sizes and not each.setups for each in often)
    assert [each.sort for each in errata.corrections if each.section == "Cuff"] == ["takes", "often"]


def test_an_inserted_section_gives_its_lines_and_leaves_the_others_alone(version: Version) -> None:
    errata = compared(version, INSERTED)
    assert errata.notices[-1] == "A new section, “Band”, stands after “Cuff”; its lines are given below."
    assert {each.section for each in errata.corrections if each.sort != "fact"} == {"Band"}
    assert "- **Round 1:** All sizes, all setups  \n  add: **K**\n" in body(errata)


def test_a_removed_size_is_a_notice_and_no_sock_changes(version: Version) -> None:
    errata = compared(version, REMOVED)
    assert errata.notices == ("Size 4 is no longer there.",)
    assert not errata.touched
    assert {each.sort for each in errata.corrections} <= {"fact"}


def test_prose_changes_words_only(version: Version) -> None:
    errata = compared(version, PROSE)
    assert body(errata) == (
        "**Every size knits the same stitches as before; only words and figures changed.**\n\n"
        "Mark these in your copy. Figures in brackets are those of the sizes named, in their order.\n\n"
        "## Gusset\n\n"
        "- **Round 2:** “Check”: all sizes, all setups  \n"
        "  instead of: The count is back to what you cast on  \n"
        "  read: **The count is back to 48 (64)**\n"
    )


def test_a_renamed_section_is_told_and_not_taken_for_another(version: Version) -> None:
    errata = compared(version, RENAMED)
    assert errata.notices == ("The section “Heel turn” is now called “Turning the heel”.",)
    assert not errata.corrections
    assert not errata.touched


def test_a_new_version_alone(version: Version) -> None:
    errata = compared(version, NEXT)
    assert not errata.is_empty
    assert write_errata(errata, entry=False) == (
        "# Errata: Ninepenny Bridge plain socks\n\n"
        "From version 1.0, 2026-11-25 to version 1.1, 2026-12-01. UK terms.\n\n"
        "**Every size knits the same stitches as before.**\n"
    )


def test_other_words_for_the_same_stitches_touch_no_size(version: Version) -> None:
    errata = compared(version, (LEG, LEG.replace('"K"', '"*K2* to end"')))
    assert [(each.section, each.place, each.before) for each in errata.corrections] == [("Leg", "Every round", "K")]
    assert not errata.touched


def test_a_size_of_another_name_is_still_compared(version: Version) -> None:
    own = "sizes: {own: [{name: %s, foot_circumference: 22 cm, foot_length: 24 cm, leg_length: 18 cm}]}"
    old, new = (('sizes: {chart: all-feet, choose: ["4", "8"]}', own % name) for name in ("M", "Medium"))
    errata = compare_patterns(version(old), version(new, SWAPPED), "UK", "cm")
    assert errata.notices == ("Size M is now called Medium.",)
    assert [each.sizes for each in errata.touched] == [("Medium",)]
    assert [each.section for each in errata.corrections] == ["Toe", "Toe"]


def test_more_sizes_than_a_bracket_holds_have_a_table(version: Version) -> None:
    all_feet = (
        ', choose: ["4", "8"]}\nsetups: [long circular, double-pointed set of 5]',
        "}\nsetups: [long circular]",
    )
    gone = ("long chain stitches", "chain stitches")
    errata = compare_patterns(version(all_feet), version(all_feet, RULE, gone), "UK", "cm")
    often = next(each for each in errata.corrections if each.sort == "often" and each.section == "Cuff")
    assert often.numbers is not None
    # a quarter of the leg of size 1, 9 cm, is 2 cm to the half, as a fifth is
    assert often.numbers.heads == ("Size", *(str(number) for number in range(2, 15)))
    assert {row[0] for row in often.numbers.rows} == set(re.findall(r"\*\*([A-Z]+)\*\*", often.before + often.after))
    check = next(each for each in errata.corrections if each.sort == "check" and each.section == "Heel flap")
    assert check.before == "Along each edge of the flap there are … long chain stitches."
    assert check.numbers is None


def test_facts_are_told_with_both_readings(version: Version) -> None:
    errata = compared(version, ("metres: 420", "metres: 400"))
    yarn = next(each for each in errata.corrections if each.place == "Yarn")
    assert (yarn.section, "420 m" in yarn.before, "400 m" in yarn.after) == ("At a glance", True, True)
    assert not errata.touched
    assert not [each for each in errata.corrections if each.section == "Materials"]  # the same again in other words


def test_a_version_with_mistakes_is_compared_as_far_as_it_goes(version: Version) -> None:
    errata = compared(version, ("exactly: heel_rows / 2 + 1", "exactly: heel_rows / 2 + 2"))
    assert errata.unsound == ("new",)
    assert body(errata).startswith(
        "**No size could be knitted to the end in both versions, so only what is printed was compared.**\n\n"
        "- The new version has mistakes of its own; it is compared as far as it could be knitted.\n"
    )
    gusset = [each for each in errata.corrections if each.section == "Gusset" and each.place == "Pick-up round"]
    assert {each.sort for each in gusset} == {"line", "count"}
    assert not [each for each in errata.corrections if each.sort in ("takes", "ends")]  # of a sock without an end


def test_another_title_and_other_setups_are_told(version: Version) -> None:
    errata = compared(
        version,
        ("Ninepenny Bridge plain", "Tenpenny Bridge plain"),
        ("[long circular, double-pointed set of 5]", "[long circular]"),
    )
    assert errata.notices[:2] == (
        "The old version is called “Ninepenny Bridge plain socks”.",
        "The pattern is no longer written for double-pointed, set of 5.",
    )


def test_us_terms(version: Version) -> None:
    errata = compare_patterns(version(terms="US"), version(PROSE, terms="US"), "US", "cm")
    assert "US terms." in write_errata(errata)
    assert len(errata.corrections) == 1


# -- laws


@pytest.mark.parametrize("name", ["swapped", "limited", "removed"])
def test_nothing_differs_from_itself(version: Version, name: str) -> None:
    one = version(CHANGES[name])
    assert compare_patterns(one, one, "UK", "cm").is_empty


@pytest.mark.parametrize("name", CHANGES)
def test_there_and_back_mirror_each_other(version: Version, name: str) -> None:
    there = compared(version, CHANGES[name])
    back = compare_patterns(version(CHANGES[name]), version(), "UK", "cm")
    assert there.touched == back.touched
    mine = {(*reading, each.sort) for each in there.corrections for reading in each.readings}
    yours = {
        (size, setup, after, before, each.sort)
        for each in back.corrections
        for size, setup, before, after in each.readings
    }
    gone = {each for each in yours ^ mine if "" in each[2:4]}  # a section that goes, goes as a whole
    assert (yours ^ mine) - gone == set()
    assert not gone or name == "inserted"


@pytest.mark.parametrize("name", CHANGES)
def test_every_line_that_is_quoted_is_really_there(version: Version, name: str) -> None:
    sides = (version(), version(CHANGES[name]))
    there = [
        {
            (sock.graded.body.name, sock.instructions.setup, line.text)
            for sock in side.socks
            for section in sock.instructions.sections
            for block in section.blocks
            for line in block.lines
        }
        for side in sides
    ]
    quoted = [each for each in compared(version, CHANGES[name]).corrections if each.sort == "line"]
    for each in quoted:
        for size, setup, before, after in each.readings:
            assert not before or (size, setup, before) in there[0]
            assert not after or (size, setup, after) in there[1]
    assert quoted or name not in ("swapped", "limited", "inserted")


@pytest.mark.parametrize("name", ["swapped", "rule", "limited", "prose"])
def test_labels_are_those_of_the_print(version: Version, name: str) -> None:
    printed = write_up(draft(version(), Edition("UK", "cm"), "old", "old").document)
    sections = dict(re.findall(r"(?ms)^## ([^\n]+)\n(.*?)(?=^## |\Z)", printed))
    seen = 0
    for each in compared(version, CHANGES[name]).corrections:
        place = each.place.removeprefix("After ")
        if re.match(r"(Round|Row|Every|Next) ", place):
            seen += 1
            assert f"**{place}:**" in sections[each.section]
    assert seen or name != "swapped"


@pytest.mark.parametrize("name", ["swapped", "rule", "removed"])
def test_the_changelog_entry_can_be_pasted(version: Version, name: str) -> None:
    entry = changelog_entry(compared(version, NEXT, CHANGES[name]) if name != "version" else compared(version, NEXT))
    text = (ROOT / "patterns" / "ninepenny_bridge.yaml").read_text(encoding="utf-8")
    text = text.replace(NEXT[0], NEXT[1], 1).replace("changelog:\n", "changelog:\n" + entry)
    pattern, findings = load_text(text, "pattern.yaml", read_chart)
    assert not findings
    assert pattern is not None
    assert [each.version for each in pattern.changelog] == ["1.1", "1.0"]
    assert all(len(each.changes) for each in pattern.changelog)
