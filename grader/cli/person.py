"""Who a sock is for: what was measured, what follows from a shoe size or an age, and what is estimated."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction

from grader.cli.arguments import OF_THE_LEG, UsageError, measure
from grader.models.pattern import Pattern
from grader.vocabulary.bodies import Body
from grader.vocabulary.foot_measures import LIMITS, WORDS
from grader.vocabulary.lengths import print_length

_SHOE = re.compile(
    r"\s*+(EU|UK|US|MP|Mondopoint)\b[\s,]*+(?:(women|woman|men|man|child|children|kids)(?:'s)?\b)?[\s,]*+"
    r"(\d{1,3}(?:[.,]\d)?|\d{0,3}½)\s*+",
    re.IGNORECASE,
)
_WEARERS = {"woman": "women", "man": "men", "children": "child", "kids": "child"}
_SHOE_LIKE = "write it like 'EU 39', 'UK 6' or 'US women 8'"
_AGE = re.compile(r"\s*+(\d{1,2}(?:[.,]\d{1,2})?)\s*+(?:years?|y)?\s*+", re.IGNORECASE)
_AGREES = Fraction(1, 2)  # cm by which a measured foot may miss its shoe size or age: half a size and a bit
_CHILDREN = "a survey of 3898 children (University of Michigan, 1977)"
_BABIES = f"two knitters' write-ups of socks for babies, and from two years on {_CHILDREN}"
Ask = Callable[[str, str], str]


@dataclass(slots=True)
class _Known:
    """What is known so far: measures in cm, who it is, half the range of what is only half known, and what to tell."""

    measures: dict[str, Fraction] = field(default_factory=dict)
    whom: str = ""
    unsure: dict[str, Fraction] = field(default_factory=dict)
    told: list[str] = field(default_factory=list)


def person_options(one_off: argparse.ArgumentParser) -> None:
    """The options of `one-off` that say more, or less, than circumference and length."""
    one_off.add_argument("--shoe", metavar="SIZE", help="the shoe size instead of the length, such as 'EU 39'")
    one_off.add_argument("--age", metavar="YEARS", help="a child's age instead of the length, 0.5 to 18")
    one_off.add_argument("--heel", metavar="LENGTH", help="round heel and ankle bend, which the cuff must go over")
    one_off.add_argument("--instep", metavar="LENGTH", help="round the instep, where it is highest")
    one_off.add_argument("--estimate", action="store_true", help="estimate what is missing instead of asking for it")


def person_of(pattern: Pattern, arguments: argparse.Namespace, ask: Ask) -> Body:
    """The person of the options; `ask` gives what is missing, by option and question, unless it is to be estimated.

    How high the leg is where nobody says so is as in the nearest size; its girths and the knee are estimated.
    """
    from grader.cli.one_off import measures_used, own_body
    from grader.measuring import estimate, usual

    needed = measures_used(pattern)
    _refuse_useless(arguments, measures_used(pattern, altered=True))
    known = _Known()
    _foot(known, arguments, ask)
    guessing = _guesses(arguments)
    for each in OF_THE_LEG:
        typed = getattr(arguments, each.name)
        if typed or (each.name in needed and not guessing):
            typed = typed or ask(each.option, each.question)
            known.measures[each.name] = measure(typed, each.option, *LIMITS[each.name], each.whose)
    if arguments.heel:
        known.measures["heel_diagonal"] = measure(arguments.heel, "heel", *LIMITS["heel_diagonal"], "heels")
    if arguments.instep:
        known.measures["instep_girth"] = measure(arguments.instep, "instep", *LIMITS["instep_girth"], "insteps")
    missing = [name for name in ("foot_length", "foot_circumference") if name not in known.measures]
    legs = [each.name for each in OF_THE_LEG if each.name in needed]
    found = estimate(known.measures, missing, known.whom, known.unsure)
    known.measures |= {name: guess.middle for name, guess in found.items()}
    known.unsure |= {name: (guess.high - guess.low) / 2 for name, guess in found.items()}
    sized = [each.name for each in OF_THE_LEG if each.name in pattern.bodies[0].measures]
    found |= estimate(known.measures, [*legs, *sized, "heel_diagonal"], known.whom, known.unsure)
    for name, guess in found.items():
        if name in (*missing, *legs):
            known.told.append(
                f"{WORDS[name][:1].upper()}{WORDS[name][1:]} was not measured:"
                f" {print_length(guess.middle, arguments.units)} is an estimate, and nine in ten like this have"
                f" {print_length(guess.low, arguments.units)} to {print_length(guess.high, arguments.units)}."
                f" Source: {guess.basis}."
            )
    measures = {**known.measures, **{name: guess.middle for name, guess in found.items()}}
    if arguments.leg:
        measures["leg_length"] = measure(arguments.leg, "leg", 3, 60, "legs of socks")
    body = own_body(pattern, measures["foot_circumference"], measures["foot_length"], measures, arguments.name)
    estimated = frozenset((*found, *known.unsure, *(body.measures.keys() - measures.keys())))
    return replace(body, usual=usual(measures, known.whom), estimated=estimated, told=tuple(known.told))


def judged(body: Body, whom: str = "") -> list[str]:
    """What is strange about the measures that were taken, a paragraph each; `UsageError` for what no foot has."""
    from grader.measuring import judge
    from grader.reporting import print_findings

    taken = {name: amount for name, amount in body.measures.items() if name not in body.estimated}
    findings = judge(taken, whom)
    wrong = next((each for each in findings if each.is_error), None)
    if wrong:
        raise UsageError(f"{wrong.message}; there are {wrong.expected}; {wrong.mend}")
    return [print_findings([each]) for each in findings]


def _guesses(arguments: argparse.Namespace) -> bool:
    return bool(arguments.estimate or arguments.shoe or arguments.age)


def _refuse_useless(arguments: argparse.Namespace, used: frozenset[str]) -> None:
    asked = {"instep_girth": ("instep", arguments.instep)}
    asked |= {each.name: (each.option, getattr(arguments, each.name)) for each in OF_THE_LEG if not each.of_all}
    useless = next((option for name, (option, typed) in asked.items() if typed and name not in used), "")
    if useless:
        raise UsageError(f"nothing in this pattern hangs on --{useless}; leave it out")


def _foot(known: _Known, arguments: argparse.Namespace, ask: Ask) -> None:
    """Circumference and length, as far as they were measured or asked for."""
    guessing = _guesses(arguments)
    if arguments.foot or not guessing:
        foot = arguments.foot or ask("foot", "Round the ball of the foot (such as 22.5cm)")
        known.measures["foot_circumference"] = measure(foot, "foot", *LIMITS["foot_circumference"])
    if arguments.length or not guessing:
        length = arguments.length or ask("length", "Length of the foot (such as 25cm)")
        known.measures["foot_length"] = measure(length, "length", *LIMITS["foot_length"])
    if arguments.shoe and arguments.age:
        raise UsageError("--shoe and --age both tell the length of the foot; give one of them")
    if arguments.shoe:
        _by_shoe(known, arguments)
    elif arguments.age:
        _by_age(known, arguments)
    if not known.measures:
        raise UsageError("there is nothing to estimate from; give --foot, --length, --shoe or --age")


def _by_shoe(known: _Known, arguments: argparse.Namespace) -> None:
    (low, middle, high), known.whom, name = shoe_length(arguments.shoe)
    _take_length(known, low, high, middle, f"a shoe of {name}", arguments)
    if "foot_length" in known.unsure:
        known.told[-1] += " Tables of shoe sizes differ by up to two sizes; measure the foot if you can."


def _by_age(known: _Known, arguments: argparse.Namespace) -> None:
    from grader.vocabulary.growth import FIRST_YEAR_MEASURED, OLDEST, YOUNGEST, length_at_age

    match = _AGE.fullmatch(arguments.age)
    if not match:
        raise UsageError(f"age: {arguments.age!r} should be years, such as 4")
    years = Fraction(match[1].replace(",", "."))
    try:
        low, middle, high = length_at_age(years)
    except KeyError:
        span = f"{float(YOUNGEST):g} to {float(OLDEST):g}, the ages that are known"
        raise UsageError(f"age: {float(years):g} is not {span}; give --length") from None
    known.whom = "children"
    _take_length(known, low, high, middle, f"an age of {float(years):g}", arguments)
    if "foot_length" in known.unsure:
        known.told[-1] += f" Source: {_BABIES if years < FIRST_YEAR_MEASURED else _CHILDREN}."


def _take_length(
    known: _Known, low: Fraction, high: Fraction, middle: Fraction, why: str, arguments: argparse.Namespace
) -> None:
    """The length by shoe size or age, unless it was measured; then only what doesn't agree is told."""
    units = arguments.units
    if "foot_length" in known.measures:
        length = known.measures["foot_length"]
        if not low - _AGREES <= length <= high + _AGREES:
            known.told.append(
                f"{why[:1].upper()}{why[1:]} means a foot of {print_length(low, units)} to {print_length(high, units)},"
                f" but {print_length(length, units)} was measured and is taken: measure once more to be sure."
            )
        return
    known.measures["foot_length"] = middle
    known.unsure["foot_length"] = (high - low) / 2
    known.told.append(
        f"The length of the foot was not measured: {why} means {print_length(low, units)} to"
        f" {print_length(high, units)}, and {print_length(middle, units)} was taken, an estimate."
    )


