"""The order of the stages: read, grade, write out, knit, inspect. Nothing else knows it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from grader.gauging import suited
from grader.inspection import Run, foot_made, inspect
from grader.loading import load_pattern
from grader.models.graded import Graded
from grader.models.instructions import Instructions
from grader.models.language import Language
from grader.models.pattern import Gauge, Pattern, Yarn
from grader.models.record import Record
from grader.models.swatch import FootMade
from grader.setups import both_socks, setup_names, write_out
from grader.sizing import alterations_for, grade
from grader.testknit import knit
from grader.translating import knitted_from
from grader.vocabulary.bodies import Body
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart
from grader.yarn_use import yarn_for_pair

Progress = Callable[[str, int, int], None]


def _silent(_what: str, _done: int, _whole: int) -> None:
    """No progress wanted."""


@dataclass(frozen=True, slots=True)
class Sock:
    """One size in one setup: its numbers, its printed lines and how it was knitted.

    `right` is how the right sock was knitted where the pair's two differ; the printed lines then hold both.
    """

    graded: Graded
    instructions: Instructions
    record: Record
    right: Record | None = None

    @property
    def records(self) -> tuple[Record, ...]:
        """What was knitted: one sock, or the two that differ."""
        return (self.record, self.right) if self.right else (self.record,)


@dataclass(frozen=True, slots=True)
class Checked:
    """A pattern graded, written out and knitted through."""

    pattern: Pattern
    sizes: tuple[Graded, ...]
    socks: tuple[Sock, ...]
    findings: tuple[Finding, ...]

    @property
    def is_sound(self) -> bool:
        """True if no finding stops publication."""
        return not any(finding.is_error for finding in self.findings)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to work: setups (all of the pattern's where empty), terms, units."""

    setups: tuple[str, ...] = ()
    terms: tuple[str, ...] = ("UK",)
    units: str = "cm"


def open_pattern(path: str) -> tuple[Pattern | None, list[Finding]]:
    """Read a pattern file with the charts that ship."""
    return load_pattern(path, read_chart)


def for_one(pattern: Pattern, body: Body, gauge: Gauge | None = None) -> Pattern:
    """The same pattern for one person, at her own gauge if given. The designer's samples are of other feet."""
    mine = replace(pattern, bodies=(body,), samples=())
    return mine if gauge is None else regauged(mine, gauge)


def regauged(pattern: Pattern, gauge: Gauge, yarn: Yarn | None = None, needle_mm: Fraction | None = None) -> Pattern:
    """The whole pattern at another gauge, in the yarn and on the needle given, or in such as suit that gauge.

    The designer's samples were knitted at the gauge of the file, and are left out.
    """
    needled, fitting = suited(pattern, gauge)
    yarn = yarn or fitting
    longer = yarn.metres / yarn.grams / (pattern.yarn.metres / pattern.yarn.grams)
    return replace(
        pattern,
        gauge=replace(needled, needle_mm=needle_mm or needled.needle_mm),
        yarn=yarn,
        colours=tuple(replace(each, metres=each.metres * longer) for each in pattern.colours),
        stitch_patterns=tuple(
            replace(each, gauge=_scaled(each.gauge, pattern.gauge, gauge)) for each in pattern.stitch_patterns
        ),
        samples=(),
        gauge_changed=True,
    )


def with_parts_for(pattern: Pattern, body: Body) -> tuple[Pattern | None, Body, list[Finding]]:
    """The pattern read anew with the parts that its alterations take for this person, and the person told of each.

    A pattern without such alterations stays as it is; None with findings where the other parts don't go with it.
    """
    held = [each for each in alterations_for(pattern, body) if each.parts]
    if not held:
        return pattern, body, []
    instead: dict[str, str] = {}
    for each in reversed(held):  # where two would replace one part, the first does
        instead |= dict(each.parts)
    altered, findings = load_pattern(pattern.file, read_chart, instead)
    told = tuple(f"{each.name}: {each.why}" for each in held)
    return altered, replace(body, told=(*body.told, *told)), findings


def _scaled(own: Gauge | None, old: Gauge, new: Gauge) -> Gauge | None:
    """The gauge of a stitch pattern, which draws in as much for another knitter as it did for the designer."""
    if own is None:
        return None
    stitches, rounds = new.stitches / old.stitches, new.rounds / old.rounds
    return replace(own, stitches=own.stitches * stitches, rounds=own.rounds * rounds)


