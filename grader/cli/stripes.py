"""The stripes command: a yarn that changes colour, typed as its repeat, and the pair that it makes."""

from __future__ import annotations

import argparse
import re
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.arguments import LONGEST_VALUE, UsageError, title_of
from grader.vocabulary.quantities import METRES_PER_YARD, UnitError, read_quantity
from grader.vocabulary.unprintable import Unprintable

if TYPE_CHECKING:
    from grader.cli.console import Console
    from grader.models.language import Language
    from grader.models.pattern import Pattern
    from grader.models.stripes import Ask, Stripe, StripedPair
    from grader.pipeline import Checked, Sock

MOST_STRIPES, MOST_COLOURS, LONGEST_COLOUR, LONGEST_REPEAT = 40, 8, 20, 600
SHORTEST, LONGEST = Fraction(1, 20), 1000  # metres of a stripe
MOST_ROUNDS, WIDEST_SWATCH = 200, 400
_AMOUNT = r"\s*+(\d++/\d++|\d*+\s*+[¼½¾⅛⅜⅝⅞]|\d++(?:[.,]\d++)?(?:\s++\d++/\d++)?)\s*+([a-z\"]*+)"  # 4.5m, 8 1/2 in
_ONE_AMOUNT = re.compile(rf"{_AMOUNT}\s*+", re.IGNORECASE)
_STRIPE = re.compile(rf"{_AMOUNT}(?:\s++(?:of\s++)?(.+)|\s*+)", re.IGNORECASE)
_DECIMAL_COMMA = re.compile(  # that of "4,5m red"
    r"((?:^|[,;\n])[^\S\n]*+\d++),(\d++)(?=[^\S\n]*+[a-z])", re.IGNORECASE
)
_YARDS = ("yd", "yds", "yard", "yards")
_METRES = ("metre", "metres", "meter", "meters")
_ROUNDS = re.compile(r"\s*+(\d++(?:[.,]\d++)?)(?:\s*+(?:rounds?|rnds?|rows?))?\s++(.+)", re.IGNORECASE)
LIKE = 'write it like "4m blue, 2m cream"'
LIKE_ROUNDS = 'write it like "6 blue, 3 cream"'


def stripes_options(command: argparse.ArgumentParser) -> None:
    """The options of `grader stripes`."""
    command.add_argument("pattern", metavar="PATTERN", help="a pattern file (YAML), or the name of one that ships")
    command.add_argument("--size", metavar="NAME", required=True, help="the size to knit")
    command.add_argument("--needles", action="append", metavar="SETUP", help="the needle setup (a set of five)")
    command.add_argument("--repeat", metavar="STRIPES", help='yarn of each colour in turn: "4m blue, 2m cream"')
    command.add_argument("--rounds", metavar="STRIPES", help='or rounds of a swatch in turn: "6 blue, 3 cream"')
    command.add_argument("--swatch", metavar="STITCHES", help="how many stitches each of these rounds has")
    command.add_argument("--start", metavar="LENGTH", help="how far into the repeat the first stitch lies (0)")
    command.add_argument("--contrast", metavar="PARTS", help="parts in another yarn, such as heel or heel,toe")
    command.add_argument("--tail", metavar="LENGTH", help="the tail before the first stitch (as the pattern says)")
    command.add_argument("--ball", metavar="BALL", help="what you have, such as 420m or 2x50g/210m (one ball)")
    command.add_argument("--out", metavar="FOLDER", help="write a plan, its drawing and a page to print into it")
    command.add_argument("--paper", choices=("a4", "letter"), help="paper of the page")
    command.add_argument("--language", metavar="TAG", default="en", help="that of the plan: en, de or fr, or your own")
    command.add_argument("--quiet", action="store_true", help="no progress, no list of files")


def yarn_length(text: str, what: str) -> Fraction:
    """A length of yarn in metres from "4m", "4 1/2 yd", "350cm", "12in"; a bare number is refused, but for 0."""
    match = _ONE_AMOUNT.fullmatch(text) if len(text) <= LONGEST_VALUE else None
    if match is None:
        raise UsageError(f"{what}: {text[:LONGEST_VALUE]!r} is no length of yarn; write it like 4m, 350cm or 4.5yd")
    unit = match[2].lower()
    try:
        amount = read_quantity(match[1]).amount
        if unit in _YARDS:
            return amount * METRES_PER_YARD
        if unit in _METRES:
            return amount
        length = read_quantity(match[1] + unit)
    except UnitError as mistake:
        raise UsageError(f"{what}: {mistake}; write it like 4m, 350cm or 4.5yd") from None
    if amount and not length.is_length:
        raise UsageError(f"{what}: {text.strip()!r} has no length; write {match[1]}m, {match[1]}cm or {match[1]}yd")
    return length.amount / 100


