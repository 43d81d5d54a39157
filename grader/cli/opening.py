"""What every command does first: find the pattern, tell what is wrong with it, and take what was asked of it."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from grader.cli.arguments import UsageError, chosen, setup_name
from grader.cli.console import Console
from grader.models.pattern import Pattern
from grader.vocabulary.findings import Finding

FINE, FINDINGS, USAGE = 0, 1, 2


def opened(arguments: argparse.Namespace, console: Console) -> tuple[Pattern | None, int]:
    """The pattern, or None with the exit code after its findings have been told."""
    from grader.pipeline import open_pattern
    from grader.reporting import print_findings

    path = arguments.pattern
    if not path.strip():
        raise UsageError("no pattern is named")
    if not os.path.exists(path):
        path = shipped(path)
    pattern, findings = open_pattern(path)
    if pattern is not None and "templates" in arguments:  # it may come to print
        from grader.illustrating import folders_of, picture_findings

        folders = folders_of(path, templates_of(arguments))
        arguments.pictures = tuple(folder / each.name for each in pattern.pictures for folder in folders)
        findings += picture_findings(pattern.pictures, folders)
    if findings:
        console.warn(print_findings(findings))
    if pattern is None or any(finding.is_error for finding in findings):
        return None, FINDINGS if os.path.isfile(path) else USAGE
    return pattern, FINE


def shipped(name: str) -> str:
    """The path of a pattern that ships, where `name` is no path here."""
    from grader.resources import folder

    place = folder("patterns") / (name if name.endswith(".yaml") else f"{name}.yaml")
    return str(place) if "/" not in name and place.is_file() else name


def limited(pattern: Pattern, sizes: str | None) -> Pattern:
    """The pattern with only those sizes that are named."""
    if sizes is None:
        return pattern
    wanted = chosen(sizes, [body.name for body in pattern.bodies])
    return replace(pattern, bodies=tuple(body for body in pattern.bodies if body.name in wanted))


def size_stems(pattern: Pattern) -> Mapping[str, str]:
    """What names of files say of each size; to be asked for before the pattern is limited to some of them."""
    from grader.naming import told_apart

    names = [body.name for body in pattern.bodies]
    return dict(zip(names, told_apart([(name, "") for name in names]), strict=True))


def setups_of(arguments: argparse.Namespace, pattern: Pattern) -> tuple[str, ...]:
    """The needle setups that are named, each once; none where all are wanted."""
    named = tuple(dict.fromkeys(setup_name(text) for text in arguments.needles or ()))
    for name in named:
        if pattern.setups and name not in pattern.setups:
            raise UsageError(f"this pattern is not written for {name}")
    return named


def tell_findings(findings: Sequence[Finding], console: Console) -> None:
    """Errors first and in any case, then remarks unless it is to be quiet."""
    from grader.reporting import print_findings

    errors = [finding for finding in findings if finding.is_error]
    remarks = [finding for finding in findings if not finding.is_error]
    if errors:
        console.warn(print_findings(errors))
    if remarks:
        console.tell(print_findings(remarks))


def counted(count: int, noun: str) -> str:
    """ "no sock", "1 sock", "2 socks"."""
    return f"{count or 'no'} {noun if count == 1 else noun + 's'}"


def templates_of(arguments: argparse.Namespace) -> Path | None:
    """A designer's own folder of templates, if she names one."""
    if not arguments.templates:
        return None
    folder = Path(arguments.templates)
    if not folder.is_dir():
        raise UsageError(f"there is no folder {arguments.templates} of templates")
    return folder
