"""The commands and their options, and reading what was typed into values."""

from __future__ import annotations

import argparse
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

from grader.vocabulary.budget import LIMITS
from grader.vocabulary.quantities import CM_PER_INCH, Quantity, UnitError, read_quantity

SHORT_NAMES = {
    "short-circular": "short circular",
    "long-circular": "long circular (magic loop)",
    "magic-loop": "long circular (magic loop)",
    "double-pointed": "double-pointed, set of 5",
    "set-of-5": "double-pointed, set of 5",
    "set-of-4": "double-pointed, set of 4",
}
_GAUGE = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*[x×*]\s*(\d+(?:[.,]\d+)?)\s*")
LONGEST_VALUE = 40  # characters of a length or a gauge; more is no measurement
LONGEST_TITLE = 100
SMALLEST, LARGEST = 5, 60  # stitches or rounds to 10 cm that a hand-knitted sock can have


@dataclass(frozen=True, slots=True)
class LegMeasure:
    """A measure of the leg that only some patterns grade by: its name in formulas, its option, and how it is asked for.

    `whose` names such legs in the plural. What is `of_all` may be told of any pattern: its leg is held against it.
    """

    name: str
    option: str
    help: str
    question: str
    whose: str
    of_all: bool = False


OF_THE_LEG = (
    LegMeasure(
        "calf",
        "calf",
        "round the calf at its widest, where the pattern narrows it",
        "Round the calf at its widest (such as 37cm)",
        "calves",
    ),
    LegMeasure(
        "ankle",
        "ankle",
        "round the ankle at its narrowest, which the leg should hold to",
        "Round the ankle at its narrowest (such as 23cm)",
        "ankles",
        of_all=True,
    ),
    LegMeasure(
        "knee_height",
        "knee-height",
        "from the floor to the top of the shin bone, where the pattern reaches to the knee",
        "From the floor to the top of the shin bone (such as 45cm)",
        "legs up to the knee",
    ),
)