def repeat_of(text: str) -> tuple[Stripe, ...]:
    """The repeat from "4m blue, 2m cream": lengths of yarn with their colours, in the order of the ball."""
    from grader.models.stripes import Stripe

    stripes = []
    for part in _listed(text, "repeat", LIKE):
        match = _STRIPE.fullmatch(part)
        if not match or not match[3] or not match[2]:
            raise UsageError(f"repeat: {part!r} should be a length and a colour; {LIKE}")
        metres = yarn_length(f"{match[1]}{match[2]}", "repeat")
        stripes.append(Stripe(_colour(match[3]), _possible(metres, part, "repeat")))
    return _sensible(stripes, "repeat", LIKE)


def rounds_of(text: str, swatch: str | None, per_stitch: Fraction) -> tuple[Stripe, ...]:
    """The repeat from "6 blue, 3 cream": rounds of a swatch of so many stitches of `per_stitch` metres."""
    from grader.models.stripes import Stripe

    if swatch is None:
        raise UsageError("rounds: how wide was the swatch? give its stitches with --swatch, such as --swatch 64")
    if not re.fullmatch(r"\s*[1-9]\d{0,3}\s*", swatch) or int(swatch) > WIDEST_SWATCH:
        raise UsageError(f"swatch: {swatch[:LONGEST_VALUE]!r} should be 1 to {WIDEST_SWATCH} stitches")
    stripes = []
    for part in _listed(text, "rounds", LIKE_ROUNDS):
        match = _ROUNDS.fullmatch(part)
        if not match:
            raise UsageError(f"rounds: {part!r} should be rounds and a colour; {LIKE_ROUNDS}")
        rounds = Fraction(match[1].replace(",", "."))
        if not 0 < rounds <= MOST_ROUNDS:
            raise UsageError(f"rounds: {float(rounds):g} rounds can't be; a stripe has up to {MOST_ROUNDS}")
        metres = rounds * int(swatch) * per_stitch
        stripes.append(Stripe(_colour(match[2]), _possible(metres, part, "rounds")))
    return _sensible(stripes, "rounds", LIKE_ROUNDS)


def _listed(text: str, what: str, like: str) -> list[str]:
    if len(text) > LONGEST_REPEAT:
        raise UsageError(f"{what}: this is too long for a repeat; {like}")
    parts = (part.strip() for part in re.split(r"[,;\n]", _DECIMAL_COMMA.sub(r"\1.\2", text)))
    found = [part for part in parts if part]
    if not found:
        raise UsageError(f"{what}: no stripe is named; {like}")
    if len(found) > MOST_STRIPES:
        raise UsageError(f"{what}: {len(found)} stripes are too many; a repeat has up to {MOST_STRIPES}")
    return found


def _colour(text: str) -> str:
    name = title_of(text, "colour")
    if len(name) > LONGEST_COLOUR:
        raise UsageError(f"repeat: {name!r} is too long for a colour; use up to {LONGEST_COLOUR} characters")
    return name


def _possible(metres: Fraction, part: str, what: str) -> Fraction:
    if not SHORTEST <= metres <= LONGEST:
        raise UsageError(f"{what}: {part!r} can't be; a stripe has 5 cm to {LONGEST} m of yarn")
    return metres


def _sensible(stripes: list[Stripe], what: str, like: str) -> tuple[Stripe, ...]:
    from grader.models.stripes import Stripe

    first = {each.colour.casefold(): each.colour for each in reversed(stripes)}
    stripes = [Stripe(first[each.colour.casefold()], each.metres) for each in stripes]  # Blue is blue
    colours = {each.colour for each in stripes}
    if len(colours) < 2:
        raise UsageError(f"{what}: stripes have two colours at least; {like}")
    if len(colours) > MOST_COLOURS:
        raise UsageError(f"{what}: {len(colours)} colours are more than a drawing can tell apart; up to {MOST_COLOURS}")
    return tuple(stripes)


