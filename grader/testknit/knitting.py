"""Knitting a sock through from its printed lines, stitch for stitch in effect.

Only the printed text is worked. What the writer claims about it (counts after a block, what a piece
leaves) is compared with what is on the needles, never used to get there.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache, partial
from itertools import zip_longest
from typing import Any

from grader.models.instructions import Block, Instructions, PrintedLine, Regions, SectionLines
from grader.models.record import Record, Stand, WorkedLine
from grader.notation import NotationError, print_statement, read_line
from grader.notation.tree import Change, Round, Statement
from grader.testknit.claims import Heard, stand_of
from grader.testknit.needles import Needles, Outcome
from grader.testknit.places import Ring, check_labels, check_start, misplaced, totals
from grader.testknit.rounds import work_part_round, work_pick_up, work_round
from grader.testknit.rows import work_row
from grader.testknit.sentences import work_sentence
from grader.testknit.usual import begin_piece, gather_halves, usual_spread
from grader.testknit.walking import Stuck, afford
from grader.testknit.yarns import Yarns
from grader.vocabulary.findings import Finding, Ledger


class Knitter:
    """One pair of hands: works line after line and writes the record."""

    def __init__(self, instructions: Instructions, house_style: bool = True) -> None:
        self.instructions = instructions
        self.house_style = house_style
        self.needles = Needles(usual=None if house_style else partial(usual_spread, instructions.setup))
        self.before_graft = False
        self.lines: list[WorkedLine] = []
        self.ledger = Ledger()
        self.loops = 0
        self.rounds = 0
        self.section = ""
        self.blocks = 0
        self.ring = Ring()
        self.yarns = Yarns(instructions.colours)
        self.moved = 0
        self.heard = Heard()

    # -- the whole sock

    def knit(self) -> tuple[Record, list[Finding]]:
        worked_through = False
        try:
            for section in self.instructions.sections:
                self.work_section(section)
            worked_through = True
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
            if self.needles.waste:
                message = f"{self.needles.waste} sts knitted with waste yarn are never opened"
                self.find("left-over", message, self.lines[-1].span)
                worked_through = False
        record = Record(
            self.instructions.size,
            self.instructions.size_index,
            self.instructions.setup,
            self.instructions.terms,
            tuple(self.lines),
            self.loops,
            self.needles.total,
            complete=worked_through and not self.needles.total,
            sock=self.instructions.sock,
            claims=self.heard.all(),
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
        begun = opening = self.here()
        for block, following in zip_longest(section.blocks, section.blocks[1:]):
            self.before_graft = bool(following and following.lines and following.lines[0].kind == "graft")
            before = self.here()
            self.work_block(block)
            self.heard.note(block.claims, block.key[:2], section.name, before, self.here())
            opening = opening if opening[1].live else self.here()
        self.heard.close(section.claims, section.name, begun[0], opening, self.here())

    def here(self) -> tuple[int, Stand]:
        """How many lines are recorded, and what is on the needles after them."""
        return len(self.lines), stand_of(self.needles, self.ring.spans)

    def work_block(self, block: Block) -> None:
        """Work the lines of a block as often as it says; passes that are alike are recorded once."""
        passes: list[tuple[WorkedLine, ...]] = []
        done = 0
        while done < block.times and block.lines:
            before = self.state()
            opening = next((place for place, line in enumerate(block.lines) if line.kind != "note"), 0)
            claimed = block.lines[opening].regions if done == 0 else ()
            worked = tuple(self.work(each, claimed if at == opening else ()) for at, each in enumerate(block.lines))
            passes.append(worked)
            done += 1
            if self.state() == before and all(line.kind in ("round", "note") for line in block.lines):
                passes.extend([worked] * (block.times - done))
                self.loops += sum(line.loops for line in worked) * (block.times - done)
                self.rounds += len(worked) * (block.times - done)
                done = block.times
        self.record(passes)
        self.compare(block)

    def state(self) -> tuple[Any, ...]:
        needles = self.needles
        return needles.total, needles.held, needles.markers, needles.piece and needles.piece.count, self.yarns.in_hand

    def record(self, passes: list[tuple[WorkedLine, ...]]) -> None:
        at = 0
        while at < len(passes):
            alike = at
            while alike < len(passes) and passes[alike] == passes[at]:
                alike += 1
            times = alike - at
            if times == 1:
                self.lines.extend(passes[at])
            elif len(passes[at]) == 1:
                self.lines.append(replace(passes[at][0], times=times))
            else:
                self.blocks += 1
                name = f"b{self.blocks}"
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
            left = totals(self.ring.spans).get(region, count)
            if left != count:
                message = f"the {region} should have {count} sts and has {left}"
                self.find("leaves", message, line.span, line.text, expected=str(count), found=str(left))
        wrong = misplaced(block.note, self.needles, self.ring.spans)
        if wrong:
            self.find("note", "the note has other stitches on the needles", line.span, block.note, found=wrong)

    # -- one line

    def work(self, line: PrintedLine, claimed: Regions) -> WorkedLine:
        """Work one line; `claimed` are the stretches of the round it speaks of, where it is said anew."""
        try:
            statement = _read(line.text, self.instructions.terms) if self.house_style else read_line(line.text)
            self.ring.agree(claimed)
            worked = self.statement(statement, line)
            afford("stitches", self.needles.total)
            self.rounds += 1
            afford("rounds", self.rounds)
        except NotationError as mistake:
            self.find("unread", f"the printed line can't be read: {mistake}", line.span, line.text)
            raise Stuck("unread", str(mistake)) from None
        except Stuck as stuck:
            self.find(
                stuck.code,
                stuck.message,
                line.span,
                line.text,
                expected=stuck.expected,
                found=stuck.found,
                mend=stuck.mend,
            )
            raise
        self.loops += worked.loops
        if worked.after == 0:  # the last stitch is closed and the yarn broken
            self.yarns.in_hand = ""
        return worked

    def statement(self, statement: Statement, line: PrintedLine) -> WorkedLine:
        if isinstance(statement, Change):
            self.yarns.change(statement)
            return WorkedLine(self.section, line.kind, line.text, line.span, 1, None, None)
        check_labels(statement, self.needles, self.ring.spans)
        self.moved = self.moved if line.kind == "part_round" else 0
        regions = line.regions
        if not isinstance(statement, Round):
            piece = self.needles.piece
            outcome = work_sentence(self.needles, statement)
            if piece and self.needles.piece is None:
                self.ring.rotate(piece.yarn)
        elif line.kind == "row":
            begin_piece(self.needles, self.ring, line.side, line.over)
            outcome = work_row(self.needles, statement, line.side, line.over)
            self.ring.resize(line.over, outcome.after)
        elif line.kind in ("part_round", "pick_up"):
            outcome = self.part_round(statement) if line.kind == "part_round" else self.pick_up(statement)
        else:
            regions = self.ring.spans
            outcome = work_round(self.needles, statement, regions)
            self.ring.spans = outcome.regions
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
            yarns=self.yarns.told(outcome.yarns, outcome.loops),
        )

    def pick_up(self, statement: Round) -> Outcome:
        """Round the edges of the piece; only where the other stitches lie is known after it."""
        piece = self.needles.piece
        name, after_piece = (piece.name, piece.yarn > 0) if piece else ("", False)
        outcome = work_pick_up(self.needles, statement)
        self.ring.pick_up(statement, name, outcome, after_piece)
        return outcome

    def part_round(self, statement: Round) -> Outcome:
        """A move of the start of the round; it changes what the yarn is in front of."""
        outcome = work_part_round(self.needles, statement, self.ring.spans)
        forward = sum(count for _, count in outcome.made)
        self.moved += forward
        if self.moved >= outcome.after:
            moved = str(self.moved)
            raise Stuck("start", "the parts of a round add up to a whole one", f"under {outcome.after}", moved)
        self.ring.rotate(forward)
        check_start(statement.parts[0].line, self.ring.spans)
        if self.needles.usual and self.before_graft:
            gather_halves(self.needles)
            outcome = replace(outcome, needles=self.needles.shown())
        return outcome


@lru_cache(maxsize=8192)
def _read(text: str, terms: str) -> Statement:
    """What a line says; `NotationError` also where it says more than was understood."""
    statement = read_line(text)
    again = print_statement(statement, terms)
    if again.lower() != text.lower():  # a region may have capitals in the file; no instruction hangs on them
        raise NotationError(f"it would be understood as {again!r}", 0)
    return statement


def knit(instructions: Instructions, house_style: bool = True) -> tuple[Record, list[Finding]]:
    """Knit one sock through. The record ends where a line can't be worked, and a finding says why.

    In the house's style every word must print again as it stands, and every needle must be told. Other pages may
    use the trade's other words, and leave to the hands what is usual: how a cast-on is spread over the needles.
    """
    return Knitter(instructions, house_style).knit()
