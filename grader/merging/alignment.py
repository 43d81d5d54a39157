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
