"""One knitter's sock: her own foot and gauge in place of a size chart and the pattern's gauge."""

from __future__ import annotations

import argparse
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from grader.cli.console import Console
from grader.models.pattern import Gauge, Pattern
from grader.vocabulary.bodies import Body


def own_body(pattern: Pattern, foot: Fraction, length: Fraction, leg: Fraction | None, name: str) -> Body:
    """The knitter's foot; what she did not measure is as in the nearest size of the pattern."""
    nearest = min(
        pattern.bodies,
        key=lambda body: (
            abs(body.measures["foot_circumference"] - foot) + abs(body.measures["foot_length"] - length) / 2
        ),
    )
    measures = {**nearest.measures, "foot_circumference": foot, "foot_length": length}
    if leg is not None:
        measures["leg_length"] = leg
    return Body(name or "yours", measures)


def own_gauge(pattern: Pattern, gauge: tuple[Fraction, Fraction]) -> Gauge | None:
    """The knitter's gauge, or None where it is the pattern's."""
    stitches, rounds = gauge[0] / 10, gauge[1] / 10
    if (stitches, rounds) == (pattern.gauge.stitches, pattern.gauge.rounds):
        return None
    return replace(pattern.gauge, stitches=stitches, rounds=rounds, per_cm=Fraction(10))


def publish_one_off(
    pattern: Pattern,
    foot: Fraction,
    length: Fraction,
    leg: Fraction | None,
    gauge: tuple[Fraction, Fraction],
    setup: str,
    arguments: argparse.Namespace,
    console: Console,
    templates: Path | None,
) -> int:
    """Grade, knit through and print one sock; 1 and the reason where it can't be."""
    from grader.pipeline import Wanted, check, for_one
    from grader.publishing import Edition, edition_stem, file_stem, make_document
    from grader.reporting import print_findings
    from grader.storing import store
    from grader.write_up import TemplateMistake

    mine = for_one(pattern, own_body(pattern, foot, length, leg, arguments.name), own_gauge(pattern, gauge))
    if arguments.name:
        mine = replace(mine, title=f"{pattern.title} for {arguments.name}")
    terms = arguments.terms.upper()
    checked = check(mine, Wanted((setup,), (terms,), arguments.units))
    if checked.findings:
        console.warn(print_findings(checked.findings))
    if not checked.is_sound or not checked.socks:
        console.warn("grader: no sock was written for this foot; the reason stands above")
        return 1
    edition = Edition(terms, arguments.units, paper=arguments.paper, one_size=True, templates=templates)
    whose = f"for-{file_stem(arguments.name)}" if arguments.name else "one-off"
    stem = edition_stem(f"{file_stem(pattern.title)}-{whose}", edition)
    try:
        made = make_document(checked, edition, stem)
    except (TemplateMistake, ValueError) as mistake:
        console.warn(f"grader: {mistake}")
        return 1
    for path in store(Path(arguments.out), made.files):
        console.tell(f"wrote {path}")
    return 0
