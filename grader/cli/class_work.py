"""One line of a class list after the other, each worked by itself, on as many cores as there are."""

from __future__ import annotations

import argparse
import re
from collections.abc import Generator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

from grader.cli.arguments import OF_THE_LEG, UsageError, gauge_of, setup_name, title_of
from grader.models.class_list import Member
from grader.models.edition import Edition
from grader.models.pattern import Pattern
from grader.vocabulary.findings import Finding
from grader.vocabulary.unprintable import Unprintable

if TYPE_CHECKING:
    from grader.class_sheets import Sheets

FEW = 4  # people for whom it doesn't pay to start a process


@dataclass(frozen=True, slots=True)
class Lesson:
    """What holds for the whole class: pattern and edition, and what is used where a line says nothing.

    `gauge` and `needles` are as typed, or "". `stem` begins the names of pictures, `persons` says by line
    what those of her own document are to tell of a person; `used` holds the measures of the leg that the pattern has a
    use for.
    """

    pattern: Pattern
    edition: Edition
    gauge: str
    needles: str
    estimate: bool
    stem: str
    used: frozenset[str]
    separate: bool = False  # a document for each person instead of one for all
    persons: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one line: its sheets, or the reason why there are none; what was estimated or altered; doubts.

    `fault` is a mistake of the template, which no line can mend.
    """

    line: int
    name: str
    sheets: Sheets | None = None
    reason: str = ""
    told: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    fault: str = ""
    files: tuple[tuple[str, bytes], ...] = ()  # of her own document, where each has one

    @property
    def is_served(self) -> bool:
        """True if there is a document."""
        return bool(self.sheets or self.files)


def work_class(lesson: Lesson, members: Sequence[Member], jobs: int) -> Generator[Outcome]:
    """What becomes of each line, in their order; the same for any number of `jobs`."""
    from grader.cli.workers import ENDED, worked

    outcomes = worked(lambda place: serve(lesson, members[place]), len(members), jobs if len(members) >= FEW else 1)
    with closing(outcomes):
        for member, outcome in zip(members, outcomes, strict=True):
            yield outcome or Outcome(member.line, member.name, reason=ENDED)


def serve(lesson: Lesson, member: Member) -> Outcome:
    """Work one line of the list: the foot, the sock, its sheets."""
    from grader.class_sheets import bind_sheets, write_sheets
    from grader.cli.one_off import work_one_off
    from grader.cli.person import judged, person_of
    from grader.pipeline import reread
    from grader.write_up import TemplateMistake

    doubts: list[str] = []
    try:
        name = _name(member)
        arguments = _arguments(lesson, member, name)
        gauge, setup = _hands(lesson, member)
        body = person_of(lesson.pattern, arguments, _missing)
        doubts = [_in_a_line(remark) for remark in judged(body)]
        checked, findings = work_one_off(lesson.pattern, body, gauge, setup, arguments)
    except UsageError as mistake:
        return Outcome(member.line, member.name, reason=_without_dashes(str(mistake)))
    if checked is None:
        return Outcome(member.line, name, reason=_why(findings), doubts=tuple(doubts))
    misread = reread(checked.socks, lesson.edition.language) if lesson.edition.language else []
    if misread:
        return Outcome(member.line, name, reason=_why(misread), doubts=tuple(doubts))
    graded = checked.socks[0].graded
    try:
        stem = f"{lesson.stem}-{f'for-{lesson.persons[member.line]}' if lesson.separate else member.line}"
        sheets = write_sheets(checked, lesson.edition, stem)
        doubts += [_said(finding) for finding in findings]
        told = (*graded.body.told, *graded.altered)
        if lesson.separate:
            made = bind_sheets(lesson.pattern, [sheets], "", lesson.edition, stem)
            return Outcome(member.line, name, None, "", told, tuple(doubts), files=tuple(made.files.items()))
    except (TemplateMistake, Unprintable) as mistake:
        return Outcome(member.line, name, fault=str(mistake))
    return Outcome(member.line, name, sheets, "", told, tuple(doubts))


def _name(member: Member) -> str:
    """The name, which must be there and be printable."""
    from grader.class_sheets import unprintable

    if not member.name:
        raise UsageError("the name is missing")
    name = title_of(member.name, "name")
    odd = unprintable(name)
    if odd:
        raise UsageError(f"the name has {odd!r}, which the typeface can't print; write it in other letters")
    return name


def _arguments(lesson: Lesson, member: Member, name: str) -> argparse.Namespace:
    """The line as if it had been typed for one knitter; measures that the pattern has no use for are left out."""
    cells = {column: text for column, text in member.cells.items() if column not in ("gauge", "needles")}
    given = dict.fromkeys(("foot", "length", "leg", "heel", "instep", "shoe", "age")) | cells
    given |= {
        each.name: cells.get(each.name) if each.of_all or each.name in lesson.used else None for each in OF_THE_LEG
    }
    return argparse.Namespace(
        **given, name=name, estimate=lesson.estimate, units=lesson.edition.units, terms=lesson.edition.terms.lower()
    )


def _hands(lesson: Lesson, member: Member) -> tuple[tuple[Fraction, Fraction], str]:
    """Gauge and needles: those of the line, or else those of the class."""
    gauge = member.cells.get("gauge", lesson.gauge)
    if not gauge:
        raise UsageError("the gauge is missing: stitches x rounds to 10 cm (such as 31x43)")
    needles = member.cells.get("needles", lesson.needles)
    if not needles:
        raise UsageError("the needles are missing (short-circular, magic-loop, set-of-5, set-of-4)")
    setup = setup_name(needles)
    if lesson.pattern.setups and setup not in lesson.pattern.setups:
        raise UsageError(f"this pattern is not written for {setup}")
    return gauge_of(gauge), setup


def _missing(option: str, question: str) -> str:
    raise UsageError(f"the {option.replace('-', ' ')} is missing: {question[:1].lower()}{question[1:]}")


def _why(findings: Sequence[Finding]) -> str:
    """What stands in the way: the errors, or the remarks where there is none."""
    errors = [finding for finding in findings if finding.is_error] or list(findings)
    return ". ".join(dict.fromkeys(map(_said, errors))) or "no sock could be written for this foot"


def _said(finding: Finding) -> str:
    sock = "; ".join(part for part in (*finding.setups, finding.section) if part)
    return f"{f'{sock}: ' if sock else ''}{finding.message}{f'; {finding.mend}' if finding.mend else ''}"


def _in_a_line(text: str) -> str:
    """A finding as it is printed, on one line."""
    return "; ".join(
        re.sub(r"(?<!\s)\s+found:", ", found:", line.strip()) for line in text.removeprefix("remark: ").splitlines()
    )


def _without_dashes(text: str) -> str:
    """Options are columns here: "--foot" is the foot."""
    return re.sub(r"(?<!\S)--(?=[a-z])", "", text)
