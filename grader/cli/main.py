"""The commands: each reads a pattern, asks the pipeline, and says what came of it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.arguments import (
    UsageError,
    chosen,
    gauge_of,
    limits_of,
    parser,
    title_of,
    with_values,
)
from grader.cli.clock import OutOfTime, in_time
from grader.cli.compare import compare
from grader.cli.console import Console
from grader.cli.cover import tell_people, wants_people
from grader.cli.gauging import at_gauge, swatch
from grader.cli.opening import (
    FINDINGS,
    FINE,
    USAGE,
    counted,
    limited,
    opened,
    setups_of,
    size_stems,
    tell_findings,
    templates_of,
)
from grader.cli.publish import looks_of, publish
from grader.cli.stopping import Stopped, stoppable
from grader.cli.together import settled
from grader.regular_files import told
from grader.vocabulary.budget import raised

if TYPE_CHECKING:
    from grader.pipeline import Checked


def main(argv: list[str] | None = None) -> int:
    """Run one command. 0: fine; 1: the pattern has findings; 2: it was asked wrongly; 130: interrupted."""
    console = Console()

    def command() -> int:
        arguments = parser().parse_args(with_values(sys.argv[1:] if argv is None else argv))
        settled(arguments)
        console.quiet = getattr(arguments, "quiet", False)
        watching = getattr(arguments, "watch", False) or getattr(arguments, "preview", None) is not None
        with raised(limits_of(arguments.limit)), nullcontext() if watching else in_time():
            return _COMMANDS[arguments.command](arguments, console)

    return carried_out(command, console)


def carried_out(command: Callable[[], int], console: Console) -> int:
    """The exit code of a command, once what kept it from its work is told."""
    try:
        with stoppable():
            code = command()
    except UsageError as mistake:
        console.fail(f"grader: {mistake}")
        code = USAGE
    except OSError as mistake:
        console.fail(f"grader: {told(mistake)}")
        code = USAGE
    except OutOfTime as mistake:
        console.fail(f"grader: {mistake}")
        code = USAGE
    except KeyboardInterrupt as stop:
        stands = "what was written so far stands, all else is" if console.files else "files that stood before are"
        console.fail(f"\ngrader: stopped; {stands} as {'it was' if console.files else 'they were'}")
        code = stop.code if isinstance(stop, Stopped) else 130
    return console.ended(code, otherwise=USAGE)


def _one_off(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = opened(arguments, console)
    if pattern is None:
        return code
    from grader.cli.one_off import publish_one_off
    from grader.cli.person import judged, person_of

    templates = templates_of(arguments)
    if arguments.name:
        arguments.name = title_of(arguments.name, "name")

    def asked(option: str, question: str) -> str:
        return getattr(arguments, option.replace("-", "_")) or console.ask(question, f"--{option}")

    body = person_of(pattern, arguments, asked)
    for remark in judged(body):
        console.tell(remark)
    gauge = gauge_of(asked("gauge", "Your stitches x rounds to 10 cm (such as 31x43)"))
    arguments.needles = [asked("needles", "Needles (short-circular, magic-loop, set-of-5, set-of-4)")]
    (setup,) = setups_of(arguments, pattern)
    return publish_one_off(pattern, body, gauge, setup, arguments, console, templates)


def _class(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = opened(arguments, console)
    if pattern is None:
        return code
    from grader.cli.class_list import tell_class

    return tell_class(pattern, arguments, console, templates_of(arguments))


def _check(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = opened(arguments, console)
    if pattern is None:
        return code
    from grader.pipeline import Wanted, check
    from grader.reporting import grouped, record_json
    from grader.serving import feet_between
    from grader.yarn_use import yarn_for_pair

    if looks_of(templates_of(arguments), pattern, console) is None:
        return FINDINGS
    pattern, changes = at_gauge(limited(pattern, arguments.sizes), arguments)
    if changes:
        console.tell(changes)
    terms = ("UK", "US") if arguments.terms == "both" else (arguments.terms.upper(),)
    checked = check(pattern, Wanted(setups_of(arguments, pattern), terms, arguments.units), console.progress)
    # where sizes are named, what lies between them was left out on purpose
    remarks = [] if arguments.sizes else feet_between(pattern)
    tell_findings([*checked.findings, *remarks], console)
    if arguments.sample:
        if not checked.is_sound:
            return FINDINGS
        console.result(_sample(checked))
    elif arguments.json:
        socks, shares = [], []
        for sock in checked.socks:
            use = yarn_for_pair(pattern, sock.record)
            socks += [(sock.graded, record, use.metres_pair, use.grams_pair) for record in sock.records]
            share = {name: (each.metres_pair, each.grams_pair) for name, each in use.by_colour.items()}
            shares += [share] * len(sock.records)
        console.json(record_json(pattern, socks, arguments.units, shares))
    else:
        errors = len(grouped(finding for finding in checked.findings if finding.is_error))
        lines = sum(sock.record.worked for sock in checked.socks)
        console.result(
            f"{counted(len(checked.socks), 'sock')}, {lines} rounds and rows knitted through:"
            f" {counted(errors, 'finding')}"
        )
    return FINE if checked.is_sound and checked.socks else FINDINGS


def _sample(checked: Checked) -> str:
    """The log of every size, from the first setup that holds it."""
    from grader.inspection.samples import log_of
    from grader.reporting import print_sample
    from grader.yarn_use import yarn_for_pair

    first = {sock.graded.index: sock for sock in reversed(checked.socks)}
    logs = []
    for _, sock in sorted(first.items()):
        use = yarn_for_pair(checked.pattern, sock.record)
        logs.append(log_of(checked.pattern, sock.graded, sock.records, (use.metres_pair, use.grams_pair)))
    return print_sample(logs)


def _sizes(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = opened(arguments, console)
    if pattern is None:
        return code
    from grader.pipeline import grade_all
    from grader.reporting import print_sizes
    from grader.serving import feet_between

    pattern, changes = at_gauge(pattern, arguments)
    if wants_people(arguments):
        if changes:
            console.tell(changes)
        return tell_people(pattern, arguments, console)
    sizes, findings = grade_all(pattern)
    tell_findings([*findings, *feet_between(pattern)], console)
    console.result(print_sizes(pattern, sizes, arguments.units, arguments.why))
    if changes:
        console.result(f"\n{changes}")
    return FINDINGS if any(finding.is_error for finding in findings) else FINE


def _yarn(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = opened(arguments, console)
    if pattern is None:
        return code
    from grader.cli.yarn import ball_of, tell_yarn
    from grader.pipeline import check

    ball = ball_of(arguments.ball, pattern) if arguments.ball is not None else None
    checked = check(limited(pattern, arguments.sizes), progress=console.progress)
    tell_findings(checked.findings, console)
    return tell_yarn(checked, ball, arguments.units or "cm", console)


def _swatch(arguments: argparse.Namespace, console: Console) -> int:
    if arguments.pattern is None:
        return swatch(arguments, console, None)
    pattern, code = opened(arguments, console)
    return code if pattern is None else swatch(arguments, console, pattern)


def _stripes(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = opened(arguments, console)
    if pattern is None:
        return code
    from grader.cli.hours import one_setup
    from grader.cli.stripes import tell_stripes

    size = chosen(arguments.size, [body.name for body in pattern.bodies])
    if len(size) > 1:
        raise UsageError(f"size: stripes are of one size at a time; name one of {', '.join(size)}")
    setup = (*setups_of(arguments, pattern), one_setup(pattern))[0]
    arguments.size_stem = size_stems(pattern)[size[0]]
    return tell_stripes(arguments, console, limited(pattern, size[0]), setup)


def _time(arguments: argparse.Namespace, console: Console) -> int:
    pattern, code = opened(arguments, console)
    if pattern is None:
        return code
    from grader.cli.hours import tell_time

    return tell_time(arguments, console, limited(pattern, arguments.sizes))


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
    tell_findings(findings, console)
    if parts:
        console.result(print_parts(parts) if name is None else print_part(parts[0]))
    return FINDINGS if findings else FINE


def _new(arguments: argparse.Namespace, console: Console) -> int:
    from grader.loading.starter import starter_text
    from grader.naming import source_stem
    from grader.storing import store

    title = title_of(arguments.name, "name")
    path = Path(f"{source_stem(title)}.yaml")
    try:
        store(Path(), {path.name: starter_text(title).encode()}, console.tell, replace=False)
    except FileExistsError:
        raise UsageError(f"{path} is there already; nothing was written") from None
    console.result(f"wrote {path}; now try: grader check {path}")
    return FINE


_COMMANDS: dict[str, Callable[[argparse.Namespace, Console], int]] = {
    "publish": publish,
    "one-off": _one_off,
    "class": _class,
    "check": _check,
    "sizes": _sizes,
    "yarn": _yarn,
    "swatch": _swatch,
    "stripes": _stripes,
    "time": _time,
    "compare": compare,
    "parts": _parts,
    "new": _new,
}
