"""Laying the blocks of many sizes and setups beside each other, step by step."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grader.models.instructions import Block, Instructions, SectionLines

Key = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Aligned:
    """The same block of every size that has it, in one setup."""

    key: Key
    by_size: dict[str, Block]


@dataclass(frozen=True, slots=True)
class AlignedSection:
    """One section of one setup: its blocks in order, and the section's own words by size."""

    name: str
    blocks: tuple[Aligned, ...]
    sections: dict[str, SectionLines]


def align(instructions: Iterable[Instructions]) -> list[AlignedSection]:
    """Blocks of all sizes of one setup by their keys; a block that only some sizes have keeps its place."""
    told = list(instructions)
    sections: list[AlignedSection] = []
    for place in range(max((len(each.sections) for each in told), default=0)):
        mine = {each.size: each.sections[place] for each in told}
        keys: dict[Key, dict[str, Block]] = {}
        for size, section in mine.items():
            for block in section.blocks:
                keys.setdefault(block.key, {})[size] = block
        name = next(iter(mine.values())).name
        sections.append(AlignedSection(name, tuple(Aligned(key, keys[key]) for key in sorted(keys)), mine))
    return sections


def steps_of(section: AlignedSection) -> dict[Key, list[Aligned]]:
    """The blocks of a section by the step of the pattern file they come from."""
    steps: dict[Key, list[Aligned]] = {}
    for aligned in section.blocks:
        steps.setdefault(aligned.key[:2], []).append(aligned)
    return steps


def shared_blocks(steps: dict[str, dict[Key, list[Aligned]]], key: Key) -> list[Aligned]:
    """The blocks of a step where every setup that holds a size words it alike; nothing where one differs."""
    told: dict[Key, dict[str, Block]] = {}
    holders: dict[Key, dict[str, int]] = {}
    for blocks in steps.values():
        for aligned in blocks.get(key, []):
            for size, block in aligned.by_size.items():
                known = told.setdefault(aligned.key, {}).setdefault(size, block)
                if _words(known) != _words(block):
                    return []
                counts = holders.setdefault(aligned.key, {})
                counts[size] = counts.get(size, 0) + 1
    sizes: dict[str, int] = {}
    for blocks in steps.values():  # every setup that holds the size counts, though it may have nothing to do here
        for size in {size for each in blocks.values() for aligned in each for size in aligned.by_size}:
            sizes[size] = sizes.get(size, 0) + 1
    if any(count != sizes[size] for counts in holders.values() for size, count in counts.items()):
        return []
    return [Aligned(each, told[each]) for each in sorted(told)]


def _words(block: Block) -> tuple[object, ...]:
    lines = tuple((line.text, line.kind, line.side) for line in block.lines)
    return lines, block.times, block.stated, block.note, block.say, block.why, block.check
