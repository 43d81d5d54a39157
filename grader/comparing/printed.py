"""One sock as its knitter reads it: every line with the label that the pattern for all sizes gives it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from grader.merging.alignment import align
from grader.merging.numbers import Lettering, skeleton
from grader.merging.passages import Labels, Printer
from grader.merging.sections import Knitted
from grader.models.instructions import Block, SectionLines
from grader.vocabulary.lengths import print_length
from grader.vocabulary.wording import counted

_NUMBERED = re.compile(r"(Row|Round) (\d+)(?: \([RW]S\))?")
_UNLABELLED = {
    "cast_on": "Cast-on",
    "arrange": "Needles",
    "rest": "On hold",
    "rejoin": "Taken back",
    "graft": "Graft",
    "bind_off": "Edge",
    "gather": "Closing",
    "part_round": "Part round",
    "waste_yarn": "Waste yarn",
    "open": "Waste yarn",
}
_COUNTLESS = ("cast_on", "graft", "arrange")  # whose lines tell their counts themselves


@dataclass(frozen=True, slots=True)
class Piece:
    """One block in print: its lines with their labels, how often they are worked, the count, and the words beside."""

    key: tuple[int, ...]
    kinds: tuple[str, ...]
    labels: tuple[str, ...]
    texts: tuple[str, ...]
    often: str
    count: str
    say: str
    check: str
    why: str

    @property
    def words(self) -> tuple[str, ...]:
        """All that it says, for putting pieces in an order."""
        return (*self.texts, self.often, self.count, self.say, self.check, self.why)

    @property
    def forms(self) -> tuple[str, ...]:
        """Its lines without their numbers."""
        return tuple(skeleton(text) for text in self.texts)

    @property
    def places(self) -> tuple[str, ...]:
        """Where each line stands: its label, or for one that has none what it is."""
        return tuple(label or _UNLABELLED.get(kind, "") for label, kind in zip(self.labels, self.kinds, strict=True))

    @property
    def place(self) -> str:
        """Where its lines stand: Round 1; Rows 1 to 2."""
        named = list(dict.fromkeys(place for place in self.places if place))
        found = [_NUMBERED.fullmatch(place) for place in named]
        if len(named) > 1 and all(found):
            numbers = [match[2] for match in found if match]
            return f"{named[0].split()[0]}s {numbers[0]} {'and' if len(numbers) < 3 else 'to'} {numbers[-1]}"
        return " and ".join(named) if len(named) < 3 else f"{named[0]} to {named[-1]}"


@dataclass(frozen=True, slots=True)
class PrintedSection:
    """One section in print: its pieces, the words beside it, what it takes, and the count at its end."""

    name: str
    pieces: tuple[Piece, ...]
    say: str
    check: str
    why: str
    takes: str
    ends: str


PrintedSock = tuple[PrintedSection, ...]


def print_socks(socks: Sequence[Knitted], rounds_per_cm: Fraction, units: str) -> dict[tuple[str, str], PrintedSock]:
    """Every sock by size and setup; labels count as in the pattern for all the sizes of the setup."""
    printed: dict[tuple[str, str], PrintedSock] = {}
    for setup in dict.fromkeys(sock.instructions.setup for sock in socks):
        mine = [sock for sock in socks if sock.instructions.setup == setup]
        labels = _labels(mine)
        for sock in mine:
            size = sock.graded.body.name
            printer = Printer(Lettering((size,)), (size,), units, rounds_per_cm, one_size=True)
            printed[size, setup] = tuple(
                _section(each, labels[number], printer, sock) for number, each in enumerate(sock.instructions.sections)
            )
    return printed


Named = dict[tuple[int, ...], tuple[tuple[str, ...], bool]]  # by block: its labels, and whether any size repeats it


def _labels(socks: Sequence[Knitted]) -> list[Named]:
    told: list[Named] = []
    for section in align(sock.instructions for sock in socks):
        labels, named = Labels(), Named()
        for aligned in section.blocks:
            blocks = aligned.by_size
            repeats = any(block.times > 1 for block in blocks.values())
            longest = max(blocks.values(), key=lambda block: len(block.lines))
            named[aligned.key] = (labels.take(longest, repeats, len(blocks) == len(socks)), repeats)
        told.append(named)
    return told


def _section(section: SectionLines, labels: Named, printer: Printer, sock: Knitted) -> PrintedSection:
    pieces = tuple(_piece(block, *labels[block.key], printer) for block in section.blocks)
    worked = sock.lines_of(section.name)
    counts = {kind: sum(each.times * each.block_times for each in worked if each.kind == kind) for kind in _TOLD}
    takes = [f"{count} {kind}s" for kind, count in counts.items() if count]
    if counts["round"]:
        takes[-1] += f", {print_length(counts['round'] / printer.rounds_per_cm, printer.units)}"
    last = next((line for line in reversed(worked) if line.after is not None), None)
    ends = f"{last.after}{f' {last.over}' if last.over else ''} sts" if last and last.after else ""
    return PrintedSection(section.name, pieces, section.say, section.check, section.why, "; ".join(takes), ends)


_TOLD = ("row", "round")


def _piece(block: Block, labels: tuple[str, ...], repeats: bool, printer: Printer) -> Piece:
    shown = (*labels, *("" for _ in block.lines))[: len(block.lines)]
    often = printer.often(block, shown) if repeats and any(line.kind != "note" for line in block.lines) else block.note
    stated = block.stated if block.lines and not repeats and block.lines[-1].kind not in _COUNTLESS else None
    return Piece(
        block.key,
        tuple(line.kind for line in block.lines),
        shown,
        tuple(line.text for line in block.lines),
        often,
        counted(stated, "st") if stated is not None else "",
        block.say,
        block.check,
        block.why,
    )
