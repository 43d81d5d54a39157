"""What was asked for as a whole: options that would do nothing are refused before any work is done."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence

from grader.cli.arguments import UsageError
from grader.models.edition import EDITIONS, Kind


def settled(arguments: argparse.Namespace) -> argparse.Namespace:
    """The arguments, if each of them has something to do.

    Raises:
        UsageError: an option that goes with another one or not with another one; what can't be at all.
    """
    check = _CHECKS.get(arguments.command)
    if check is not None:
        check(arguments)
    known_language(getattr(arguments, "language", "en"))
    out = getattr(arguments, "out", None)
    if out and os.path.exists(out) and not os.path.isdir(out):
        raise UsageError(f"{out}: a file of that name is in the way")
    return arguments


def known_language(named: str) -> None:
    """Refuse the name of a language that there is none of; a catalogue file is looked at when it is read."""
    if named == "en" or named.endswith((".yaml", ".yml")):
        return
    from grader.loading import languages

    if named not in languages():
        known = ", ".join(("en", *languages()))
        raise UsageError(f"language: there is no {named!r}; there are {known}, or name a catalogue file")


def edition_names(typed: Sequence[str] | None, one_size: bool = False) -> tuple[str, ...]:
    """The names of the editions asked for, each once; the usual one where nothing is asked."""
    if typed is None:
        return ("pattern",)
    names = [name.strip() for text in typed for name in text.split(",") if name.strip()]
    known = f"there are {', '.join(EDITIONS)} and all"
    if not names:
        raise UsageError(f"edition: none is named; {known}")
    for name in names:
        if name not in EDITIONS and name != "all":
            raise UsageError(f"edition: there is no {name!r}; {known}")
    if "all" in names:
        names = [name for name in EDITIONS if not (one_size and name == "one-size")]
    return tuple(dict.fromkeys(names))


def _publish(arguments: argparse.Namespace) -> None:
    from grader.cli.publish import jobs_of

    jobs_of(arguments)
    kinds = _on_paper(arguments, one_size=False)
    if all(kind.single for kind in kinds):
        for option, given in (("arrange", arguments.arrange != "by-section"), ("each-setup", arguments.each_setup)):
            _refuse(option, given, "an edition that holds all setups", kinds)


def _one_off(arguments: argparse.Namespace) -> None:
    _on_paper(arguments, one_size=True)


def _on_paper(arguments: argparse.Namespace, one_size: bool) -> list[Kind]:
    """The editions; what only paper can have is refused where none of them is on paper."""
    kinds = [EDITIONS[name] for name in edition_names(arguments.edition, one_size)]
    if not any(kind.form == "pdf" for kind in kinds):
        for option in ("paper", "crop-marks", "black"):
            _refuse(option, getattr(arguments, option.replace("-", "_")), "an edition on paper", kinds)
    return kinds


def _refuse(option: str, given: object, needed: str, kinds: Sequence[Kind]) -> None:
    if given:
        raise UsageError(f"--{option} goes with {needed}, not with {', '.join(kind.name for kind in kinds)}")


def _class(arguments: argparse.Namespace) -> None:
    from grader.cli.publish import jobs_of

    jobs_of(arguments)
    if arguments.separate and arguments.right_hand:
        raise UsageError("--right-hand goes with one document for all, not with --separate")


def _check(arguments: argparse.Namespace) -> None:
    if arguments.json and arguments.sample:
        raise UsageError("--json and --sample each print something of their own; ask for one of them")


def _yarn(arguments: argparse.Namespace) -> None:
    if arguments.units is not None and arguments.ball is None:
        raise UsageError("--units goes with --ball, whose answer has lengths in it")


def _stripes(arguments: argparse.Namespace) -> None:
    if len(arguments.needles or ()) > 1:
        raise UsageError("needles: stripes are of one setup at a time")
    if arguments.paper is not None and arguments.out is None:
        raise UsageError("--paper goes with --out, which writes a page")


def _compare(arguments: argparse.Namespace) -> None:
    for option in ("paper", "out"):
        if getattr(arguments, option) is not None and arguments.json:
            raise UsageError(f"--{option} goes with a sheet; with --json none is written")


_CHECKS = {
    "publish": _publish,
    "one-off": _one_off,
    "class": _class,
    "check": _check,
    "yarn": _yarn,
    "stripes": _stripes,
    "compare": _compare,
}
