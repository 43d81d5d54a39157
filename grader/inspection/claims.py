"""What the sentences of a pattern state, held against what was worked where they stand.

Each kind of `grader.vocabulary.statements` has its answer here: a count, a length, or bounds for an end of yarn. A
length answers within half a round, as it is worked in whole ones.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from grader.inspection.foot import height_of_lines, measure_foot
from grader.inspection.measures import half_repeat, width_after, worked_measure
from grader.models.graded import Graded
from grader.models.pattern import FinishedRule, Pattern
from grader.models.record import Record, Stand, WorkedClaim, WorkedLine
from grader.vocabulary.findings import Ledger
from grader.vocabulary.techniques import WAYS

_MEND = "correct the formula or its kind; what is said stands before the work of its step, a check after it"
_TO_FASTEN = (Fraction(15), Fraction(30))  # cm, to thread, draw together and weave in: common practice
_A_STRAND = (Fraction(15), Fraction(100))  # cm, of which nothing worked tells what it is to do


@dataclass(frozen=True, slots=True)
class _Answer:
    """What the work gives: from `low` to `high`, and how it is told; both None where nothing there answers.

    `figure` is what belongs in the sentence, where that is known.
    """

    low: Fraction | None
    high: Fraction | None
    told: str
    figure: str = ""

    def allows(self, amount: Fraction) -> bool:
        return self.low is not None and self.high is not None and self.low <= amount <= self.high


@dataclass(frozen=True, slots=True)
class _Place:
    """A claim with all that may answer it."""

    pattern: Pattern
    graded: Graded
    record: Record
    worked: WorkedClaim

    @property
    def stand(self) -> Stand:
        return self.worked.stand

    @property
    def so_far(self) -> tuple[WorkedLine, ...]:
        return self.record.lines[: self.worked.at]

    @property
    def step(self) -> tuple[WorkedLine, ...]:
        return self.record.lines[self.worked.first : self.worked.last]

    def of_section(self, lines: Iterable[WorkedLine]) -> list[WorkedLine]:
        return [line for line in lines if line.section == self.worked.section]

    def rule(self, measure: str) -> FinishedRule | None:
        return next((each for each in self.pattern.finished if each.measure == measure), None)

    def height(self, lines: Iterable[WorkedLine], kinds: tuple[str, ...] = ("round",)) -> Fraction:
        """How high these lines come, in cm; a stitch pattern worked all round has its own gauge."""
        return height_of_lines(self.pattern, (line for line in lines if line.kind in kinds))


def check_claims(pattern: Pattern, graded: Graded, record: Record, ledger: Ledger) -> None:
    """Every number that a sentence states is what the work gives there."""
    for worked in record.claims:
        claim = worked.claim
        answer = ANSWERS[claim.kind](_Place(pattern, graded, record, worked))
        if answer.allows(claim.amount):
            continue
        speaks = "the check says" if claim.where == "check" else "the words say"
        ledger.add(
            "statement",
            f"{speaks} {_stated(worked)}, and {answer.told}",
            claim.span,
            sizes=(record.size,),
            setups=(record.setup,),
            section=worked.section,
            expected=answer.figure,
            found=claim.printed,
            mend=_MEND,
        )


def _stated(worked: WorkedClaim) -> str:
    """What a sentence states, as a reader would say it."""
    claim = worked.claim
    if claim.kind == "tail":
        return f"a tail of {claim.printed}"
    if claim.kind == "divisor":
        return f"that the stitches divide by {claim.printed}"
    if claim.kind == "finished MEASURE":
        return f"a finished {claim.of} of {claim.printed}"
    return f"{claim.printed} {claim.kind.replace('REGION', claim.of)}"


# -- answers


def _nothing(why: str) -> _Answer:
    return _Answer(None, None, why)


def _count(number: int | Fraction) -> _Answer:
    return _Answer(Fraction(number), Fraction(number), f"the work gives {float(number):g}", f"{float(number):g}")


def _length(place: _Place, amount: Fraction, slack: Fraction | None = None) -> _Answer:
    own = (each.gauge.rounds for each in place.pattern.stitch_patterns if each.gauge)
    off = slack if slack is not None else Fraction(1, 2) / min((place.pattern.gauge.rounds, *own))
    shown = f"{float(amount):.1f} cm"
    return _Answer(amount - off, amount + off, f"the work gives {shown}", shown)


def _live(place: _Place) -> _Answer:
    return _count(place.stand.live)


def _of_region(place: _Place) -> _Answer:
    of = place.worked.claim.of
    counts = [count for name, count in place.stand.regions if name == of.lower()]
    return _count(sum(counts)) if counts else _nothing(f"no stitches are known as the {of} there")


def _without_a_wrap(place: _Place) -> _Answer:
    middle = place.stand.middle
    return _nothing("nothing is worked to and fro there") if middle is None else _count(middle)


def _between_doubles(place: _Place) -> _Answer:
    middle, doubles = place.stand.middle, place.stand.doubles
    if middle is None or not doubles:
        return _nothing("no double stitch lies ahead there")
    return _count(middle - doubles)


def _along_each_edge(place: _Place) -> _Answer:
    for line in place.step:
        if line.kind == "pick_up" and line.edges:
            return _count(Fraction((line.after or 0) - (line.before or 0), len(line.edges)))
    return _nothing("nothing is picked up in this step")


def _chains(place: _Place) -> _Answer:
    chains = place.stand.chains
    if not chains:
        return _nothing("nothing is worked to and fro there")
    if len(set(chains)) > 1:
        return _nothing(f"there are {chains[0]} along the left edge and {chains[1]} along the right")
    return _count(chains[0])


def _divisor(place: _Place) -> _Answer:
    after = place.step[-1].after if place.step and not place.step[-1].over else place.stand.live
    wanted = place.worked.claim.amount
    if after and wanted > 1 and wanted.denominator == 1 and not after % wanted:
        return _count(wanted)
    return _nothing(f"there are {after} sts after this step")


def _times(place: _Place) -> _Answer:
    """A line of the file is worked as often as its step is, or a multiple of that where it has times of its own."""
    worked: dict[object, int] = {}
    for line in place.step:
        if line.kind in ("round", "row"):
            worked[line.span] = worked.get(line.span, 0) + line.times * line.block_times
    return _count(min(worked.values())) if worked else _nothing("this step works no rounds or rows")


def _number(kind: str, lines: Callable[[_Place], Iterable[WorkedLine]]) -> Callable[[_Place], _Answer]:
    def answer(place: _Place) -> _Answer:
        return _count(sum(line.times * line.block_times for line in lines(place) if line.kind == kind))

    return answer


def _of_this_step(place: _Place) -> Iterable[WorkedLine]:
    return place.step


def _of_the_section_so_far(place: _Place) -> Iterable[WorkedLine]:
    return place.of_section(place.so_far)


def _of_the_section(place: _Place) -> Iterable[WorkedLine]:
    return place.of_section(place.record.lines)


def _from_the_cast_on(place: _Place) -> _Answer:
    return _length(place, place.height(place.so_far))


def _along_the_leg(place: _Place) -> _Answer:
    rule = place.rule("leg_length")
    if rule is None or not rule.along:
        return _nothing("no finished leg length says which sections are the leg")
    height = place.height(line for line in place.so_far if line.section in rule.along)
    return _length(place, height + place.graded.beside_rounds.get("leg_length", Fraction(0)))


def _from_the_back_of_the_heel(place: _Place) -> _Answer:
    foot = measure_foot(place.pattern, place.record)
    if foot is None or place.worked.at < foot.first:
        return _nothing("no heel is worked before it")
    return _length(place, foot.heel_depth + place.height(place.so_far[foot.first :]))


def _from_the_tip_of_the_toe(place: _Place) -> _Answer:
    foot = measure_foot(place.pattern, place.record)
    return _length(place, place.height(place.so_far) + (foot.toe_cup if foot else Fraction(0)))


def _of_the_section_long(place: _Place) -> _Answer:
    return _length(place, place.height(place.of_section(place.so_far), ("round", "row")))


def _around(place: _Place) -> _Answer:
    width = width_after(place.pattern, replace(place.record, lines=place.so_far), place.worked.section)
    if width is None:
        return _nothing("no round of this section is worked before it")
    return _length(place, width, Fraction(1, 2) / place.pattern.gauge.stitches)


def _finished(place: _Place) -> _Answer:
    rule = place.rule(place.worked.claim.of.replace(" ", "_"))
    worked = worked_measure(place.pattern, place.graded, place.record, rule) if rule else None
    if rule is None or worked is None:
        return _nothing(f"nothing knitted tells the {place.worked.claim.of}")
    return _length(place, worked, half_repeat(place.pattern) / place.pattern.gauge.stitches if rule.around else None)


def _tail(place: _Place) -> _Answer:
    """Long enough for what the yarn has to do in this step, and not absurdly long.

    A graft takes "3 times the width to graft plus 6 in (15 cm); or at least 25 cm" (a magazine's lesson on grafting a
    sock toe, 2021), an edge that is cast or bound off three to four times its width and some to weave in (common
    practice); a cast-on that is closed and the last loops drawn together only what is woven in.
    """
    for line in place.step:
        if line.kind == "gather" or (line.kind == "cast_on" and _is_closed(place)):
            return _between(*_TO_FASTEN)
        if line.kind == "graft":
            need = 3 * Fraction(line.before or 0, 2) / place.pattern.gauge.stitches + 15
            return _between(max(need - Fraction(5, 2), Fraction(20)), need + 15)
        if line.kind in ("cast_on", "bind_off"):
            width = max(line.before or 0, line.after or 0) / place.pattern.gauge.stitches
            return _between(3 * width, 4 * width + 30)
    return _between(*_A_STRAND)


def _between(low: Fraction, high: Fraction) -> _Answer:
    shown = f"{float(low):.0f} to {float(high):.0f} cm"
    return _Answer(low, high, f"the work asks for {shown}", shown)


def _is_closed(place: _Place) -> bool:
    """True where the cast-on of the sock has no opening, as for a toe."""
    ways = [step.by for section in place.pattern.sections for step in section.steps if step.kind == "cast_on"]
    return any(WAYS[way].closed for way in ways if way)


ANSWERS: dict[str, Callable[[_Place], _Answer]] = {
    "sts": _live,
    "sts of the REGION": _of_region,
    "sts without a wrap": _without_a_wrap,
    "sts between the double sts": _between_doubles,
    "sts along each edge": _along_each_edge,
    "chains": _chains,
    "divisor": _divisor,
    "times": _times,
    "rounds": _number("round", _of_this_step),
    "rows": _number("row", _of_this_step),
    "rounds so far": _number("round", _of_the_section_so_far),
    "rows so far": _number("row", _of_the_section_so_far),
    "rounds of the section": _number("round", _of_the_section),
    "rows of the section": _number("row", _of_the_section),
    "rounds from the cast-on": _number("round", lambda place: place.so_far),
    "from the cast-on": _from_the_cast_on,
    "from the top edge": _along_the_leg,
    "from the heel": _along_the_leg,
    "from the back of the heel": _from_the_back_of_the_heel,
    "from the tip of the toe": _from_the_tip_of_the_toe,
    "of the section": _of_the_section_long,
    "around": _around,
    "finished MEASURE": _finished,
    "tail": _tail,
}
