"""Each check that constructions beyond the plain sock have called for finds the mistake it is there for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from grader.inspection import Run, inspect
from grader.loading import load_text
from grader.models.instructions import Block, Instructions, PrintedLine
from grader.pipeline import Checked, check
from grader.testknit import knit
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart

from .constructions import text_of
from .flattening import HERE
from .harness import singles

_ONE = "{own: [{name: A, foot_circumference: 22.5 cm, foot_length: 25 cm, leg_length: 18 cm}]}"
_HEEL, _INSTEP = '[heel, "{heel}"]', '[instep, "{instep}"]'
_CIRCULAR, _FIVE, _LOOP = "short circular", "double-pointed, set of 5", "long circular (magic loop)"


@cache
def sound(name: str) -> tuple[str, Checked]:
    text = text_of(name, _ONE)
    pattern, findings = load_text(text, HERE, read_chart)
    assert findings == []
    assert pattern is not None
    checked = check(pattern)
    assert checked.is_sound
    return text, checked


def codes(findings: tuple[Finding, ...] | list[Finding]) -> set[str]:
    return {finding.code for finding in findings if finding.is_error}


def with_slip(name: str, old: str, new: str) -> set[str]:
    text, _ = sound(name)
    assert old in text
    pattern, findings = load_text(text.replace(old, new, 1), HERE, read_chart)
    return codes(findings) if pattern is None else codes(check(pattern).findings)


def _moved(text: str, section: str, before: str) -> str:
    """The text with a whole section moved in front of another."""
    head, rest = text.split(f"  - name: {section}\n")
    body, mark, tail = rest.partition("  - name: ")
    moved = f"  - name: {section}\n{body}"
    return (head + mark + tail).replace(f"  - name: {before}\n", f"{moved}  - name: {before}\n")


@pytest.mark.parametrize(("name", "section", "before"), [("colours", "Foot", "Heel"), ("up-star", "Leg", "Foot")])
def test_a_heel_that_is_not_between_leg_and_foot_is_found(name: str, section: str, before: str) -> None:
    text, _ = sound(name)
    pattern, findings = load_text(_moved(text, section, before), HERE, read_chart)
    assert pattern is not None, findings
    assert "order" in codes(check(pattern).findings)


@pytest.mark.parametrize(
    ("name", "old", "new", "code"),
    [
        ("up-gusset", 'RS: "K to 1 st before wrapped', 'RS: "K to 2 sts before wrapped', "off-centre"),
        ("up-short-row", "P to DS, P2, turn", "P to DS, P1, turn", "gap"),
        ("colours", "*K2 MC, K2 CC*", "*K2 MC, K2*", "colour"),
        ("up-star", 'sole: "K{heel - 1}, m1"', 'sole: "K{heel - 1}, m1p"', "stray-purl"),
        ("lace", 'sole: "K1, ssk, K to last 3 sts', 'sole: "K1, ssk, P to last 3 sts', "stray-purl"),
        ("lace", 'sole: "K1, ssk, K to last 3 sts', 'sole: "K1, p2tog, K to last 3 sts', "stray-purl"),
        ("lace", 'RS: "*Sl1, K1* to end"', 'RS: "*Sl1, P1* to end"', "misnamed"),
        ("lace", "*K1, yo, cdd, yo, K2*", "*K2, yo, cdd, yo, K2*", "unworked-pattern"),
        ("up-gusset", f"[{_HEEL}, {_INSTEP}]", f"[{_INSTEP}, {_HEEL}]", "regions"),
        ("up-star", "      - bind_off: all\n", "      - bind_off: all\n      - bind_off: all\n", "no-stitches"),
        ("up-star", '"*K1, m1, K{live / 4 - 1}* to end"', '"*m1* to end"', "misfit"),
    ],
)
def test_a_slip_in_the_file_is_found(name: str, old: str, new: str, code: str) -> None:
    assert code in with_slip(name, old, new)


def test_half_a_round_only_to_reach_the_heel_is_remarked_on() -> None:
    text, checked = sound("colours")
    assert "way-to-heel" not in {finding.code for finding in checked.findings}
    old = '[[heel, "{top - instep}"], [instep, "{instep}"]]'
    assert old in text
    text = text.replace(old, '[[instep, "{instep}"], [heel, "{top - instep}"]]', 1)
    pattern, _ = load_text(text.replace(f"[{_HEEL}, {_INSTEP}]", f"[{_INSTEP}, {_HEEL}]"), HERE, read_chart)
    assert pattern is not None
    told = [finding for finding in check(pattern).findings if finding.code == "way-to-heel"]
    assert told
    assert told[0].message == "the 32 instep sts are knitted once more than the others, only to reach the heel"
    assert not told[0].is_error


Change = Callable[[PrintedLine], PrintedLine | None]


def misprinted(name: str, setup: str, change: Change) -> tuple[Instructions, bool]:
    """One sock with the first line changed that `change` gives another for, or leaves out where it gives one ""."""
    sock = next(each for each in singles(sound(name)[1]) if each.instructions.setup == setup)
    done = False
    sections = []
    for section in sock.instructions.sections:
        blocks: list[Block] = []
        for block in section.blocks:
            lines = []
            for line in block.lines:
                other = None if done else change(line)
                done = done or other is not None
                lines.append(line if other is None else other)
            blocks.append(replace(block, lines=tuple(each for each in lines if each.text)))
        sections.append(replace(section, blocks=tuple(blocks)))
    return replace(sock.instructions, sections=tuple(sections)), done


def respelt(old: str, new: str) -> Change:
    def change(line: PrintedLine) -> PrintedLine | None:
        return replace(line, text=line.text.replace(old, new, 1)) if old in line.text else None

    return change


@pytest.mark.parametrize(
    ("name", "setup", "old", "new", "code"),
    [
        ("up-short-row", _FIVE, "the 32 instep sts back", "the 32 sole sts back", "region"),
        ("up-star", _LOOP, "32 back sts and", "32 instep sts and", "region"),
        ("up-star", _FIVE, "Needle 1: K16. Needle 2: K16", "Needle 2: K16. Needle 1: K16", "needles"),
        ("afterthought", _CIRCULAR, ", pm for start of round", "", "marker"),
        ("up-star", _CIRCULAR, ", pm for start of round", "", "marker"),
    ],
)
def test_a_misprint_is_found(name: str, setup: str, old: str, new: str, code: str) -> None:
    instructions, done = misprinted(name, setup, respelt(old, new))
    assert done
    assert code in codes(knit(instructions)[1])


def test_a_change_of_needles_that_has_been_made_already_is_found() -> None:
    twice: list[PrintedLine] = []
    sock = next(each for each in singles(sound("up-star")[1]) if each.instructions.setup == _CIRCULAR)
    sections = []
    for section in sock.instructions.sections:
        blocks: list[Block] = []
        for block in section.blocks:
            changed = [line for line in block.lines if line.text.startswith("Change to the short circular")]
            twice += changed
            blocks += [block, block] if changed else [block]
        sections.append(replace(section, blocks=tuple(blocks)))
    assert len(twice) == 1
    assert codes(knit(replace(sock.instructions, sections=tuple(sections)))[1]) == {"idle"}


def test_too_few_stitches_for_the_small_circular_needle_are_found() -> None:
    """All rounds of a round toe could be read on it, but not knitted."""

    def lost(line: PrintedLine) -> PrintedLine | None:
        return replace(line, text="") if line.text.startswith("Change to double-pointed") else None

    instructions, done = misprinted("afterthought", _CIRCULAR, lost)
    assert done
    record, findings = knit(instructions)
    assert not codes(findings)
    checked = sound("afterthought")[1]
    assert "reach" in codes(inspect(checked.pattern, [Run(checked.sizes[0], record)]))