def grade_all(pattern: Pattern) -> tuple[tuple[Graded, ...], list[Finding]]:
    """Every size that can be graded, and what stands in the way of the others."""
    sizes: list[Graded] = []
    findings: list[Finding] = []
    for index, body in enumerate(pattern.bodies):
        graded, told = grade(pattern, body, index)
        findings.extend(told)
        if graded is not None:
            sizes.append(graded)
    return tuple(sizes), findings


def check(pattern: Pattern, wanted: Wanted = Wanted(), progress: Progress = _silent) -> Checked:
    """Grade, write out and knit through every size in every setup, and inspect what came out."""
    sizes, findings = grade_all(pattern)
    setups = wanted.setups or pattern.setups or setup_names()
    socks: list[Sock] = []
    asked = tuple(product(sizes, setups, wanted.terms))
    work = 0
    for graded, setup, terms in asked:
        if work > allowed("work"):
            message, mend = too_much("work", work)
            findings.append(Finding("budget", message, pattern.span, mend=f"{mend}; or check a few sizes at a time"))
            break
        progress("knitting", len(socks), len(asked))
        sock, told = work_one(pattern, graded, setup, terms, wanted.units)
        findings.extend(told)
        if sock is not None:
            socks.append(sock)
            work += sum(record.worked for record in sock.records)
    runs = (Run(sock.graded, record, _yarn_of(pattern, sock)) for sock in socks for record in sock.records)
    findings.extend(inspect(pattern, [run for run in runs if run.record.complete]))
    return Checked(pattern, sizes, tuple(socks), tuple(_distinct(findings)))


def _yarn_of(pattern: Pattern, sock: Sock) -> tuple[float, float] | None:
    """What a pair takes, in metres and grams, where a sample of that size is to be compared with it."""
    if not any(sample.size == sock.graded.body.name and sample.yarn for sample in pattern.samples):
        return None
    use = yarn_for_pair(pattern, sock.record)
    return use.metres_pair, use.grams_pair


def work_one(
    pattern: Pattern,
    graded: Graded,
    setup: str,
    terms: str = "UK",
    units: str = "cm",
) -> tuple[Sock | None, list[Finding]]:
    """Write one sock out and knit it through; both of a pair that differ."""
    instructions, findings = write_out(pattern, graded, setup, terms, units)
    if instructions is None:
        return None, findings
    record, told = knit(instructions)
    if not pattern.is_pair:
        return Sock(graded, instructions, record), [*findings, *told]
    right, more = write_out(pattern, graded, setup, terms, units, sock="right")
    if right is None:
        return None, [*findings, *told, *more]
    other, last = knit(right)
    printed = both_socks(pattern, instructions, right)
    return Sock(graded, printed, record, other), [*findings, *told, *more, *last]


def foot_of(pattern: Pattern, graded: Graded) -> FootMade | None:
    """What the length of one size's foot is made of, as it is knitted; None where it can't be knitted or is a tube."""
    for setup in pattern.setups or setup_names():
        sock, _ = work_one(pattern, graded, setup)
        if sock is not None and sock.record.complete:
            return foot_made(pattern, sock.record)
    return None


def reread(socks: Iterable[Sock], language: Language) -> list[Finding]:
    """Knit every sock once more from its lines as the language prints them: they must come to the same record."""
    findings: list[Finding] = []
    for sock in socks:
        back, told = knitted_from(sock.instructions, language)
        findings.extend(told)
        if sock.right is not None:
            continue  # both socks of a pair stand in one text; their lines are read back, not knitted again
        record, _ = knit(back)
        if not told and record != sock.record:
            where = next(
                (line for line, mine in zip(record.lines, sock.record.lines, strict=False) if line != mine), None
            )
            findings.append(
                Finding(
                    "misread",
                    f"knitted from its lines in {language.name} the sock becomes another",
                    where.span if where else None,
                    sizes=(sock.record.size,),
                    setups=(sock.record.setup,),
                    line=where.text if where else "",
                )
            )
    return _distinct(findings)


def _distinct(findings: Iterable[Finding]) -> list[Finding]:
    """UK and US terms make the same finding twice: keep one."""
    return list(dict.fromkeys(findings))
