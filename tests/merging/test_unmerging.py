"""From the document for many sizes, one size's own lines come back, word for word and in order."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from shipped import knitted_whole
from written import markdown_of

from grader.loading import load_text
from grader.models.instructions import Block
from grader.models.record import Record
from grader.pipeline import Checked, Sock, Wanted, check
from grader.publishing import Edition
from grader.vocabulary.lengths import print_length
from grader.vocabulary.size_charts import read_chart
from tests.parts.combining import pattern_of

from .unmerging import Reader, Section, Told, in_figures, plural

SHIPPED = Path(__file__).resolve().parents[2] / "patterns" / "ninepenny_bridge.yaml"
_WORDS = {"two": 2, "three": 3, "four": 4}
_OFTEN = re.compile(
    r"Work (?:(?P<alone>\d+) (?:rounds|rows)"
    r"|these (?:last )?(?P<lines>\w+) (?:rounds|rows) (?P<times>\d+) times in all)"
    r"(?:: (?P<whole>\d+) (?:rounds|rows))?"
    r"(?:, (?P<length>[^,]*? (?:cm|in)))?(?:, until (?:there are )?(?P<until>\d+) sts(?: are left)?)?\."
)
CHANGES = {
    "        check: From the cast-on the sock measures {leg_length, from the cast-on}.\n": """\
        check: From the cast-on the sock measures {leg_length, from the cast-on}.
      - round: "K"
        when: cast_on >= 44
        say: Tie in a thread of {graft_tail, tail} here.
        why: The larger leg wants a mark.
        check: The thread hangs at the start of the round, {heel, sts of the heel} heel sts from the other side.
      - round: "K"
        when: cast_on < 40
      - rounds: "K"
        times: "{heel_rows / 2 - 8}"
        when: heel_rows > 17
        setups:
          short circular: {say: Mind the small needle.}
""",
    "  - name: Toe\n": """\
  - name: Toe
    say: The toe has {toe_rounds, rounds of the section} rounds.
    why: It must fit.
    check: The toe has taken {2 * toe_slow + toe_fast, rounds of the section} rounds.
