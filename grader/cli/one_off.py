"""One knitter's sock: her own foot and gauge in place of a size chart and the pattern's gauge."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.console import Console
from grader.models.pattern import Gauge, Pattern, Written
from grader.vocabulary.bodies import YOURS, Body, leg_length_beside
from grader.vocabulary.findings import Finding
from grader.vocabulary.formulas import Formula
from grader.vocabulary.statements import parted
from grader.vocabulary.unprintable import Unprintable

if TYPE_CHECKING:
    from grader.pipeline import Checked

_SLOT = re.compile(r"\{([^{}]*)\}")
_WORD = re.compile(r"[A-Za-z_]\w*")


def measures_used(pattern: Pattern, altered: bool = False) -> frozenset[str]:
    """The names in the formulas of a pattern and in the braces of its prose; those of measures are among them.

    What only its alterations use is among them where `altered` asks for it: a measure that may be left out.
    """
    return frozenset(_names(pattern if altered else replace(pattern, alterations=())))


def _names(part: object) -> Iterator[str]:
    if isinstance(part, Formula):
        yield from part.names
    elif isinstance(part, Written):
        for slot in _SLOT.findall(part.text):
            yield from _WORD.findall(parted(slot)[0])
    elif isinstance(part, tuple):
        for each in part:
            yield from _names(each)
    elif is_dataclass(part):
        for field in fields(part):
            yield from _names(getattr(part, field.name))


def own_body(pattern: Pattern, foot: Fraction, length: Fraction, legs: dict[str, Fraction], name: str) -> Body:
    """The knitter's foot and `legs`, in cm; what she did not measure is as in the nearest size of the pattern.

    Beside a foot shorter or longer than all sizes the leg is as much lower or higher, to the half centimetre.
    """
    nearest = min(
        pattern.bodies,
        key=lambda body: (
            abs(body.measures["foot_circumference"] - foot) + abs(body.measures["foot_length"] - length) / 2
        ),
    )
    measures = {**nearest.measures, "foot_circumference": foot, "foot_length": length, **legs}
    lengths = [body.measures["foot_length"] for body in pattern.bodies]
    if "leg_length" not in legs and not min(lengths) <= length <= max(lengths):
        measures["leg_length"] = round(leg_length_beside(pattern.bodies, length) * 2) / Fraction(2)
    return Body(name or YOURS, measures)


def own_gauge(pattern: Pattern, gauge: tuple[Fraction, Fraction]) -> Gauge | None:
    """The knitter's gauge, or None where it is the pattern's."""
    stitches, rounds = gauge[0] / 10, gauge[1] / 10
    if (stitches, rounds) == (pattern.gauge.stitches, pattern.gauge.rounds):
        return None
    return replace(pattern.gauge, stitches=stitches, rounds=rounds, per_cm=Fraction(10))


def work_one_off(
    pattern: Pattern,
    body: Body,
    gauge: tuple[Fraction, Fraction],
    setup: str,
    arguments: argparse.Namespace,
) -> tuple[Checked | None, list[Finding]]:
    """One sock graded and knitted through, with what is altered for its foot; None where it can't be.

    Of the arguments `name`, `terms` and `units` are read.
    """
    from grader.pipeline import Wanted, check, for_one, with_parts_for

    altered, body, findings = with_parts_for(pattern, body)
    if altered is None:
        return None, findings
    mine = for_one(altered, body, own_gauge(pattern, gauge))
    if arguments.name:
        mine = replace(mine, title=f"{pattern.title} for {arguments.name}")
    checked = check(mine, Wanted((setup,), (arguments.terms.upper(),), arguments.units))
    return (checked if checked.is_sound and checked.socks else None), list(checked.findings)


def publish_one_off(
    pattern: Pattern,
    body: Body,
    gauge: tuple[Fraction, Fraction],
    setup: str,
    arguments: argparse.Namespace,
    console: Console,
    templates: Path | None,
) -> int:
    """Grade, knit through and print one sock; 1 and the reason where it can't be."""
    from grader.cli.publish import editions_of, language_of, looks_of, tell_left
    from grader.naming import edition_stem, part_stem, put_together, title_stem
    from grader.pipeline import reread
    from grader.publishing import make_document
    from grader.reporting import print_findings
    from grader.storing import store
    from grader.write_up import TemplateMistake

    language = language_of(arguments, pattern, console)
    looks = looks_of(templates, pattern, console)
    if looks is None:
        return 1
    checked, findings = work_one_off(pattern, body, gauge, setup, arguments)
    if findings:
        console.warn(print_findings(findings))
    misread = reread(checked.socks, language) if checked and language else []
    if misread:
        console.warn(print_findings(misread))
    if checked is None or misread:
        console.warn("grader: no sock was written for this foot; the reason stands above")
        return 1
    whose = f"for-{part_stem(arguments.name)}" if arguments.name else "one-off"
    files: dict[str, bytes] = {}
    left: dict[str, None] = {}
    long: list[str] = []
    try:
        for edition in editions_of(arguments, templates, looks, language, one_size=True):
            stem = edition_stem(f"{title_stem(pattern.title)}-{whose}", edition)
            made = make_document(checked, edition, stem)
            put_together(files, made.files)
            left |= dict.fromkeys(made.left)
            long += made.told
    except (TemplateMistake, Unprintable) as mistake:
        console.warn(f"grader: {mistake}")
        return 1
    tell_left(list(left), console)
    for each in long:
        console.tell(each)
    for path in store(Path(arguments.out), files, console.tell):
        console.wrote(path)
    return 0
