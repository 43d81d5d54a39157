"""Knitting a sock through from its printed lines, stitch for stitch in effect.

Only the printed text is worked. What the writer claims about it (counts after a block, what a piece
leaves) is compared with what is on the needles, never used to get there.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from grader.models.instructions import Block, Instructions, PrintedLine, Regions, SectionLines
from grader.models.record import Record, Shaping, WorkedLine
from grader.notation import NotationError, read_line
from grader.notation.tree import Arrange, BindOff, CastOn, Gather, Graft, Part, Rejoin, Rest, Round, Statement
from grader.testknit.needles import Needles, Piece
from grader.testknit.walking import Marks, Stuck, Walked, walk
from grader.vocabulary.findings import Finding, Ledger
from grader.vocabulary.stitches import mirrored

_OTHER = {"RS": "WS", "WS": "RS"}
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
                self.find("left-over", f"{self.needles.total} sts are left on the needles", last and last.span,
                          expected="0", found=str(self.needles.total))
        record = Record(self.instructions.size, self.instructions.size_index, self.instructions.setup,
                        self.instructions.terms, tuple(self.lines), self.loops, self.needles.total)
        return record, self.ledger.entries

    def find(self, code: str, message: str, span: Any, line: str = "", **details: Any) -> None:
        self.ledger.add(code, message, span, sizes=(self.instructions.size,), setups=(self.instructions.setup,),
                        section=self.section, line=line, **details)

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
                self.find("count", f"the page says {stated} sts, on the needles are {there}", line.span, line.text,
                          expected=str(stated), found=str(there))
                break
        for region, count in block.leaves:
            piece = self.needles.piece
            if piece and region == piece.name and piece.count != count:
                self.find("leaves", f"the {region} should have {count} sts and has {piece.count}", line.span, line.text,
                          expected=str(count), found=str(piece.count))

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
        if isinstance(statement, Round):
            if line.kind in _ROWS:
                worked = self.row(statement, line)
            elif line.kind in _PARTIAL:
                worked = self.part_round(statement, line)
            else:
                worked = self.round(statement, line)
            if statement.stated is not None and statement.stated != worked.after:
                raise Stuck("count", f"the line says {statement.stated} sts, on the needles are {worked.after}",
                            str(statement.stated), str(worked.after))
            return worked
        before = self.needles.total
        if isinstance(statement, CastOn):
            self.cast_on(statement)
        elif isinstance(statement, Rest):
            self.rest(statement)
        elif isinstance(statement, Arrange):
            self.arrange(statement)
        elif isinstance(statement, Graft):
            self.graft(statement)
        elif isinstance(statement, Gather):
            self.end(statement.count)
        elif isinstance(statement, BindOff):
            self.end(before if statement.count is None else statement.count, whole=statement.count is None)
        elif isinstance(statement, Rejoin):
            self.needles.on_hold = 0
        shown = self.needles.shown() if line.kind in ("cast_on", "arrange") else ()
        loops = self.needles.total if isinstance(statement, CastOn) else 0
        return self.worked(line, before, self.needles.total, needles=shown, loops=loops)

    def worked(self, line: PrintedLine, before: int | None, after: int | None, **details: Any) -> WorkedLine:
        return WorkedLine(self.section, line.kind, line.text, line.span, 1, before, after, side=line.side, over=line.over,
                          edges=line.edges, regions=line.regions, fabric=line.fabric, **details)

    # -- rounds

    def round(self, statement: Round, line: PrintedLine) -> WorkedLine:
        needles = self.needles
        self.leave_piece()
        if not needles.total:
            raise Stuck("misfit", "there are no stitches to work")
        if needles.by_markers and (0, "start") not in needles.markers:
            raise Stuck("marker", "the round does not begin at the marker of its start")
        if needles.wrapped:
            raise Stuck("needles", "the round begins in the middle of a needle")
        before = needles.total
        regions = self.regions
        if sum(count for _, count in regions) != before:
            raise Stuck("regions", f"the regions of the round have {sum(count for _, count in regions)} sts, on the needles are {before}",
                        str(before), str(sum(count for _, count in regions)))
        if len(statement.parts) == 1 and not statement.parts[0].needles and not statement.parts[0].each:
            walked = walk(statement.parts[0].line, before, 0, needles.marks(), False)
            needles.keep(walked.marks, walked.made)
            walks: list[Walked] = [walked]
        else:
            walks = self.by_needles(statement.parts)
        shaping = _joined_shaping(walks)
        self.regions = _shaped(regions, shaping)
        return self.worked(replace(line, regions=regions), before, needles.total, needles=needles.shown(),
                           made=_joined_runs(walks), shaping=shaping, loops=sum(each.loops for each in walks))

    def by_needles(self, parts: tuple[Part, ...]) -> list[Walked]:
        """Work the needles in their order; neighbours named together are one stretch."""
        needles = self.needles
        if needles.by_markers:
            raise Stuck("needles", "the line names needles where all stitches are on one circular needle")
        held = needles.held
        stretches: dict[int, tuple[int, Part]] = {}
        for part in parts:
            if part.region and not part.needles and not part.each:
                raise Stuck("needles", f"the line does not say on which needles the {part.region} is")
            numbers = tuple(range(1, len(held) + 1)) if part.each else part.needles
            groups = (numbers,) if part.as_one_stretch and not part.each else tuple((number,) for number in numbers)
            for group in groups:
                for number in group:
                    if not 1 <= number <= len(held):
                        raise Stuck("needles", f"there is no needle {number}", found=str(len(held)))
                    if number in stretches:
                        raise Stuck("needles", f"needle {number} is worked twice in one round")
                    stretches[number] = (group[0], part)
        missing = [number for number in range(1, len(held) + 1) if number not in stretches]
        if missing:
            raise Stuck("needles", f"needle {missing[0]} is not worked in this round")
        walks, now, at = [], [], 0
        while at < len(held):
            first, part = stretches[at + 1]
            size = sum(1 for number in stretches if stretches[number] == (first, part))
            counts = held[at : at + size]
            joins = tuple((sum(counts[: index + 1]), "needle") for index in range(size - 1))
            walked = walk(part.line, sum(counts), 0, joins, False)
            ends = [0, *(place for place, kind in walked.marks if kind == "needle"), walked.made]
            now.extend(b - a for a, b in zip(ends, ends[1:], strict=False))
            walks.append(walked)
            at += size
        needles.held, needles.total = tuple(now), sum(now)
        return walks

    def part_round(self, statement: Round, line: PrintedLine) -> WorkedLine:
        """Work on from where the yarn is, over as much of the round as the line says, picking up at edges."""
        needles = self.needles
        before = needles.total
        piece = needles.piece
        marks, at, made = needles.marks(), 0, 0
        runs: list[Walked] = []
        if line.kind == "pick_up" and needles.by_markers:
            marks = ()
        owners: list[tuple[int, tuple[int, ...]]] = []
        for part in statement.parts:
            there = tuple((place - at, kind) for place, kind in marks if place > at or (place == at and kind != "needle"))
            walked = walk(part.line, before - at, 0, there, True)
            inner = [place for place, kind in walked.marks if kind == "needle" and place < walked.made]
            owners.append((walked.made, tuple(inner)))
            runs.append(walked)
            at += walked.used
            made += walked.made
        start_at, shift = None, 0
        markers: list[tuple[int, str]] = []
        for walked in runs:
            if walked.start_at is not None:
                start_at = shift + walked.start_at
            markers += [(shift + place, kind) for place, kind in walked.marks if kind in ("marker", "start") and place <= walked.made]
            shift += walked.made
        if line.kind == "pick_up":
            self.close_piece(piece, [pick for walked in runs for pick in walked.picks])
            if at != before:
                raise Stuck("unworked", f"leaves {before - at} sts unworked between the edges", str(before), str(at))
            self.lay_out(statement, owners, made, markers, start_at)
        elif made != at:
            raise Stuck("misfit", "a part of a round only moves the start; shape in whole rounds", str(at), str(made))
        else:
            needles.rotate(made % needles.total if needles.total else 0)
        return self.worked(line, before, needles.total, needles=needles.shown(), made=_joined_runs(runs),
                           shaping=_joined_shaping(runs), loops=sum(each.loops for each in runs))

    def lay_out(self, statement: Round, owners: list[tuple[int, tuple[int, ...]]], made: int, markers: list[tuple[int, str]],
                start_at: int | None) -> None:
        """After a pick-up: which needle holds what, or where the markers are."""
        needles = self.needles
        needles.total = made
        if needles.by_markers:
            needles.markers = tuple(markers)
            if start_at is None:
                raise Stuck("marker", "the line places no marker for the start of the round")
            return
        held: list[int] = []
        for count, inner in owners:
            ends = [0, *inner, count]
            held.extend(b - a for a, b in zip(ends, ends[1:], strict=False))
        named = [number for part in statement.parts for number in part.needles]
        needles.wrapped = len(named) > 1 and named[0] == named[-1]
        wanted = sorted(set(named))
        if named and (wanted != list(range(1, len(wanted) + 1)) or len(held) != len(named)):
            raise Stuck("needles", "the needles named do not match the stitches on them", str(len(named)), str(len(held)))
        needles.held = tuple(held)

    # -- rows

    def row(self, statement: Round, line: PrintedLine) -> WorkedLine:
        needles = self.needles
        piece = needles.piece
        if piece is None or piece.name != line.over:
            piece = needles.piece = self.begin_piece(line)
        if line.side != piece.next_side:
            raise Stuck("side", f"a {line.side} row stands where the next is a {piece.next_side} row", piece.next_side, line.side)
        before, side = piece.count, line.side
        start = piece.yarn if side == "RS" else piece.count - piece.yarn
        walked = walk(statement.parts[0].line, piece.count, start, piece.marks(side), False)
        after = walked.made + piece.count - walked.used
        full = start == 0 and walked.used == before and not walked.turned
        if full:
            edge = piece.edges["right" if side == "RS" else "left"]
            if walked.slipped_first:
                edge.chains += 1
            else:
                edge.plain += 1
        if walked.loops == 0:
            raise Stuck("slipped", "the whole row is slipped and no yarn is worked")
        self.check_passed(piece, walked, side, start)
        needles.shift_piece(after - before)
        piece.count = after
        marks: Marks = tuple(mark for mark in walked.marks if 0 < mark[0] < after)
        piece.gaps = marks if side == "RS" else piece.turned_over(marks)
        piece.yarn = walked.made if side == "RS" else after - walked.made
        piece.next_side = _OTHER[side]
        shaping = walked.shaping if side == "RS" else tuple(
            replace(each, lean=mirrored(each.lean), before=after - each.before - each.width) for each in walked.shaping)
        return self.worked(line, before, after, made=walked.runs, shaping=shaping, loops=walked.loops, full=full)

    def begin_piece(self, line: PrintedLine) -> Piece:
        """The stitches a flap is worked on: those the resting step named, or those of the first needle."""
        needles = self.needles
        if needles.told and needles.told[0] == line.over:
            return Piece(line.over, needles.told[1])
        if len(needles.held) > 1:
            return Piece(line.over, needles.held[0])
        raise Stuck("over", f"nothing says which stitches are the {line.over}")

    def check_passed(self, piece: Piece, walked: Walked, side: str, start: int) -> None:
        """A plain gap that is worked past without a decrease leaves a hole."""
        for place, kind in walked.marks:
            if kind == "gap" and start < place < walked.made:
                raise Stuck("gap", "the row goes past a gap without closing it by a decrease")

    def leave_piece(self) -> None:
        """A round over stitches worked to and fro: it must leave no gap, and no edge to be picked up."""
        piece = self.needles.piece
        if piece is not None:
            raise Stuck("piece", f"the {piece.name} was worked to and fro and its edges have not been picked up")

    def close_piece(self, piece: Piece | None, picks: list[tuple[str, int]]) -> None:
        """Picking up along the edges of a piece: each edge must offer what is picked up, and nothing be left."""
        if piece is None:
            raise Stuck("edge", "there is no edge to pick up from")
        if piece.open_gaps:
            raise Stuck("gap", f"{piece.open_gaps} gaps of the {piece.name} are still open", "0", str(piece.open_gaps))
        if piece.next_side != "RS" or piece.yarn not in (0, piece.count):
            raise Stuck("side", "the pick-up needs the yarn at the start of a right-side row")
        given = [edge for edge, _ in picks]
        order = ["left", "right"]
        for place, (edge, count) in enumerate(picks):
            name = edge if edge in order else order[min(place, 1)]
            offers = piece.edges[name].offers
            if count > offers:
                raise Stuck("edge", f"{count} sts to pick up along the {name} edge, which offers {offers}", str(offers), str(count))
            chains = piece.edges[name].chains
            if count < chains:
                raise Stuck("edge", f"{count} sts picked up along the {name} edge leave {chains - count} of its {chains} chains unused",
                            str(chains), str(count))
        if len(picks) == 2 and (picks[0][1] != picks[1][1] or given[0] == given[1] != ""):
            raise Stuck("edge", "the two edges are not picked up alike", str(picks[0][1]), str(picks[1][1]))
        self.needles.piece, self.needles.told, self.needles.on_hold = None, None, 0

    # -- sentences

    def cast_on(self, statement: CastOn) -> None:
        if self.needles.total:
            raise Stuck("cast_on", "there are stitches on the needles already", "0", str(self.needles.total))
        count = statement.count if isinstance(statement.count, int) else 0
        held = statement.needles or ((count,) if statement.marker else ())
        if not statement.joined:
            raise Stuck("cast_on", "the stitches are not joined in the round")
        if statement.needles and sum(held) != count:
            raise Stuck("needles", f"{count} sts cast on, {sum(held)} on the needles", str(count), str(sum(held)))
        self.needles = Needles(count, held or (count,), markers=((0, "start"),) if statement.marker else (),
                               by_markers=statement.marker)

    def rest(self, statement: Rest) -> None:
        held, worked = statement.held, statement.worked
        if not isinstance(held, int) or not isinstance(worked, int) or held + worked != self.needles.total:
            raise Stuck("rest", f"{held} and {worked} sts are not the {self.needles.total} on the needles",
                        str(self.needles.total), f"{held} + {worked}")
        if not self.needles.by_markers and len(self.needles.held) > 1 and self.needles.held[0] != worked:
            raise Stuck("needles", f"the {worked} {statement.worked_for} sts are not on one needle", str(worked),
                        str(self.needles.held[0]))
        self.needles.on_hold, self.needles.told = held, (statement.worked_for, worked)

    def arrange(self, statement: Arrange) -> None:
        if sum(statement.needles) != self.needles.total:
            raise Stuck("needles", f"{sum(statement.needles)} sts on the needles named, {self.needles.total} there are",
                        str(self.needles.total), str(sum(statement.needles)))
        if any(count < 1 for count in statement.needles):
            raise Stuck("needles", "a needle would hold no stitches")
        if self.needles.by_markers and (0, "start") not in self.needles.markers:
            raise Stuck("needles", "change needles at the start of the round")
        self.needles.held, self.needles.wrapped = statement.needles, False
        self.needles.by_markers, self.needles.markers = False, ()

    def graft(self, statement: Graft) -> None:
        front, back = statement.front, statement.back
        if front != back:
            raise Stuck("graft", f"{front} sts can't be grafted to {back}", str(front), str(back))
        if not isinstance(front, int) or not isinstance(back, int) or front + back != self.needles.total:
            raise Stuck("graft", f"{front} and {back} sts to graft, {self.needles.total} on the needles",
                        str(self.needles.total), f"{front} + {back}")
        if not self.needles.by_markers and self.needles.held not in ((front, back),):
            raise Stuck("graft", "the stitches to graft are not on two needles", f"{front}, {back}",
                        ", ".join(str(count) for count in self.needles.held))
        self.needles = Needles()

    def end(self, count: object, whole: bool = True) -> None:
        if count != self.needles.total and whole:
            raise Stuck("left-over", f"the line speaks of {count} sts, on the needles are {self.needles.total}",
                        str(self.needles.total), str(count))
        if not isinstance(count, int) or count > self.needles.total:
            raise Stuck("misfit", f"{count} sts to finish, {self.needles.total} on the needles")
        self.needles = Needles() if count == self.needles.total else replace(self.needles, total=self.needles.total - count)


def _shaped(regions: Regions, shaping: tuple[Shaping, ...]) -> Regions:
    """The regions after a round: each has lost or won what was shaped in it."""
    counts, at = [], 0
    for name, count in regions:
        change = sum(each.width - each.takes for each in shaping if at <= each.taken < at + count)
        counts.append((name, count + change))
        at += count
    return tuple(counts)


def _joined_runs(walks: list[Walked]) -> tuple[tuple[str, int], ...]:
    runs: list[tuple[str, int]] = []
    for walked in walks:
        for name, count in walked.runs:
            if runs and runs[-1][0] == name:
                runs[-1] = (name, runs[-1][1] + count)
            else:
                runs.append((name, count))
    return tuple(runs)


def _joined_shaping(walks: list[Walked]) -> tuple[Any, ...]:
    shaping, made, used = [], 0, 0
    for walked in walks:
        shaping.extend(replace(each, before=each.before + made, taken=each.taken + used) for each in walked.shaping)
        made += walked.made
        used += walked.used
    return tuple(shaping)


def knit(instructions: Instructions) -> tuple[Record, list[Finding]]:
    """Knit one sock through. The record ends where a line can't be worked, and a finding says why."""
    return Knitter(instructions).knit()
