"""The commands: each reads a pattern, asks the pipeline, and says what came of it."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.arguments import (
    UsageError,
    chosen,
    gauge_of,
    parser,
    setup_name,
    title_of,
    with_values,
)
from grader.cli.console import Console
from grader.cli.cover import tell_people, wants_people
from grader.cli.gauging import at_gauge, gauge_stem, swatch
from grader.models.pattern import Pattern
from grader.vocabulary.findings import Finding

if TYPE_CHECKING:
    from grader.pipeline import Checked
    from grader.reporting.samples import Log

FINE, FINDINGS, USAGE = 0, 1, 2


def main(argv: list[str] | None = None) -> int:
    """Run one command. 0: fine; 1: the pattern has findings; 2: it was asked wrongly; 130: interrupted."""
    try:
        arguments = parser().parse_args(with_values(sys.argv[1:] if argv is None else argv))
        return _COMMANDS[arguments.command](arguments, Console(getattr(arguments, "quiet", False)))
    except UsageError as mistake:
        print(f"grader: {mistake}", file=sys.stderr)
        return USAGE
    except OSError as mistake:
        if isinstance(mistake, BrokenPipeError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            return FINE
        print(f"grader: {mistake.filename or ''}: {mistake.strerror or mistake}", file=sys.stderr)
        return USAGE
    except KeyboardInterrupt:
        print("\ngrader: stopped; files that stood before are as they were", file=sys.stderr)
        return 130


def _open(arguments: argparse.Namespace, console: Console) -> tuple[Pattern | None, int]:
    """The pattern, or None with the exit code after its findings have been told."""
    from grader.pipeline import open_pattern
    from grader.reporting import print_findings

    path = arguments.pattern
    if not path.strip():
        raise UsageError("no pattern is named")
    if not os.path.exists(path):
        path = _shipped(path)
    pattern, findings = open_pattern(path)
    if findings:
        console.warn(print_findings(findings))
    if pattern is None or any(finding.is_error for finding in findings):
        return None, FINDINGS if os.path.isfile(path) else USAGE
    return pattern, FINE


def _shipped(name: str) -> str:
    """The path of a pattern that ships, where `name` is no path here."""
    from grader.resources import folder

    place = folder("patterns") / (name if name.endswith(".yaml") else f"{name}.yaml")
    return str(place) if "/" not in name and place.is_file() else name


def _limited(pattern: Pattern, sizes: str | None) -> Pattern:
    if sizes is None:
        return pattern
    wanted = chosen(sizes, [body.name for body in pattern.bodies])
    return replace(pattern, bodies=tuple(body for body in pattern.bodies if body.name in wanted))


def _setups(arguments: argparse.Namespace, pattern: Pattern) -> tuple[str, ...]:
    named = tuple(dict.fromkeys(setup_name(text) for text in arguments.needles or ()))
    for name in named:
        if pattern.setups and name not in pattern.setups:
            raise UsageError(f"this pattern is not written for {name}")
    return named


def _publish(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = _open(arguments, console)
    if pattern is None:
        return code
    from grader.pipeline import Wanted, check
    from grader.publishing import Edition, edition_stem, file_stem, make_document
    from grader.storing import store
    from grader.write_up import TemplateMistake

    terms = arguments.terms.upper()
    edition = Edition(terms, arguments.units, paper=arguments.paper, templates=_templates(arguments))
    pattern, changes = at_gauge(_limited(pattern, arguments.sizes), arguments)
    if changes:
        console.tell(changes)
    checked = check(pattern, Wanted(_setups(arguments, pattern), (terms,), arguments.units), console.progress)
    _tell(checked.findings, console)
    if not checked.is_sound or not checked.socks:
        console.warn("grader: nothing was published; the old documents stand")
        return FINDINGS
    stem = edition_stem(file_stem(pattern.title) + gauge_stem(arguments), edition)
    arrangements = ("by-section", "by-setup") if arguments.arrange == "both" else (arguments.arrange,)
    wanted = [(checked, each, stem if each == "by-section" else f"{stem}-{each}") for each in arrangements]
    if arguments.each_setup:
        for setup in dict.fromkeys(sock.instructions.setup for sock in checked.socks):
            alone = tuple(sock for sock in checked.socks if sock.instructions.setup == setup)
            wanted.append((replace(checked, socks=alone), "by-section", f"{stem}-{file_stem(setup)}"))
    files: dict[str, bytes] = {}
    try:
        for done, (socks, arrangement, name) in enumerate(wanted):
            console.progress("printing", done, len(wanted))
            files |= make_document(socks, replace(edition, arrangement=arrangement), name).files
    except (TemplateMistake, ValueError) as mistake:
        console.warn(f"grader: {mistake}")
        return FINDINGS
    for path in store(Path(arguments.out), files):
        console.tell(f"wrote {path}")
    console.tell(f"{_counted(len(checked.socks), 'sock')} graded, written out and knitted through")
    return FINE


def _tell(findings: Sequence[Finding], console: Console) -> None:
    from grader.reporting import print_findings

    errors = [finding for finding in findings if finding.is_error]
    remarks = [finding for finding in findings if not finding.is_error]
    if errors:
        console.warn(print_findings(errors))
    if remarks:
        console.tell(print_findings(remarks))


def _counted(count: int, noun: str) -> str:
    return f"{count or 'no'} {noun if count == 1 else noun + 's'}"


def _templates(arguments: argparse.Namespace) -> Path | None:
    if not arguments.templates:
        return None
    folder = Path(arguments.templates)
    if not folder.is_dir():
        raise UsageError(f"there is no folder {arguments.templates} of templates")
    return folder


def _one_off(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = _open(arguments, console)
    if pattern is None:
        return code
    from grader.cli.one_off import publish_one_off
    from grader.cli.person import judged, person_of

    templates = _templates(arguments)
    if arguments.name:
        arguments.name = title_of(arguments.name, "name")

    def asked(option: str, question: str) -> str:
        return getattr(arguments, option.replace("-", "_")) or console.ask(question, f"--{option}")

    body = person_of(pattern, arguments, asked)
    for remark in judged(body):
        console.tell(remark)
    gauge = gauge_of(asked("gauge", "Your stitches x rounds to 10 cm (such as 31x43)"))
    arguments.needles = [asked("needles", "Needles (short-circular, magic-loop, set-of-5, set-of-4)")]
    (setup,) = _setups(arguments, pattern)
    return publish_one_off(pattern, body, gauge, setup, arguments, console, templates)


def _check(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = _open(arguments, console)
    if pattern is None:
        return code
    from grader.pipeline import Wanted, check
    from grader.reporting import grouped, record_json
    from grader.yarn_use import yarn_for_pair

    pattern, changes = at_gauge(_limited(pattern, arguments.sizes), arguments)
    if changes:
        console.tell(changes)
    terms = ("UK", "US") if arguments.terms == "both" else (arguments.terms.upper(),)
    checked = check(pattern, Wanted(_setups(arguments, pattern), terms, arguments.units), console.progress)
    _tell(checked.findings, console)
    if arguments.sample:
        if not checked.is_sound:
            return FINDINGS
        console.result(_sample(checked))
    elif arguments.json:
        import json

        socks, shares = [], []
        for sock in checked.socks:
            use = yarn_for_pair(pattern, sock.record)
            socks += [(sock.graded, record, use.metres_pair, use.grams_pair) for record in sock.records]
            share = {name: (each.metres_pair, each.grams_pair) for name, each in use.by_colour.items()}
            shares += [share] * len(sock.records)
        told = record_json(pattern, socks, arguments.units, shares)
        console.result(json.dumps(told, ensure_ascii=False, indent=1))
    else:
        errors = len(grouped(finding for finding in checked.findings if finding.is_error))
        worked = (line for sock in checked.socks for line in sock.record.lines if line.kind in ("round", "row"))
        lines = sum(line.times * line.block_times for line in worked)
        console.result(
            f"{_counted(len(checked.socks), 'sock')}, {lines} rounds and rows knitted through:"
            f" {_counted(errors, 'finding')}"
        )
    return FINE if checked.is_sound and checked.socks else FINDINGS


def _sample(checked: Checked) -> str:
    """The log of every size, from the first setup that holds it."""
    from grader.inspection.samples import counts_in, stitches_in
    from grader.reporting import print_sample

    logs: dict[int, Log] = {}
    for sock in checked.socks:
        sections = tuple(
            (
                each.name,
                max((counts_in(record, each.name) for record in sock.records), key=len),
                max((stitches_in(record, each.name) for record in sock.records), key=len),
            )
            for each in sock.instructions.sections
        )
        logs.setdefault(sock.graded.index, (sock.graded, sections))
    return print_sample(logs.values())


def _sizes(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = _open(arguments, console)
    if pattern is None:
        return code
    from grader.pipeline import grade_all
    from grader.reporting import print_sizes

    pattern, changes = at_gauge(pattern, arguments)
    if wants_people(arguments):
        if changes:
            console.tell(changes)
        return tell_people(pattern, arguments, console)
    sizes, findings = grade_all(pattern)
    _tell(findings, console)
    console.result(print_sizes(pattern, sizes, arguments.units, arguments.why))
    if changes:
        console.result(f"\n{changes}")
    return FINDINGS if any(finding.is_error for finding in findings) else FINE


def _yarn(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = _open(arguments, console)
    if pattern is None:
        return code
    from grader.cli.yarn import ball_of, tell_yarn
    from grader.pipeline import check

    ball = ball_of(arguments.ball, pattern) if arguments.ball is not None else None
    checked = check(_limited(pattern, arguments.sizes), progress=console.progress)
    _tell(checked.findings, console)
    return tell_yarn(checked, ball, arguments.units, console)


def _swatch(arguments: argparse.Namespace, console: Console) -> int:
    if arguments.pattern is None:
        return swatch(arguments, console, None)
    pattern, code = _open(arguments, console)
    return code if pattern is None else swatch(arguments, console, pattern)


def _stripes(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = _open(arguments, console)
    if pattern is None:
        return code
    from grader.cli.hours import one_setup
    from grader.cli.stripes import tell_stripes

    size = chosen(arguments.size, [body.name for body in pattern.bodies])
    if len(size) > 1:
        raise UsageError(f"size: stripes are of one size at a time; name one of {', '.join(size)}")
    setup = (*_setups(arguments, pattern), one_setup(pattern))[0]
    return tell_stripes(arguments, console, _limited(pattern, size[0]), setup)


def _time(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = _open(arguments, console)
    if pattern is None:
        return code
    from grader.cli.hours import tell_time

    return tell_time(arguments, console, _limited(pattern, arguments.sizes))


def _parts(arguments: argparse.Namespace, console: Console) -> int:
    from grader.loading import load_parts
    from grader.reporting import print_part, print_parts

    name = arguments.name
    if name is not None and not name.strip():
        raise UsageError("no part is named")
    here = "pattern.yaml"  # a pattern in this folder would find its parts there
    parts, findings = load_parts(here, () if name is None else (name.strip().removesuffix(".yaml"),))
    unknown = next((finding for finding in findings if finding.code == "unknown-part"), None)
    if unknown:
        near = unknown.mend if unknown.mend.startswith("did you mean") else "'grader parts' lists those there are"
        raise UsageError(f"{unknown.message}; {near}")
    _tell(findings, console)
    if parts:
        console.result(print_parts(parts) if name is None else print_part(parts[0]))
    return FINDINGS if findings else FINE


def _new(arguments: argparse.Namespace, console: Console) -> int:
    from grader.loading.starter import starter_text
    from grader.publishing import file_stem
    from grader.storing import store

    title = title_of(arguments.name, "name")
    path = Path(f"{file_stem(title).replace('-', '_')}.yaml")
    if path.exists():
        raise UsageError(f"{path} is there already; nothing was written")
    store(Path(), {path.name: starter_text(title).encode()})
    console.result(f"wrote {path}; now try: grader check {path}")
    return FINE


_COMMANDS: dict[str, Callable[[argparse.Namespace, Console], int]] = {
    "publish": _publish,
    "one-off": _one_off,
    "check": _check,
    "sizes": _sizes,
    "yarn": _yarn,
    "swatch": _swatch,
    "stripes": _stripes,
    "time": _time,
    "parts": _parts,
    "new": _new,
}
