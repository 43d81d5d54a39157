"""Measures that were not taken, from those that were, with how sure that is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from grader.models.guess import Guess
from grader.vocabulary.conditioning import Expected, childhood, expected, together

_NINE_IN_TEN = 1.645  # standard deviations to either side that hold nine in ten of a normal distribution
_BASIS_ADULT = "a survey of 6068 adults (US Army Natick, 2014)"
_BASIS_CHILD = "children's proportions, an estimate: no survey of their girths was found"
_BASIS_GROWING = "an estimate between children's proportions and a survey of 6068 adults (US Army Natick, 2014)"
_BASIS_INSTEP = "an estimate of ours: no survey of insteps was found"
_TENTH = Fraction(1, 10)


def estimate(
    known: Mapping[str, Fraction], wanted: Iterable[str], whom: str = "", unsure: Mapping[str, Fraction] | None = None
) -> dict[str, Guess]:
    """Guesses of what is `wanted` and not `known`, each from all that is known; to the millimetre.

    `whom` is women, men, adults, children, or "" where nobody says. `unsure` holds half the width of the range (nine
    in ten) of what is only half known, such as a length by a shoe size; the guesses are as much less sure.
    """
    floats = {name: float(amount) for name, amount in known.items()}
    found: dict[str, Guess] = {}
    for name in dict.fromkeys(wanted):
        if name in known:
            continue
        several = expected(name, floats, whom)
        guess = together(several)
        spread = guess.spread**2
        for other, half in (unsure or {}).items():
            moved = together(expected(name, {**floats, other: floats[other] + 0.1}, whom)).mean - guess.mean
            spread += (moved / 0.1 * float(half) / _NINE_IN_TEN) ** 2
        found[name] = _guess(name, Expected(guess.mean, spread**0.5), _basis(name, floats, whom))
    return found


def usual(known: Mapping[str, Fraction], whom: str = "") -> dict[str, Fraction]:
    """What a foot of this circumference and length usually has, by the name of the measure; and round, by its length.

    What was measured beside them changes nothing here: it is what an alteration compares with this.
    """
    foot = {name: known[name] for name in ("foot_circumference", "foot_length")}
    others = ("heel_diagonal", "instep_girth", "ankle", "calf", "knee_height")
    guesses = estimate(foot, others, whom)
    guesses |= estimate({"foot_length": foot["foot_length"]}, ("foot_circumference",), whom)
    return {name: guess.middle for name, guess in guesses.items()}


def _guess(name: str, guess: Expected, basis: str) -> Guess:
    middle, low, high = (
        round(Fraction(guess.mean + off * guess.spread) / _TENTH) * _TENTH for off in (0, -_NINE_IN_TEN, _NINE_IN_TEN)
    )
    return Guess(name, middle, low, high, basis)


def _basis(name: str, known: Mapping[str, float], whom: str) -> str:
    if name == "instep_girth":
        return _BASIS_INSTEP
    child = childhood(known, whom)
    return _BASIS_CHILD if child == 1 else _BASIS_GROWING if child else _BASIS_ADULT
