"""The class command: a list of people, a sock for each, one document for all, and why somebody has none."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.arguments import OF_THE_LEG, UsageError, gauge_of, setup_name
from grader.cli.class_work import Lesson, Outcome, work_class
from grader.cli.opening import FINDINGS, FINE, USAGE
from grader.cli.publish import jobs_of, language_of, looks_of, tell_left
from grader.models.edition import Edition
from grader.models.looks import Looks
from grader.vocabulary.unprintable import Unprintable

if TYPE_CHECKING:
    from grader.cli.console import Console
    from grader.models.class_list import ClassList
    from grader.models.drawing import Drawing
    from grader.models.pattern import Pattern

EDITIONS = ("handout", "one-size", "large-18", "large-24", "easy")  # those on paper that are for one knitter


def class_options(command: argparse.ArgumentParser) -> None:
    """The options of `grader class`, but for those that all documents have."""
    command.add_argument("list", metavar="LIST", help="a CSV file with a line for each person, and columns by name")
    command.add_argument("--gauge", metavar="STSxROUNDS", help="where a line has none, such as 31x43")
    command.add_argument("--needles", metavar="SETUP", help="where a line names none: short-circular, magic-loop, ...")
    command.add_argument("--estimate", action="store_true", help="estimate measures that a line leaves out")
    command.add_argument(
        "--edition",
        choices=EDITIONS,
        default="handout",
        help="a sheet for the class, or the whole pattern for each, also in large print or with more space",
    )
    command.add_argument("--language", metavar="TAG", default="en", help="en, de or fr, or a catalogue of your own")
    command.add_argument("--separate", action="store_true", help="a document for each person instead of one for all")
    command.add_argument("--right-hand", action="store_true", help="each person's begins on a right-hand page")
    command.add_argument("--jobs", metavar="N", help="how many to work at once (all cores)")


def tell_class(pattern: Pattern, arguments: argparse.Namespace, console: Console, templates: Path | None) -> int:
    """Work a class list and write its documents; 0 if everybody has one, 1 if somebody has none, 2 if there is no list.

    Nothing is written where nobody has one.
    """
    from grader.class_sheets import sharing
    from grader.loading import load_class
    from grader.reporting import print_findings

    jobs = jobs_of(arguments)
    looks = looks_of(templates, pattern, console)
    if looks is None:
        return FINDINGS
    found, findings = load_class(arguments.list)
    for finding in findings:
        (console.warn if finding.is_error else console.tell)(print_findings([finding]))
    if found is None:
        return FINDINGS if os.path.isfile(arguments.list) else USAGE
    if not found.members:
        console.warn("grader: nothing was written")
        return FINDINGS
    lesson = _lesson(pattern, arguments, found, templates, looks, console)
    _tell_unused(lesson.used, found, console)
    unread = [
        Outcome(finding.span.line if finding.span else 0, finding.line, reason=f"{finding.message}; {finding.mend}")
        for finding in findings
        if finding.is_error
    ]
    outcomes: list[Outcome] = []
    drawings: dict[Drawing, Drawing] = {}
    with closing(work_class(lesson, found.members, jobs)) as worked:
        for outcome in worked:
            if outcome.sheets:
                outcome = replace(outcome, sheets=sharing(outcome.sheets, drawings))
            outcomes.append(_stored(outcome, arguments, console))
            console.progress("people", len(outcomes), len(found.members))
            if outcome.fault:
                console.warn(f"grader: {outcome.fault}")
                return FINDINGS
    for outcome in outcomes:
        _tell(outcome, found.file, console)
    return _publish(lesson, sorted([*outcomes, *unread], key=lambda each: each.line), arguments, console)


def _lesson(
    pattern: Pattern,
    arguments: argparse.Namespace,
    found: ClassList,
    templates: Path | None,
    looks: Looks,
    console: Console,
) -> Lesson:
    """What holds for all, and whether it can be used at all."""
    from grader.cli.one_off import measures_used
    from grader.naming import edition_stem, part_stem, title_stem, told_apart

    if arguments.gauge:
        gauge_of(arguments.gauge)
    elif "gauge" not in found.columns:
        raise UsageError("there is no gauge: give it with --gauge, or in a column of that name")
    if arguments.needles:
        setup = setup_name(arguments.needles)
        if pattern.setups and setup not in pattern.setups:
            raise UsageError(f"this pattern is not written for {setup}")
    elif "needles" not in found.columns:
        raise UsageError("there are no needles: name them with --needles, or in a column of that name")
    edition = Edition(
        terms=arguments.terms.upper(),
        units=arguments.units,
        paper=arguments.paper,
        one_size=True,
        templates=templates,
        kind=arguments.edition,
        looks=looks,
        language=language_of(arguments, pattern, console),
    )
    path = Path(arguments.list)
    named = path.stem if path.suffix.lower() == ".csv" else path.name
    persons = told_apart([(each.name, repr(sorted(each.cells.items()))) for each in found.members])
    return Lesson(
        pattern=pattern,
        edition=edition,
        gauge=arguments.gauge or "",
        needles=arguments.needles or "",
        estimate=arguments.estimate,
        stem=edition_stem(f"{title_stem(pattern.title)}-class-{part_stem(named)}", edition),
        persons=dict(zip((each.line for each in found.members), persons, strict=True)),
        used=measures_used(pattern, altered=True),
        separate=arguments.separate,
    )


def _stored(outcome: Outcome, arguments: argparse.Namespace, console: Console) -> Outcome:
    """Write a document of one person's own at once, so that those of a thousand needn't be held together."""
    from grader.storing import store

    if not outcome.files:
        return outcome
    for path in store(Path(arguments.out), dict(outcome.files), console.tell):
        console.wrote(path)
    return replace(outcome, files=tuple((name, b"") for name, _ in outcome.files))


def _tell_unused(used: frozenset[str], found: ClassList, console: Console) -> None:
    for each in OF_THE_LEG:
        if each.name in found.columns and each.name not in used and not each.of_all:
            console.tell(f"{found.file}: nothing in this pattern hangs on the {each.option.replace('-', ' ')}")


def _tell(outcome: Outcome, file: str, console: Console) -> None:
    place = f"{file}:{outcome.line}: {outcome.name or 'no name'}"
    if outcome.reason:
        console.warn(f"{place}: {outcome.reason}")
    for doubt in outcome.doubts:
        console.tell(f"{place}: remark: {doubt}")
    for told in outcome.told:
        console.tell(f"{place}: {told}")


def _publish(lesson: Lesson, outcomes: Sequence[Outcome], arguments: argparse.Namespace, console: Console) -> int:
    from grader.class_sheets import Line, bind_sheets, last_page, teller
    from grader.storing import store
    from grader.translating import spaced, translator

    served = [each for each in outcomes if each.is_served]
    said = f"{len(served)} of {len(outcomes)} people have a document"
    if not served:
        console.warn("grader: nobody can be served; nothing was written")
        return FINDINGS
    rows = [Line(each.line, each.name, each.reason, each.told, each.doubts) for each in outcomes]
    sheets = [each.sheets for each in served if each.sheets]
    console.progress("printing", 0, 1)
    stem = f"{lesson.stem}-list" if lesson.separate else lesson.stem
    try:
        language = lesson.edition.language
        to = translator(language) if language else None
        last = spaced(last_page(said, rows, teller(to, lesson.pattern)) if to else last_page(said, rows), language)
        tell_left(list(to.left) if to else [], console)
        made = bind_sheets(lesson.pattern, sheets, last, lesson.edition, stem, arguments.right_hand)
    except Unprintable as mistake:
        console.warn(f"grader: {mistake}")
        return FINDINGS
    for path in store(Path(arguments.out), made.files, console.tell):
        console.wrote(path)
    console.tell(said)
    return FINE if len(served) == len(outcomes) else FINDINGS
