"""The swatch command, and the pattern at another gauge: what was typed, worked, and told."""

from __future__ import annotations

import argparse
import re
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from grader.cli.arguments import LARGEST, LONGEST_VALUE, SMALLEST, UsageError, chosen, gauge_of, length_of
from grader.cli.console import Console
from grader.models.pattern import Pattern, Written, Yarn
from grader.vocabulary.quantities import GRAMS_PER_OUNCE, METRES_PER_YARD

if TYPE_CHECKING:
    from grader.models.regrade import KnitSize
    from grader.models.swatch import Averaged, Tally
    from grader.pipeline import Checked

LONGEST_LIST = 400  # characters of a list of counts
WIDEST = 100  # cm that a swatch may measure
_COUNT = re.compile(
    r"(?P<number>\d++(?:[.,]\d++)?(?:\s++\d++/\d++|\s*+[¼½¾])?)\s*+(?:sts?|stitch(?:es)?|rounds?|rows?)?\s*+"
    r"(?:\bover\b|\bto\b|\bin\b|\bper\b|/|=)\s*+(?P<over>.+)"
)
_BALL = re.compile(
    r"(?P<weight>[a-z]++(?: ++[a-z]++)*)?[\s,]*+(?P<first>\d++(?:[.,]\d++)?)\s*+(?P<one>m|yd|g|oz)\s*+(?:/|per|to)"
    r"\s*+(?P<second>\d++(?:[.,]\d++)?)\s*+(?P<two>m|yd|g|oz)"
)
_TO_METRES = {"m": Fraction(1), "yd": METRES_PER_YARD}
_TO_GRAMS = {"g": Fraction(1), "oz": GRAMS_PER_OUNCE}
LEAST_RUN, MOST_RUN = Fraction(1, 5), 20  # metres to the gram that a yarn for knitting can have


def swatch_options(command: argparse.ArgumentParser) -> None:
    """The options of `grader swatch`."""
    command.add_argument(
        "--stitches", metavar="LIST", required=True, help='counts of stitches, such as "33 over 10.2cm, 26 over 8cm"'
    )
    command.add_argument("--rounds", metavar="LIST", help='counts of rounds, such as "44 over 10cm" or "46 over 4in"')
    command.add_argument("--washed", action="store_true", help="the swatch was washed and dried before these counts")
    command.add_argument("--unwashed-stitches", metavar="LIST", help="what was counted before it was washed")
    command.add_argument("--unwashed-rounds", metavar="LIST", help="what was counted before it was washed")
    command.add_argument("--for", dest="pattern", metavar="PATTERN", help="compare it with a pattern's gauge")
    command.add_argument("--size", metavar="NAME", help="the size to tell about (the middle one)")
    _material_options(command)
    command.add_argument("--units", choices=("cm", "in", "both"), default="cm")


def gauge_options(command: argparse.ArgumentParser) -> None:
    """The options that grade a whole pattern at another gauge."""
    command.add_argument("--gauge", metavar="STSxROUNDS", help="grade for this gauge to 10 cm instead, such as 28x38")
    _material_options(command)


def _material_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("--needle", metavar="SIZE", help="the needle it is knitted on: 2.5mm, 'US 1.5' or 'UK 13'")
    command.add_argument("--yarn", metavar="BALL", help="its yarn, such as 225m/100g or 'light 225m/100g'")


