"""The sections of a document: what all setups share said once, what differs one under the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from grader.merging.alignment import AlignedSection, align, steps_of
from grader.merging.numbers import DASH, Lettering
from grader.merging.passages import Labels, Printer
from grader.models.document import Part, Passage, SectionText, Strand, Table
from grader.models.graded import Graded
from grader.models.instructions import Instructions, SectionLines
from grader.models.record import Record
from grader.vocabulary.lengths import print_length
from grader.vocabulary.quantities import Quantity


@dataclass(frozen=True, slots=True)
class Knitted:
    """One sock ready for print."""

    graded: Graded
    instructions: Instructions
    record: Record


@dataclass(frozen=True, slots=True)
class Layout:
    """What a document shows: its sizes, its setups in order, units, and whether it is for one size."""

    sizes: tuple[str, ...]
    setups: tuple[str, ...]
    units: str
    labels: dict[str, str]
    rounds_per_cm: Fraction
    one_size: bool = False


def build_part(socks: Sequence[Knitted], layout: Layout, name: str = "", intro: str = "") -> Part:
    """All sections of the sock in the setups of the layout."""
    aligned = {
        setup: align(sock.instructions for sock in socks if sock.instructions.setup == setup) for setup in layout.setups
    }
    aligned = {setup: sections for setup, sections in aligned.items() if sections}
    count = max(len(sections) for sections in aligned.values())
    return Part(
        name, intro, tuple(_section({s: a[place] for s, a in aligned.items()}, socks, layout) for place in range(count))
    )


def _section(by_setup: dict[str, AlignedSection], socks: Sequence[Knitted], layout: Layout) -> SectionText:
    lettering = Lettering(layout.sizes)
    printers = {
        setup: Printer(
            lettering,
            tuple(size for size in layout.sizes if size in section.sections),
            layout.units,
            layout.one_size,
            Labels(),
        )
        for setup, section in by_setup.items()
    }
    first = next(iter(by_setup.values()))
    extent = _extent(first.name, socks, layout, lettering)
    steps = {
        setup: {
            step: [passage for block in blocks for passage in printers[setup].passages(block)]
            for step, blocks in steps_of(section).items()
        }
        for setup, section in by_setup.items()
    }
    strands = _strands(steps, layout)
    printer = _everywhere(printers, layout)
    words = {
        which: printer.words(
            {
                size: getattr(section, which)
                for sections in _all_sections(by_setup)
                for size, section in sections.items()
            }
        )
        for which in ("why", "say", "check")
    }
    ends = _ends_with(first.name, socks, printer)
    return SectionText(
        first.name,
        tuple(strands),
        extent,
        words["why"],
        words["say"],
        words["check"],
        ends,
        _table(lettering, socks, layout),
    )


def _all_sections(by_setup: dict[str, AlignedSection]) -> list[dict[str, SectionLines]]:
    return [dict(section.sections) for section in by_setup.values()]


def _everywhere(printers: dict[str, Printer], layout: Layout) -> Printer:
    """A printer that counts every size as there, for what does not depend on the setup."""
    some = next(iter(printers.values()))
    return replace(some, available=layout.sizes)


def _strands(steps: dict[str, dict[tuple[int, ...], list[Passage]]], layout: Layout) -> list[Strand]:
    """Steps that all setups word alike go into one strand; runs of others are told setup by setup."""
    keys = sorted({key for each in steps.values() for key in each})
    strands: list[Strand] = []
    differing: list[tuple[int, ...]] = []
    single = len(steps) == 1

    def flush() -> None:
        if differing:
            for setup in layout.setups:
                passages = tuple(passage for key in differing for passage in steps.get(setup, {}).get(key, []))
                if passages:
                    strands.append(Strand("" if single else setup, passages))
            differing.clear()

    for key in keys:
        told = [each.get(key) for each in steps.values()]
        if single or all(passages == told[0] for passages in told):
            flush()
            strands.append(Strand("", tuple(told[0] or [])))
        else:
            differing.append(key)
    flush()
    return _joined_strands(strands)


def _joined_strands(strands: list[Strand]) -> list[Strand]:
    joined: list[Strand] = []
    for strand in strands:
        if joined and not strand.setup and not joined[-1].setup:
            joined[-1] = Strand("", joined[-1].passages + strand.passages)
        else:
            joined.append(strand)
    return joined


def _one_sock_each(socks: Sequence[Knitted]) -> dict[str, Knitted]:
    """One sock of every size, whichever setup it is written for."""
    found: dict[str, Knitted] = {}
    for sock in socks:
        found.setdefault(sock.graded.body.name, sock)
    return found


def _extent(name: str, socks: Sequence[Knitted], layout: Layout, lettering: Lettering) -> str:
    """Rounds or rows of a section, and the length of the rounds."""
    texts = {}
    for size, sock in _one_sock_each(socks).items():
        lines = [line for line in sock.record.lines if line.section == name]
        rounds = sum(line.times * line.block_times for line in lines if line.kind == "round")
        rows = sum(line.times * line.block_times for line in lines if line.kind == "row")
        told = []
        if rows:
            told.append(f"{rows} rows")
        if rounds:
            told.append(f"{rounds} rounds, {print_length(rounds / layout.rounds_per_cm, layout.units)}")
        texts[size] = "; ".join(told)
    printer = Printer(lettering, layout.sizes, layout.units, layout.one_size)
    return printer.words(texts)


def _ends_with(name: str, socks: Sequence[Knitted], printer: Printer) -> str:
    texts = {}
    for size, sock in _one_sock_each(socks).items():
        lines = [line for line in sock.record.lines if line.section == name and line.after is not None]
        if lines and lines[-1].after:
            where = f" {lines[-1].over} sts" if lines[-1].over else " sts"
            texts[size] = f"{lines[-1].after}{where}"
    return printer.words(texts)


def _table(lettering: Lettering, socks: Sequence[Knitted], layout: Layout) -> Table | None:
    """The lettered numbers of a section, each named where a graded number is the same for every size."""
    if not lettering.rows:
        return None
    named = _named_vectors(socks, layout)
    rows = [
        (letter, named.get(row) or _named_with_gaps(row, named), *row)
        for letter, row in zip(lettering.names, lettering.rows, strict=True)
    ]
    if any(row[1] for row in rows):
        return Table(("", "Size", *layout.sizes), tuple(rows), "ll" + "r" * len(layout.sizes))
    return Table(("Size", *layout.sizes), tuple((row[0], *row[2:]) for row in rows), "l" + "r" * len(layout.sizes))


def _named_vectors(socks: Sequence[Knitted], layout: Layout) -> dict[tuple[str, ...], str]:
    sizes = _one_sock_each(socks)
    vectors: dict[tuple[str, ...], str] = {}
    for name, label in layout.labels.items():
        values = tuple(_plain(sizes[size].graded.names[name]) if size in sizes else DASH for size in layout.sizes)
        vectors.setdefault(values, label)
    return vectors


def _plain(value: Quantity) -> str:
    return "" if value.is_length else f"{float(value.amount):g}"


def _named_with_gaps(row: tuple[str, ...], named: dict[tuple[str, ...], str]) -> str:
    return next(
        (
            label
            for values, label in named.items()
            if DASH in row and all(a in (DASH, b) for a, b in zip(row, values, strict=True))
        ),
        "",
    )
