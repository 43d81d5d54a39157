"""The sections of a document: what all setups share said once, what differs one under the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grader.merging.alignment import Aligned, AlignedSection, Key, align, shared_blocks, steps_of
from grader.merging.numbers import Lettering
from grader.merging.passages import Printer, gathered, is_round
from grader.models.document import Part, Passage, SectionText, Strand, Table
from grader.models.graded import Graded
from grader.models.instructions import Instructions
from grader.models.record import Record, WorkedLine
from grader.vocabulary.lengths import print_length

ALL_SIZES = "All sizes"


@dataclass(frozen=True, slots=True)
class Knitted:
    """One sock ready for print; `right` is the other of a pair that differs."""

    graded: Graded
    instructions: Instructions
    record: Record
    right: Record | None = None

    def lines_of(self, section: str) -> list[WorkedLine]:
        """What was worked in a section, in the sock that has it."""
        mine = [line for line in self.record.lines if line.section == section]
        return mine or [line for line in (self.right.lines if self.right else ()) if line.section == section]


@dataclass(frozen=True, slots=True)
class Layout:
    """What a document shows: its sizes, its setups in order, units, and whether it is for one size.

    `charted` are the stitch patterns that have a chart, each with its name in print; `spoken` has the lines in words.
    """

    sizes: tuple[str, ...]
    setups: tuple[str, ...]
    units: str
    rounds_per_cm: Fraction
    one_size: bool = False
    charted: tuple[tuple[str, str], ...] = ()
    spoken: bool = False


def build_part(socks: Sequence[Knitted], layout: Layout, lettering: Lettering, name: str = "", intro: str = "") -> Part:
    """All sections of the sock in the setups of the layout; letters run on from part to part."""
    aligned = {
        setup: align(sock.instructions for sock in socks if sock.instructions.setup == setup) for setup in layout.setups
    }
    aligned = {setup: sections for setup, sections in aligned.items() if sections}
    count = max(len(sections) for sections in aligned.values())
    told = ({setup: sections[place] for setup, sections in aligned.items()} for place in range(count))
    return Part(name, intro, tuple(_section(by_setup, socks, layout, lettering) for by_setup in told))


def _section(
    by_setup: dict[str, AlignedSection], socks: Sequence[Knitted], layout: Layout, lettering: Lettering
) -> SectionText:
    lettering.begin_section()
    name = next(iter(by_setup.values())).name
    printer = Printer(
        lettering, layout.sizes, layout.units, layout.rounds_per_cm, layout.one_size, layout.charted, layout.spoken
    )
    extent = _extent(name, socks, layout, printer)
    strands = _strands(by_setup, printer)
    words = {
        which: printer.words(
            {size: getattr(told, which) for each in by_setup.values() for size, told in each.sections.items()}
        )
        for which in ("why", "say", "check")
    }
    ends = _ends_with(name, socks, printer).replace("**", "")  # bold as a whole
    table = _table(lettering)
    return SectionText(name, strands, extent, words["why"], words["say"], words["check"], ends, table)


def _strands(by_setup: dict[str, AlignedSection], printer: Printer) -> tuple[Strand, ...]:
    """Steps that are the same in all setups go into one strand; runs of others are told setup by setup."""
    steps = {setup: steps_of(section) for setup, section in by_setup.items()}
    strands: list[Strand] = []
    for same, keys in _runs(steps):
        if same:
            passages = [each for key in keys for block in shared_blocks(steps, key) for each in printer.passages(block)]
            strands.append(Strand("", _scoped(passages)))
            continue
        labels = printer.labels
        for setup, section in by_setup.items():
            own = replace(printer, available=tuple(section.sections), labels=replace(labels))
            passages = [each for key in keys for block in steps[setup].get(key, []) for each in own.passages(block)]
            if passages:
                strands.append(Strand(setup if len(by_setup) > 1 else "", _scoped(passages)))
            printer.labels = own.labels
    return tuple(strands)


def _scoped(passages: list[Passage]) -> tuple[Passage, ...]:
    """What follows a passage for some sizes only says that it is for all again."""
    told: list[Passage] = []
    limited = False
    charts: set[str] = set()
    for passage in passages:
        passage = replace(passage, chart="") if passage.chart in charts else passage
        charts.add(passage.chart)
        if limited and passage.sizes and passage.say and not passage.say.startswith("Size"):
            told.append(Passage((), sizes=ALL_SIZES, say=passage.say))  # words for all before work for some
            passage = replace(passage, say="")
        elif limited and not passage.sizes:
            passage = _for_all(passage)
        limited = passage.sizes not in ("", ALL_SIZES) or (limited and _only_remarks(passage))
        if told and _goes_on(told[-1], passage):
            before = told[-1]
            instructions = gathered((*before.instructions, *passage.instructions))
            told[-1] = replace(passage, instructions=instructions, chart=before.chart or passage.chart)
        else:
            told.append(passage)
    return tuple(told)


def _only_remarks(passage: Passage) -> bool:
    return not (passage.instructions or passage.say or passage.closing)


def _for_all(passage: Passage) -> Passage:
    """Work for all sizes again says so above it; a remark alone says so itself."""
    if not _only_remarks(passage):
        return replace(passage, sizes=ALL_SIZES)
    check, why = (f"{ALL_SIZES}: {text}" if text else "" for text in (passage.check, passage.why))
    return replace(passage, check=check, why=why)


def _goes_on(before: Passage, passage: Passage) -> bool:
    """Single rounds for the same sizes, one after the other, with nothing said between."""
    rounds = (each.label for each in (*before.instructions, *passage.instructions))
    return (
        before.sizes == passage.sizes
        and bool(before.instructions and passage.instructions)
        and all(is_round(label) for label in rounds)
        and not any((before.closing, before.check, before.why, passage.say))
        and not any((before.say, passage.closing, before.boxes, passage.boxes))
    )


def _runs(steps: dict[str, dict[Key, list[Aligned]]]) -> list[tuple[bool, list[Key]]]:
    """The steps in order, gathered into runs of shared and of differing ones."""
    runs: list[tuple[bool, list[Key]]] = []
    for key in sorted({key for each in steps.values() for key in each}):
        same = len(steps) > 1 and bool(shared_blocks(steps, key))
        if runs and runs[-1][0] == same:
            runs[-1][1].append(key)
        else:
            runs.append((same, [key]))
    return runs


def _one_sock_each(socks: Sequence[Knitted]) -> dict[str, Knitted]:
    """One sock of every size, whichever setup it is written for."""
    found: dict[str, Knitted] = {}
    for sock in socks:
        found.setdefault(sock.graded.body.name, sock)
    return found


def _extent(name: str, socks: Sequence[Knitted], layout: Layout, printer: Printer) -> str:
    """Rounds or rows of a section, and the length of the rounds."""
    texts = {}
    for size, sock in _one_sock_each(socks).items():
        lines = sock.lines_of(name)
        rounds = sum(line.times * line.block_times for line in lines if line.kind == "round")
        rows = sum(line.times * line.block_times for line in lines if line.kind == "row")
        told = []
        if rows:
            told.append(f"{rows} rows")
        if rounds:
            length = (
                "" if printer.lettering.in_use else f", {print_length(rounds / layout.rounds_per_cm, layout.units)}"
            )
            told.append(f"{rounds} rounds{length}")
        texts[size] = "; ".join(told)
    return printer.words(texts)


def _ends_with(name: str, socks: Sequence[Knitted], printer: Printer) -> str:
    texts = {}
    for size, sock in _one_sock_each(socks).items():
        lines = [line for line in sock.lines_of(name) if line.after is not None]
        if lines and lines[-1].after:
            where = f" {lines[-1].over} sts" if lines[-1].over else " sts"
            texts[size] = f"{lines[-1].after}{where}"
    return printer.words(texts)


def _table(lettering: Lettering) -> Table | None:
    """The lettered numbers used in a section; a length has a row in centimetres and one in inches."""
    rows: list[tuple[str, ...]] = []
    for letter, values in lettering.rows:
        if any(" cm / " in value for value in values):
            rows.append((f"{letter} cm", *(value.split(" cm")[0] for value in values)))
            rows.append((f"{letter} in", *(value.split("/ ")[-1].removesuffix(" in") for value in values)))
        else:
            rows.append((letter, *values))
    if not rows:
        return None
    return Table(("Size", *lettering.sizes), tuple(rows), "l" + "r" * len(lettering.sizes))