def contrasts(text: str | None, sections: list[str]) -> tuple[str, ...]:
    """The sections whose names hold one of the words in a list such as "heel, toe"."""
    found: list[str] = []
    for word in (part.strip().lower() for part in (text or "").split(",") if part.strip()):
        named = [each for each in sections if word == each.lower() or word.removesuffix("s") in each.lower().split()]
        if not named:
            raise UsageError(f"contrast: no part is called {word!r}; there are {', '.join(sections)}")
        found += named
    if set(found) == set(sections):
        raise UsageError("contrast: nothing is left to knit in stripes")
    return tuple(dict.fromkeys(found))


def tell_stripes(arguments: argparse.Namespace, console: Console, pattern: Pattern, setup: str) -> int:
    """Knit the one size through, lay it along the yarn, and print the plan; with --out, write it and its drawing."""
    from grader.cli.publish import language_of
    from grader.pipeline import Wanted, check
    from grader.reporting import print_findings, print_stripes
    from grader.striping import stripe_pair

    repeat = _repeat(arguments, pattern)
    if arguments.out is None and arguments.language != "en":
        raise UsageError("language: that of the plan; say with --out where it is to be written")
    language = language_of(arguments, pattern, console)
    checked = check(pattern, Wanted((setup,)), console.progress)
    errors = [finding for finding in checked.findings if finding.is_error]
    if errors:
        console.warn(print_findings(errors))
    if errors or not checked.socks:
        return 1
    sock = checked.socks[0]
    pair = stripe_pair(pattern, sock.graded, sock.records, _ask(arguments, pattern, sock, repeat))
    console.result(print_stripes(pair, sock.graded.body.name))
    if arguments.out is None:
        return 0
    return _write(arguments, console, checked, pair, language)


def _asked(arguments: argparse.Namespace) -> str:
    """The yarn as it was typed, and how it is to lie: what makes one plan another than the next."""
    yarn = arguments.repeat or f"{arguments.rounds} over {arguments.swatch}"
    told = {name: getattr(arguments, name) for name in ("start", "contrast", "tail", "ball", "needles")}
    return " ".join([yarn, *(f"{name} {given}" for name, given in told.items() if given)])


def _repeat(arguments: argparse.Namespace, pattern: Pattern) -> tuple[Stripe, ...]:
    from grader.striping import stitch_metres

    if (arguments.repeat is None) == (arguments.rounds is None):
        raise UsageError(f"give the stripes with --repeat or with --rounds, one of the two; {LIKE}")
    if arguments.repeat is not None:
        if arguments.swatch is not None:
            raise UsageError("swatch: goes with --rounds; lengths of yarn need none")
        return repeat_of(arguments.repeat)
    return rounds_of(arguments.rounds, arguments.swatch, stitch_metres(pattern))


def _ask(arguments: argparse.Namespace, pattern: Pattern, sock: Sock, repeat: tuple[Stripe, ...]) -> Ask:
    from grader.cli.yarn import ball_of
    from grader.models.stripes import Ask

    length = sum((each.metres for each in repeat), Fraction(0))
    start = yarn_length(arguments.start, "start") if arguments.start is not None else Fraction(0)
    if start >= length:
        raise UsageError(f"start: {float(start):g} m is past the repeat, which has {float(length):.4g} m")
    tail = yarn_length(arguments.tail, "tail") if arguments.tail is not None else None
    if tail is not None and tail > 10:
        raise UsageError(f"tail: {float(tail):g} m can't be; a tail has up to 10 m")
    ball = ball_of(arguments.ball, pattern) if arguments.ball is not None else None
    metres = Fraction(ball.whole).limit_denominator(1000) if ball else None
    worked = [line.section for record in sock.records for line in record.lines if line.loops]
    contrast = contrasts(arguments.contrast, list(dict.fromkeys(worked)))
    return Ask(repeat, start, contrast, tail, ball=metres)


def _write(
    arguments: argparse.Namespace, console: Console, checked: Checked, pair: StripedPair, language: Language | None
) -> int:
    from grader.cli.publish import tell_left
    from grader.naming import part_stem
    from grader.publishing import make_stripes
    from grader.storing import store

    of = f"{arguments.size_stem}-yarn-{part_stem(_asked(arguments))}"
    try:
        made = make_stripes(checked, pair, arguments.paper or "a4", language, of)
    except Unprintable as mistake:
        console.warn(f"grader: {mistake}")
        return 1
    tell_left(made.left, console)
    for path in store(Path(arguments.out), made.files, console.tell):
        console.wrote(path)
    return 0