def swatch(arguments: argparse.Namespace, console: Console, pattern: Pattern | None) -> int:
    """Tell the gauge of a swatch, and where a pattern is given what it means for that."""
    from grader.gauging import compare
    from grader.models.swatch import Swatch
    from grader.pipeline import foot_of, grade_all
    from grader.reporting import print_comparison, print_findings, print_swatch

    before = [
        _averaged(text, f"unwashed-{name}")
        for name, text in (("stitches", arguments.unwashed_stitches), ("rounds", arguments.unwashed_rounds))
    ]
    stitches = _averaged(arguments.stitches, "stitches")
    if stitches is None:
        raise UsageError("stitches: no count is given; write them like '33 over 10.2cm, 26 over 8cm'")
    washed = arguments.washed or any(before)
    counted = Swatch(stitches, _averaged(arguments.rounds, "rounds"), washed, before[0], before[1])
    needle = _needle(arguments.needle)
    yarn = None if arguments.yarn is None else ball_of(arguments.yarn, stitches.mean / 10, pattern)
    if pattern is None:
        useless = next((name for name in ("size", "needle", "yarn") if getattr(arguments, name)), "")
        if useless:
            raise UsageError(f"--{useless} goes with --for PATTERN")
        console.result(print_swatch(counted, arguments.units))
        return 0
    wanted = chosen(arguments.size, [body.name for body in pattern.bodies]) if arguments.size is not None else ()
    if len(wanted) > 1:
        raise UsageError(f"size: one size at a time is told about; name one of {', '.join(wanted)}")
    sizes, findings = grade_all(pattern)
    if findings:
        console.warn(print_findings(findings))
    found = [each for each in sizes if not wanted or each.body.name in wanted]
    if not found:
        return 1
    which = found[len(found) // 2]
    told = compare(counted, pattern, sizes, which, needle, yarn, foot_of(pattern, which))
    console.result(
        f"{print_swatch(counted, arguments.units)}\n\n{print_comparison(told, counted, pattern, arguments.units)}"
    )
    return 0


def _averaged(text: str | None, what: str) -> Averaged | None:
    from grader.gauging import average

    if text is None:
        return None
    mean = average(tallies_of(text, what))
    if not SMALLEST <= mean.mean <= LARGEST:
        amount = f"{float(mean.mean):.1f}"
        raise UsageError(
            f"{what}: {amount} to 10 cm can't be; socks have {SMALLEST} to {LARGEST}; are cm meant, or in?"
        )
    return mean


def tallies_of(text: str, what: str) -> tuple[Tally, ...]:
    """Counts such as "33 over 10.2cm, 26 1/2 sts over 4 in"; a comma within a number is a decimal one."""
    from grader.models.swatch import Tally
    from grader.vocabulary.quantities import UnitError, read_quantity

    if len(text) > LONGEST_LIST:
        raise UsageError(f"{what}: this list is too long; give a dozen counts at the most")
    found: list[Tally] = []
    for part in (each.strip() for each in re.split(r";|(?<!\d),|,(?!\d)", text)):
        match = _COUNT.fullmatch(part)
        if match is None:
            raise UsageError(f"{what}: {part!r} should be a count and a length, such as '33 over 10.2cm'")
        over = length_of(match["over"], what)
        try:
            number = read_quantity(match["number"]).amount
        except UnitError as mistake:
            raise UsageError(f"{what}: {mistake}") from None
        if not number or over > WIDEST:
            raise UsageError(
                f"{what}: {part!r} can't be; a swatch has some stitches, and is at the most {WIDEST} cm wide"
            )
        found.append(Tally(number, over))
    return tuple(found)


def _needle(text: str | None) -> Fraction | None:
    from grader.vocabulary.needles import needle_named

    if text is None:
        return None
    try:
        mm = needle_named(text[:LONGEST_VALUE])
    except ValueError as mistake:
        raise UsageError(f"needle: {mistake}") from None
    if not 1 <= mm <= 25:
        raise UsageError(f"needle: {float(mm):g} mm can't be; needles have 1 to 25 mm")
    return mm


def ball_of(text: str, stitches_per_cm: Fraction, pattern: Pattern | None = None) -> Yarn:
    """A yarn from "225m/100g", "50 g / 210 m" or "light 225m/100g"; without a weight, the council's for the gauge."""
    from grader.vocabulary.findings import Span
    from grader.vocabulary.yarn_weights import weights_at, yarn_weight

    match = _BALL.fullmatch(text.strip().lower()) if len(text) <= LONGEST_VALUE else None
    amounts = {match[unit]: Fraction(match[name].replace(",", ".")) for name, unit in _SIDES} if match else {}
    metres = next((amounts[unit] * factor for unit, factor in _TO_METRES.items() if unit in amounts), Fraction(0))
    grams = next((amounts[unit] * factor for unit, factor in _TO_GRAMS.items() if unit in amounts), Fraction(0))
    if not match or not metres or not grams:
        raise UsageError(f"yarn: {text!r} should be how far a ball goes, such as 225m/100g")
    if not LEAST_RUN <= metres / grams <= MOST_RUN:
        raise UsageError(f"yarn: {float(metres / grams):g} m to the gram can't be; sock yarns have about 1 to 5")
    try:
        weight = yarn_weight(match["weight"]) if match["weight"] else weights_at(10 * stitches_per_cm)[-1]
    except KeyError as mistake:
        raise UsageError(f"yarn: {mistake.args[0]}") from None
    return Yarn(weight.name, metres, grams, "", pattern.yarn.span if pattern else Span("", 1, 1))


_SIDES = (("first", "one"), ("second", "two"))


def at_gauge(pattern: Pattern, arguments: argparse.Namespace) -> tuple[Pattern, str]:
    """The pattern at the gauge asked for and what that changes, in words; as it is, and "", where none is asked for."""
    from grader.cli.one_off import own_gauge
    from grader.pipeline import Wanted, check, regauged
    from grader.reporting import print_regrade

    if arguments.gauge is None:
        useless = next((name for name in ("needle", "yarn") if getattr(arguments, name)), "")
        if useless:
            raise UsageError(f"--{useless} goes with --gauge")
        return pattern, ""
    typed = gauge_of(arguments.gauge)
    gauge = own_gauge(pattern, typed) or pattern.gauge
    yarn = None if arguments.yarn is None else ball_of(arguments.yarn, gauge.stitches, pattern)
    needle = _needle(arguments.needle)
    if gauge is pattern.gauge and not yarn and not needle:
        return pattern, ""
    new = regauged(pattern, gauge, yarn, needle)
    wanted = Wanted((_one_setup(pattern),))
    old_socks, new_socks = check(pattern, wanted), check(new, wanted)
    from grader.gauging import changes

    told = changes(pattern, new, _knit(old_socks), _knit(new_socks), new_socks.findings)
    return _noted(new, pattern), print_regrade(replace(told, yarn_given=yarn is not None), arguments.units)


def gauge_stem(arguments: argparse.Namespace) -> str:
    """What the names of files tell of another gauge: "-28x38", "-28.5x38"; "" without one."""
    if arguments.gauge is None:
        return ""
    return "-" + "x".join(f"{float(each):g}" for each in gauge_of(arguments.gauge))


def _one_setup(pattern: Pattern) -> str:
    from grader.setups import setup_names

    known = pattern.setups or tuple(setup_names())
    return next((name for name in known if name.startswith("long circular")), known[0])


def _knit(checked: Checked) -> list[KnitSize]:
    from grader.models.regrade import KnitSize
    from grader.yarn_use import yarn_for_pair

    found = []
    for sock in checked.socks:
        use = yarn_for_pair(checked.pattern, sock.record)
        found.append(KnitSize(sock.graded, sock.record, use.metres_pair, use.grams_pair))
    return found


def _noted(new: Pattern, old: Pattern) -> Pattern:
    """The pattern with a note of the gauge it was designed at: its sample and its picture are of that."""
    stitches, rounds = (f"{float(10 * each):g}" for each in (old.gauge.stitches, old.gauge.rounds))
    note = f"Graded anew for this edition; as designed it has {stitches} sts and {rounds} rounds to 10 cm (4 in)."
    return replace(new, notes=(*new.notes, Written(note, old.span)))