class UsageError(ValueError):
    """Something typed that can't be used: what, and what would be right."""


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line and how to get help, and exits with 2."""

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message} (try '{self.prog} --help')")


def setup_name(text: str) -> str:
    """A needle setup from its short name or its full one."""
    key = text.strip().lower().replace(" ", "-").replace("_", "-")
    full = {name.replace(" ", "-"): name for name in SHORT_NAMES.values()}
    if key in SHORT_NAMES:
        return SHORT_NAMES[key]
    if key in full:
        return full[key]
    raise UsageError(f"unknown needles {text!r}; there are {', '.join(SHORT_NAMES)}")


def length_of(text: str, what: str) -> Fraction:
    """A length in cm from "22.5cm", "8 3/4 in"; a bare number is refused, because it could be either."""
    if len(text) > LONGEST_VALUE:
        raise UsageError(f"{what}: this is too long for a length; write it like 22.5cm or 8.75in")
    try:
        value: Quantity = read_quantity(text)
    except UnitError as mistake:
        raise UsageError(f"{what}: {mistake}; write it like 22.5cm or 8.75in") from None
    if value.is_plain and value.amount and "%" not in text:
        raise UsageError(f"{what}: {text!r} has no unit; write {text.strip()}cm or {text.strip()}in")
    if not value.is_length or value.amount <= 0:
        raise UsageError(f"{what}: {text!r} is not a length; write it like 22.5cm or 8.75in")
    return value.amount


def measure(text: str, what: str, low: int, high: int, whose: str = "feet") -> Fraction:
    """A measure in cm, refused where no foot or sock is like that; `whose` names them in the plural."""
    amount = length_of(text, what)
    if not low <= amount <= high:
        inches = text.strip().lower().endswith(("in", "inch", "inches", '"'))
        other = amount / CM_PER_INCH if inches else amount * CM_PER_INCH
        typed = amount / CM_PER_INCH if inches else amount
        hint = f"; did you mean {float(typed):g} {'cm' if inches else 'in'}?" if low <= other <= high else ""
        raise UsageError(f"{what}: {float(amount):g} cm can't be; {whose} have {low} to {high} cm{hint}")
    return amount


def gauge_of(text: str) -> tuple[Fraction, Fraction]:
    """Stitches and rounds to 10 cm from "31x43"."""
    match = _GAUGE.fullmatch(text)
    if not match or len(text) > LONGEST_VALUE:
        raise UsageError(f"gauge: {text!r} should be stitches x rounds to 10 cm, such as 31x43")
    stitches, rounds = (Fraction(part.replace(",", ".")) for part in match.groups())
    for amount, name in ((stitches, "stitches"), (rounds, "rounds")):
        if not SMALLEST <= amount <= LARGEST:
            raise UsageError(f"gauge: {float(amount):g} {name} to 10 cm can't be; socks have {SMALLEST} to {LARGEST}")
    return stitches, rounds


def title_of(text: str, what: str) -> str:
    """A title or a name as one line of printable characters."""
    title = " ".join(text.split())
    if not title or len(title) > LONGEST_TITLE or not title.isprintable():
        raise UsageError(f"the {what} should be 1 to {LONGEST_TITLE} characters that can be printed")
    return title


def limits_of(texts: list[str]) -> dict[str, int]:
    """Limits of the budget from "rounds=4000"; they are raised, never lowered."""
    limits: dict[str, int] = {}
    for text in texts:
        name, _, number = (part.strip() for part in text.partition("="))
        if name not in LIMITS:
            raise UsageError(f"limit: there is none called {name!r}; there are {', '.join(LIMITS)}")
        if not re.fullmatch(r"[0-9]{1,12}", number) or int(number) < LIMITS[name].most:
            raise UsageError(f"limit: {text!r} should be {name}= and a number above {LIMITS[name].most}")
        limits[name] = int(number)
    return limits


def with_values(typed: list[str]) -> list[str]:
    """The words typed, with "--foot -3cm" as "--foot=-3cm": a length that can't be, not an unknown option."""
    words: list[str] = []
    for word in typed:
        if words and words[-1].startswith("--") and "=" not in words[-1] and re.match(r"-\d", word):
            words[-1] += f"={word}"
        else:
            words.append(word)
    return words


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    from grader.cli.compare import compare_options
    from grader.cli.cover import cover_options
    from grader.cli.gauging import gauge_options, swatch_options  # late: it reads lengths as this module does
    from grader.cli.hours import time_options
    from grader.cli.stripes import stripes_options

    top = _Parser(prog="grader", description="Grades a sock pattern, knits every size through, and prints it.")
    top.add_argument(
        "--limit",
        action="append",
        default=[],
        metavar="NAME=NUMBER",
        help=f"before the command: let it take more than usual; limits are {', '.join(LIMITS)}",
    )
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=_Parser)

    publish = commands.add_parser("publish", help="check a pattern, then write its Markdown and PDF into build/")
    _publish(publish)

    _one_off(commands.add_parser("one-off", help="one knitter's sock: one size, one setup, no brackets"))

    _class(commands.add_parser("class", help="a sock for each person of a list, all in one document"))

    check = commands.add_parser("check", help="grade and test-knit a pattern; exit 1 if there are findings")
    _check(check)

    sizes = commands.add_parser("sizes", help="the size table, ease after rounding, and who it fits")
    _pattern(sizes)
    sizes.add_argument("--units", choices=("cm", "in", "both"), default="cm")
    sizes.add_argument("--why", action="store_true", help="every number with its rule and its rounding")
    cover_options(sizes)

    for command in (publish, check, sizes):
        gauge_options(command)

    swatch_options(commands.add_parser("swatch", help="the gauge of a swatch, and what it means for a pattern"))

    _yarn(commands.add_parser("yarn", help="metres, grams and balls for a pair of every size; is one ball enough?"))

    stripes_options(commands.add_parser("stripes", help="where the stripes of a yarn come to lie, and the second sock"))
    time_options(commands.add_parser("time", help="stitches and hours for a pair of every size, part by part"))

    compare_options(commands.add_parser("compare", help="what changed between two versions of a pattern: errata"))

    parts = commands.add_parser("parts", help="the cuffs, legs, heels, toes and stitch patterns to put a sock together")
    parts.add_argument("name", metavar="NAME", nargs="?", help="only this part, in full")

    new = commands.add_parser("new", help="write a working starter pattern with comments")
    new.add_argument("name", help="the title; NAME.yaml is written into this folder")
    return top


def _publish(publish: argparse.ArgumentParser) -> None:
    _pattern(publish)
    _print_options(publish, None)
    publish.add_argument("--sizes", metavar="LIST", help="only these sizes, such as 1-6 or S,M,L")
    publish.add_argument(
        "--needles", action="append", metavar="SETUP", help="only this setup; may be given more than once"
    )
    publish.add_argument(
        "--arrange",
        choices=("by-section", "by-setup", "both"),
        default="by-section",
        help="all setups section by section, or one whole sock after the other",
    )
    publish.add_argument("--each-setup", action="store_true", help="one document more for each needle setup alone")
    publish.add_argument("--jobs", metavar="N", help="how many documents to make at once (all cores)")
    _edition_options(publish)
    publish.add_argument("--watch", action="store_true", help="make the documents again after every save")
    publish.add_argument(
        "--preview",
        nargs="?",
        const=0,
        type=int,
        metavar="PORT",
        help="watch, and show the documents in the browser of this machine (any free port)",
    )


