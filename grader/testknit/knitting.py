"""Knitting a sock through from its printed lines, stitch for stitch in effect.

Only the printed text is worked. What the writer claims about it (counts after a block, what a piece
leaves) is compared with what is on the needles, never used to get there.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from grader.models.instructions import Block, Instructions, PrintedLine, Regions, SectionLines
from grader.models.record import Record, WorkedLine
from grader.notation import NotationError, read_line
from grader.notation.tree import Round, Statement
from grader.testknit.needles import Needles
from grader.testknit.rounds import work_part_round, work_round
from grader.testknit.rows import work_row
from grader.testknit.sentences import work_sentence
from grader.testknit.walking import Stuck
from grader.vocabulary.findings import Finding, Ledger

_ROWS, _PARTIAL = ("row",), ("part_round", "pick_up")


class Knitter:
    """One pair of hands: works line after line and writes the record."""

    def __init__(self, instructions: Instructions) -> None:
        self.instructions = instructions
        self.needles = Needles()
        self.lines: list[WorkedLine] = []
        self.ledger = Ledger()
        self.loops = 0
        self.section = ""
        self.blocks = 0
        self.regions: Regions = ()

    # -- the whole sock

    def knit(self) -> tuple[Record, list[Finding]]:
        try:
            for section in self.instructions.sections:
                self.work_section(section)
        except Stuck:
            pass
        else:
            if self.needles.total:
                last = self.lines[-1] if self.lines else None
                self.find(
                    "left-over",
                    f"{self.needles.total} sts are left on the needles",
                    last and last.span,
                    expected="0",
                    found=str(self.needles.total),
                )
        record = Record(
            self.instructions.size,
            self.instructions.size_index,
            self.instructions.setup,
            self.instructions.terms,
            tuple(self.lines),
            self.loops,
            self.needles.total,
        )
        return record, self.ledger.entries

    def find(self, code: str, message: str, span: Any, line: str = "", **details: Any) -> None:
        self.ledger.add(
            code,
            message,
            span,
            sizes=(self.instructions.size,),
            setups=(self.instructions.setup,),
            section=self.section,
            line=line,
            **details,
        )

    def work_section(self, section: SectionLines) -> None:
        self.section = section.name
        for block in section.blocks:
            self.work_block(block)

    def work_block(self, block: Block) -> None:
        """Work the lines of a block as often as it says; passes that are alike are recorded once."""
        passes: list[tuple[WorkedLine, ...]] = []
        done = 0
        while done < block.times and block.lines:
            before = self.state()
            if done == 0:
                self.regions = block.lines[0].regions
            worked = tuple(self.work(line) for line in block.lines)
            passes.append(worked)
            done += 1
            if self.state() == before and all(line.kind == "round" for line in block.lines):
                passes.extend([worked] * (block.times - done))
                self.loops += sum(line.loops for line in worked) * (block.times - done)
                done = block.times
        self.record(passes)
        self.compare(block)

    def state(self) -> tuple[Any, ...]:
        needles = self.needles
        return needles.total, needles.held, needles.markers, needles.piece and needles.piece.count

    def record(self, passes: list[tuple[WorkedLine, ...]]) -> None:
        at = 0
        while at < len(passes):
            alike = at
            while alike < len(passes) and passes[alike] == passes[at]:
                alike += 1
            times = alike - at
            if len(passes[at]) == 1:
                self.lines.append(replace(passes[at][0], times=times))
            else:
                self.blocks += times > 1
                name = f"b{self.blocks}" if times > 1 else ""
                self.lines.extend(replace(line, block=name, block_times=times) for line in passes[at])
            at = alike

    def compare(self, block: Block) -> None:
        """What the page states after a block against what is on the needles."""
        if not block.lines:
            return
        line = block.lines[-1]
        there = self.needles.piece.count if self.needles.piece and line.over else self.needles.total
        for stated in (block.stated, block.until, line.stated):
            if stated is not None and stated != there:
                self.find(
                    "count",
                    f"the page says {stated} sts, on the needles are {there}",
                    line.span,
                    line.text,
                    expected=str(stated),
                    found=str(there),
                )
                break
        for region, count in block.leaves:
            piece = self.needles.piece
            if piece and region == piece.name and piece.count != count:
                self.find(
                    "leaves",
                    f"the {region} should have {count} sts and has {piece.count}",
                    line.span,
                    line.text,
                    expected=str(count),
                    found=str(piece.count),
                )

    # -- one line

    def work(self, line: PrintedLine) -> WorkedLine:
        try:
            statement = read_line(line.text)
            worked = self.statement(statement, line)
        except NotationError as mistake:
            self.find("unread", f"the printed line can't be read: {mistake}", line.span, line.text)
            raise Stuck("unread", str(mistake)) from None
        except Stuck as stuck:
            self.find(stuck.code, stuck.message, line.span, line.text, expected=stuck.expected, found=stuck.found)
            raise
        self.loops += worked.loops
        return worked

    def statement(self, statement: Statement, line: PrintedLine) -> WorkedLine:
        regions = line.regions
        if not isinstance(statement, Round):
            outcome = work_sentence(self.needles, statement)
        elif line.kind in _ROWS:
            outcome = work_row(self.needles, statement, line.side, line.over)
        elif line.kind in _PARTIAL:
            outcome = work_part_round(self.needles, statement, line.kind)
        else:
            regions = self.regions
            outcome = work_round(self.needles, statement, regions)
            self.regions = outcome.regions
        stated = statement.stated if isinstance(statement, Round) else None
        if stated is not None and stated != outcome.after:
            message = f"the line says {stated} sts, on the needles are {outcome.after}"
            raise Stuck("count", message, str(stated), str(outcome.after))
        return WorkedLine(
            self.section,
            line.kind,
            line.text,
            line.span,
            1,
            outcome.before,
            outcome.after,
            needles=outcome.needles,
            side=line.side,
            over=line.over,
            edges=line.edges,
            regions=regions,
            fabric=line.fabric,
            made=outcome.made,
            shaping=outcome.shaping,
            loops=outcome.loops,
            full=outcome.full,
        )


def knit(instructions: Instructions) -> tuple[Record, list[Finding]]:
    """Knit one sock through. The record ends where a line can't be worked, and a finding says why."""
    return Knitter(instructions).knit()