""",
}
MIXES = [(6, "by-setup"), (8, "by-section"), (14, "by-section"), (1, "by-section")]


@pytest.mark.parametrize(("count", "arrangement"), MIXES)
def test_every_size_and_setup_reads_its_own_lines(
    knitted: Callable[..., Checked], count: int, arrangement: str
) -> None:
    checked = knitted(count, first=2 if count == 1 else 0)
    _reads_its_own(checked, markdown_of(checked, Edition(arrangement=arrangement)))


@pytest.mark.parametrize(("count", "terms", "units"), [(14, "US", "in"), (6, "UK", "cm")])
def test_they_do_in_other_terms_and_units(knitted: Callable[..., Checked], count: int, terms: str, units: str) -> None:
    checked = knitted(count, terms, units)
    _reads_its_own(checked, markdown_of(checked, Edition(terms, units)), units)


@pytest.mark.parametrize(("count", "arrangement"), [(6, "by-section"), (14, "by-setup")])
def test_words_for_some_sizes_or_setups_reach_only_those(count: int, arrangement: str) -> None:
    """Steps with `when`, words of one setup, and a last section with a check of its own."""
    text = SHIPPED.read_text(encoding="utf-8")
    for old, new in CHANGES.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    pattern, findings = load_text(text, "changed.yaml", read_chart)
    assert pattern is not None, findings
    some = replace(pattern, bodies=pattern.bodies[:count], samples=())
    checked = check(some, Wanted(units="both"))
    assert {finding.code for finding in checked.findings if finding.is_error} <= {"measure"}
    _reads_its_own(checked, markdown_of(checked, Edition(arrangement=arrangement)))


CONSTRUCTIONS = {
    "afterthought": ("cuff-picot", "leg-ankle", "heel-afterthought", "foot-plain", "toe-round"),
    "pair": ("cuff-2x2-rib", "leg-calf", "heel-wrapped-short-row", "foot-plain", "toe-anatomical"),
    "toe-up": ("toe-up-wedge", "toe-up-foot", "toe-up-heel-gusset", "toe-up-leg", "toe-up-cuff-1x1-rib"),
}
OTHERS = sorted(path.stem for path in SHIPPED.parent.glob("*.yaml") if path != SHIPPED)


@pytest.mark.parametrize("name", [*OTHERS, *CONSTRUCTIONS])
def test_so_does_every_construction(name: str) -> None:
    """Patterns with stitch patterns, colours, other heels and toes: print has their lines in the order of the hands."""
    path = SHIPPED.parent / f"{name}.yaml"
    if name in CONSTRUCTIONS:
        pattern, findings = load_text(pattern_of(CONSTRUCTIONS[name]), str(path), read_chart)
        assert pattern is not None, findings
        checked = check(replace(pattern, bodies=pattern.bodies[::3]))
    else:
        checked = knitted_whole(name)
    assert checked.is_sound
    _reads_its_own(checked, markdown_of(checked, Edition(units="cm")), "cm")


def _reads_its_own(checked: Checked, markdown: str, units: str = "both") -> None:
    sizes = tuple(graded.body.name for graded in checked.sizes)
    reader = Reader(markdown, sizes)
    read = 0
    for sock in checked.socks:
        setup = sock.instructions.setup
        sections = reader.read(sock.graded.body.name, setup[0].upper() + setup[1:])
        assert [section.name for section in sections] == [each.name for each in sock.instructions.sections]
        for place, section in enumerate(sections):
            read += _compare(section, sock, place, checked, units)
    assert read > 20 * len(checked.socks)


def _compare(section: Section, sock: Sock, place: int, checked: Checked, units: str) -> int:
    """Walk the section as read beside the instructions it must come from; the lines of work compared."""
    where = (sock.graded.body.name, sock.instructions.setup, section.name)
    asked = sock.instructions.sections[place]
    told = iter([each for each in section.told if each.kind not in ("takes", "ends", "chart")])
    lines = 0
    pending: list[Told] = list(told)

    def take(kind: str, text: str) -> Told:
        assert pending, (where, "nothing more is printed, but it should say", text)
        first = pending.pop(0)
        assert first.kind == kind, (where, first)
        assert first.text in (plural(text), plural(in_figures(text))), (where, first, text)
        return first

    last = pending.pop() if asked.check else None
    if asked.why:
        take("why", asked.why)
    if asked.say:
        take("line", asked.say)
    for block in asked.blocks:
        if block.say:
            take("line", block.say)
        printed = [take("line", f"{line.text}.") for line in block.lines]
        lines += len(printed)
        _often(block, printed, pending, where, checked.pattern.gauge.rounds, units)
        if block.note:
            take("line", block.note)
        if block.check:
            take("check", block.check)
        if block.why:
            take("why", block.why)
    assert not pending, (where, "printed, but not in the instructions of this size", pending)
    assert last is None or (last.kind, last.text) == ("check", plural(asked.check))
    mine = next(record for record in sock.records if any(line.section == section.name for line in record.lines))
    _frame(section, mine, where, checked, units)
    return lines


def _often(block: Block, printed: list[Told], pending: list[Told], where: object, per_cm: Fraction, units: str) -> None:
    """How often a block is worked and how many stitches are then there, as printed after it or in its closing line."""
    found = _OFTEN.fullmatch(pending[0].text) if pending and printed else None
    if not found:
        assert block.times == 1, (where, block, pending[:1])
        counts = [each.count for each in printed if each.count]
        assert not counts or counts == [f"{block.stated} sts"], (where, counts, block.stated)
        return
    pending.pop(0)
    assert int(found["alone"] or found["times"]) == block.times, where
    words = found["lines"]
    assert len(printed) == (_WORDS.get(words) or int(words) if words else 1), where
    if found["whole"]:
        assert int(found["whole"]) == block.times * len(block.lines), where
    if found["until"]:
        assert int(found["until"]) == block.stated, where
    if found["length"]:
        assert found["length"] == print_length(block.times / per_cm, units), where


def _frame(section: Section, record: Record, where: object, checked: Checked, units: str) -> None:
    """What the section takes and what is on the needles when it ends, from the worked record."""
    worked = [line for line in record.lines if line.section == section.name]
    rows = sum(line.times * line.block_times for line in worked if line.kind == "row")
    rounds = sum(line.times * line.block_times for line in worked if line.kind == "round")
    takes = " ".join(each.text for each in section.told if each.kind == "takes")
    expected = [f"{rows} rows"] if rows else []
    if rounds:
        length = print_length(Fraction(rounds) / checked.pattern.gauge.rounds, units)
        expected.append(f"{rounds} rounds" + ("" if len(checked.sizes) > 8 else f", {length}"))
    assert takes == plural("; ".join(expected)), where
    after = [line for line in worked if line.after is not None][-1]
    ends = " ".join(each.text for each in section.told if each.kind == "ends")
    assert ends == (f"{after.after} {after.over} sts".replace("  ", " ") if after.after else ""), where


def _expanded(sock: Sock) -> Iterator[str]:
    for section in sock.instructions.sections:
        for block in section.blocks:
            for _ in range(block.times):
                yield from (line.text for line in block.lines if line.kind in ("round", "row"))


def test_the_printed_lines_are_those_that_were_knitted(knitted: Callable[..., Checked]) -> None:
    """The record holds the text of each printed round and row as often as print says to work it."""
    for sock in knitted(14).socks:
        assert sorted(_expanded(sock)) == sorted(
            line.text
            for line in sock.record.lines
            if line.kind in ("round", "row")
            for _ in range(line.times * line.block_times)
        )