def _edition_options(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--edition",
        action="append",
        metavar="NAME",
        help="pattern, one-size, handout, booklet, worksheet, large-18, large-24, easy, plain-text, web, epub or all;"
        " may be given more than once",
    )
    command.add_argument("--language", metavar="TAG", default="en", help="en, de or fr, or one of your own")
    command.add_argument("--crop-marks", action="store_true", help="bleed and crop marks, for a printer")
    command.add_argument("--black", action="store_true", help="black as the only ink")


def _check(check: argparse.ArgumentParser) -> None:
    _pattern(check)
    check.add_argument("--json", action="store_true", help="print the worked record of every sock as JSON")
    check.add_argument("--sizes", metavar="LIST", help="only these sizes")
    check.add_argument(
        "--sample",
        action="store_true",
        help="print the log of these sizes as a `sample:` block, to keep once you have knitted them",
    )
    check.add_argument("--needles", action="append", metavar="SETUP", help="only this setup")
    check.add_argument("--terms", choices=("uk", "us", "both"), default="uk", help="terms to write the lines in")
    check.add_argument("--units", choices=("cm", "in", "both"), default="cm")
    check.add_argument("--templates", metavar="FOLDER", help="your own templates, to look at their pictures and style")
    check.add_argument("--quiet", action="store_true", help="no progress")


def _yarn(yarn: argparse.ArgumentParser) -> None:
    _pattern(yarn)
    yarn.add_argument("--ball", metavar="BALL", help="is it enough? what you have, such as 50g/210m or 2x50g/210m")
    yarn.add_argument("--sizes", metavar="LIST", help="only these sizes, such as 1-6 or S,M,L")
    yarn.add_argument("--units", choices=("cm", "in", "both"), help="lengths of legs, with --ball (cm)")
    yarn.add_argument("--quiet", action="store_true", help="no progress, no remarks")


def _one_off(one_off: argparse.ArgumentParser) -> None:
    from grader.cli.person import person_options  # late: it reads lengths as this module does

    _pattern(one_off)
    one_off.add_argument("--foot", metavar="LENGTH", help="round the ball of the foot, such as 22.5cm or 8.75in")
    one_off.add_argument("--length", metavar="LENGTH", help="from heel to longest toe, such as 25cm")
    one_off.add_argument("--leg", metavar="LENGTH", help="from the top edge to the heel (as in the nearest size)")
    for each in OF_THE_LEG:
        one_off.add_argument(f"--{each.option}", metavar="LENGTH", help=each.help)
    person_options(one_off)
    one_off.add_argument("--gauge", metavar="STSxROUNDS", help="your stitches and rounds to 10 cm, such as 31x43")
    one_off.add_argument("--needles", metavar="SETUP", help="short-circular, magic-loop, set-of-5 or set-of-4")
    one_off.add_argument("--name", default="", help="whose sock it is, for the title and the file name")
    _print_options(one_off, None)
    _edition_options(one_off)


def _class(command: argparse.ArgumentParser) -> None:
    from grader.cli.class_list import class_options  # late: it reads gauges as this module does

    _pattern(command)
    class_options(command)
    _print_options(command)


def _pattern(command: argparse.ArgumentParser) -> None:
    command.add_argument("pattern", metavar="PATTERN", help="a pattern file (YAML), or the name of one that ships")


def _print_options(command: argparse.ArgumentParser, paper: str | None = "a4") -> None:
    command.add_argument("--terms", choices=("uk", "us"), default="uk", help="UK or US terms")
    command.add_argument("--units", choices=("cm", "in", "both"), default="both", help="lengths in print")
    told = None if paper else "a4, or a5 for a booklet, if none is named"
    command.add_argument("--paper", choices=("a4", "letter", "a5"), default=paper, help=told)
    command.add_argument("--out", metavar="FOLDER", default="build", help="where the documents are written")
    command.add_argument(
        "--templates", metavar="FOLDER", help="your own templates, instead of the shipped ones of the same name"
    )
    command.add_argument("--quiet", action="store_true", help="no progress, no list of files")


def chosen(wanted: str, names: list[str]) -> list[str]:
    """Size names from "1-6", "S,M,L" or a mixture, in the pattern's own order."""
    picked: set[str] = set()
    for part in (part.strip() for part in wanted.split(",") if part.strip()):
        first, dash, last = part.partition("-")
        if part in names:
            picked.add(part)
        elif dash and first.strip() in names and last.strip() in names:
            begin, end = names.index(first.strip()), names.index(last.strip())
            picked.update(names[min(begin, end) : max(begin, end) + 1])
        else:
            raise UsageError(f"no size {part!r}; there are {', '.join(names)}")
    if not picked:
        raise UsageError("no size is named")
    return [name for name in names if name in picked]