def shoe_length(text: str) -> tuple[tuple[Fraction, Fraction, Fraction], str, str]:
    """The shortest, usual and longest foot of a shoe size in cm, for whom it is, and its name; "" for anybody's.

    European sizes and Mondopoint are everybody's; British ones are for adults unless a child is named; American ones
    differ between women, men and children, so that one of them must be named.
    """
    from grader.vocabulary.shoe_sizes import foot_length_of, print_size, usual_foot_of

    match = _SHOE.fullmatch(text)
    if not match:
        raise UsageError(f"shoe: {text!r} is no shoe size; {_SHOE_LIKE}")
    system = {"MP": "Mondopoint", "MONDOPOINT": "Mondopoint"}.get(match[1].upper(), match[1].upper())
    said = (match[2] or "").lower()
    wearer = _WEARERS.get(said, said)
    number = match[3].replace(",", ".")
    size = Fraction(number[:-1] or "0") + Fraction(1, 2) if number.endswith("½") else Fraction(number)
    if system == "US" and not wearer:
        raise UsageError(f"shoe: US sizes differ; write US women {number}, US men {number} or US child {number}")
    mistakes = []
    for whose in (wearer,) if wearer else ("women", "men", "child") if system != "UK" else ("women", "men"):
        try:
            low, high = foot_length_of(system, size, whose)
        except ValueError as mistake:
            mistakes.append(str(mistake))
            continue
        whom = {"child": "children"}.get(whose, wearer)
        name = f"{system} {wearer + ' ' if wearer else ''}{print_size(size)}"
        return (low, usual_foot_of(system, size, whose), high), whom, name
    raise UsageError(f"shoe: {mistakes[0]}; {_SHOE_LIKE}")
