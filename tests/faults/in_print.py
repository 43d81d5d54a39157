"""Single mistakes in the printed lines of one sock, while the socks of all other setups stay right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from grader.models.instructions import Block, Instructions, PrintedLine, SectionLines

from .words import names_swapped, numbers_off, slips

Blocks = tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Misprint:
    """One mistake in a sock as printed; `told` says where and what, for the list of survivors."""

    kind: str
    told: str
    section: int
    blocks: Blocks

    def made_in(self, sock: Instructions) -> Instructions:
        """The sock with the mistake in it."""
        sections = list(sock.sections)
        sections[self.section] = replace(sections[self.section], blocks=self.blocks)
        return replace(sock, sections=tuple(sections))


def misprints(sock: Instructions) -> Iterator[Misprint]:
    """Every single mistake this module can make in one sock."""
    for number, section in enumerate(sock.sections):
        for kind, told, blocks in _in_section(section):
            yield Misprint(kind, f"{section.name}: {told}", number, blocks)


def _in_section(section: SectionLines) -> Iterator[tuple[str, str, Blocks]]:
    blocks = section.blocks
    for place, block in enumerate(blocks):
        before, after = blocks[:place], blocks[place + 1 :]
        if not block.lines:
            continue  # a remark between two steps is no work
        words = block.lines[0].text
        yield "block dropped", words, before + after
        yield "block doubled", words, (*before, block, block, *after)
        if after and after[0].lines and (after[0].lines, after[0].times) != (block.lines, block.times):
            yield "blocks swapped", words, (*before, after[0], block, *after[1:])
        for kind, told, changed in _in_block(block):
            yield kind, told, (*before, changed, *after)


def _in_block(block: Block) -> Iterator[tuple[str, str, Block]]:
    for step in (-2, -1, 1, 2):
        if block.times + step > 0:
            yield "times off", f"{block.times} times -> {block.times + step}", replace(block, times=block.times + step)
        for name, there in (("stated", block.stated), ("until", block.until)):
            if there is not None:
                yield "stated count off", f"{name} {there} -> {there + step}", _restated(block, name, there + step)
        for place, (region, count) in enumerate(block.leaves):
            leaves = (*block.leaves[:place], (region, count + step), *block.leaves[place + 1 :])
            yield "stated count off", f"leaves {count} -> {count + step}", replace(block, leaves=leaves)
    for slip in (*numbers_off(block.note, lambda _: "number of a note off"), *names_swapped(block.note)):
        note = slip.made_in(block.note)
        yield slip.kind, note, replace(block, note=note)
    for kind, told, lines in _in_lines(block.lines):
        yield kind, told, replace(block, lines=lines)


def _restated(block: Block, name: str, count: int) -> Block:
    return replace(block, stated=count) if name == "stated" else replace(block, until=count)


def _in_lines(lines: tuple[PrintedLine, ...]) -> Iterator[tuple[str, str, tuple[PrintedLine, ...]]]:
    for place, line in enumerate(lines):
        before, after = lines[:place], lines[place + 1 :]
        if len(lines) > 1:
            yield "line dropped", line.text, before + after
            yield "line doubled", line.text, (*before, line, line, *after)
            if after:
                yield "lines swapped", line.text, (*before, after[0], line, *after[1:])
        for kind, told, changed in _in_line(line):
            yield kind, told, (*before, changed, *after)


def _in_line(line: PrintedLine) -> Iterator[tuple[str, str, PrintedLine]]:
    for slip in slips(line.text):
        text = slip.made_in(line.text)
        yield slip.kind, f"{line.text} -> {text}", replace(line, text=text)
    if line.side:
        other = "WS" if line.side == "RS" else "RS"
        yield "side swapped", f"{line.side} -> {other}: {line.text}", replace(line, side=other)
    for step in (-2, -1, 1, 2):
        if line.stated is not None:
            told = f"({line.stated} sts) -> ({line.stated + step} sts)"
            yield "stated count off", told, replace(line, stated=line.stated + step)
