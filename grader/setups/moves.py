"""Moves of stitches between needles that follow one another with nothing worked between: one move does."""

from __future__ import annotations

from dataclasses import replace

from grader.models.instructions import Block, SectionLines
from grader.notation import print_statement, read_line
from grader.notation.tree import Arrange, TakeOff
from grader.setups.holding import OFF_THE_CIRCULAR

_CHANGE = "Change to"


def without_vain(sections: tuple[SectionLines, ...], terms: str) -> tuple[SectionLines, ...]:
    """The sections with each row of moves as the last one of it; none where the stitches are back where they were.

    What is said, explained or checked beside a move that falls away stays.
    """
    blocks = [list(section.blocks) for section in sections]
    last: tuple[int, int] | None = None
    for at, several in enumerate(blocks):
        for place, block in enumerate(several):
            if all(line.kind == "note" for line in block.lines):
                continue
            if not _moves(block):
                last = None
                continue
            if last is not None:
                earlier = blocks[last[0]][last[1]]
                block = several[place] = _as_one(earlier, block, terms)
                blocks[last[0]][last[1]] = _words_of(earlier)
            last = (at, place) if block.lines else None
    return tuple(
        replace(section, blocks=tuple(block for block in several if block.lines or _speaks(block)))
        for section, several in zip(sections, blocks, strict=True)
    )


def _moves(block: Block) -> bool:
    return len(block.lines) == 1 and block.lines[0].kind == "arrange"


def _as_one(first: Block, second: Block, terms: str) -> Block:
    """The second move, made at once from where the stitches lay before the first."""
    one, other = read_line(first.lines[0].text), read_line(second.lines[0].text)
    if not (isinstance(one, Arrange) and isinstance(other, Arrange)):
        taken_off = isinstance(one, TakeOff) and second.note == OFF_THE_CIRCULAR
        return second if taken_off else replace(second, lines=(*first.lines, *second.lines))
    if first.held_before == other.needles and not other.marker:
        return _words_of(second)
    note = second.note
    if one.how.startswith(_CHANGE) and not other.how.startswith(_CHANGE):
        other, note = replace(other, how=one.how), first.note
    line = replace(second.lines[0], text=print_statement(other, terms))
    return replace(second, lines=(line,), note=note, held_before=first.held_before)


def _words_of(block: Block) -> Block:
    """What stands beside a move, without it."""
    return replace(block, lines=(), note="", held_before=())


def _speaks(block: Block) -> bool:
    return bool(block.say or block.why or block.check)
