"""Whether measures make sense: each against the people that were measured, and which mistake explains a strange one.

Nobody is refused for a rare foot: a strange measure is a remark with a question. Only what no foot or leg has is an
error.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

from grader.vocabulary.conditioning import Expected, expected, rareness
from grader.vocabulary.findings import Finding, Severity
from grader.vocabulary.foot_measures import LIMITS, RARE

LIKELY = 0.05  # a mistake is offered as explanation where it would make the measure as common as this
TOLD = {
    "foot_length": "a length",
    "foot_circumference": "a circumference",
    "heel_diagonal": "a girth round the heel",
    "instep_girth": "a girth round the instep",
    "ankle": "an ankle",
    "calf": "a calf",
    "knee_height": "a knee height",
}
_PER_INCH = 2.54
_MOST_OFFERED = 2
_STEPS = (1_000_000, 100_000, 10_000, 1_000)
_FOOT = ("foot_length", "foot_circumference")
_Fits = Callable[[float], bool]


def judge(measures: Mapping[str, Fraction], whom: str = "") -> list[Finding]:
    """Everything strange about the measures of one person, in cm; an empty list where all of it is common.

    `whom` is women, men, adults, children, or "". Codes: `absurd-measure` (an error), `rare-measure` (a remark).
    """
    known = {name: float(measures[name]) for name in LIMITS if name in measures}
    absurd = [name for name, amount in known.items() if not LIMITS[name][0] <= amount <= LIMITS[name][1]]
    if absurd:
        return [_absurd(name, known, whom) for name in absurd]
    foot = {name: known[name] for name in _FOOT if name in known}
    found = list(_judged_foot(foot, whom))
    if found and len(foot) == len(_FOOT):
        return found  # the rest can't be judged by a foot that is not right itself
    for name, amount in known.items():
        if name in foot or not foot:
            continue
        strange = rareness(amount, expected(name, foot, whom))
        if strange < RARE:
            found.append(_beside_the_foot(name, known, foot, whom, strange))
    if not found:
        found += _of_the_leg(known)
    return found


def _cm(amount: float) -> str:
    return f"{round(amount, 2):g} cm"


def _one_in(share: float) -> str:
    return f"{next(each for each in _STEPS if share < 1 / each or each == _STEPS[-1]):,}"


def _usual(name: str, known: Mapping[str, float], whom: str) -> str:
    """ "feet like it have 20.5 to 24 cm": the range of ninety-nine in a hundred, to the half centimetre."""
    several = expected(name, known, whom)
    low, high = (round(2 * bound) / 2 for bound in _range(several))
    return f"{low:g} to {high:g} cm"


def _range(several: tuple[Expected, ...]) -> tuple[float, float]:
    return min(e.mean - 2.576 * e.spread for e in several), max(e.mean + 2.576 * e.spread for e in several)


# -- what no foot has


def _absurd(name: str, known: Mapping[str, float], whom: str) -> Finding:
    low, high = LIMITS[name]
    amount = known[name]

    def fits(value: float) -> bool:
        return low <= value <= high

    told = [
        question
        for value, question in (
            (amount * _PER_INCH, f"is it in inches? {amount:g} in would be {_cm(amount * _PER_INCH)}"),
            (amount / _PER_INCH, f"was it in cm already? it would be {_cm(amount / _PER_INCH)}"),
            (amount / 10, f"is it in millimetres? it would be {_cm(amount / 10)}"),
            (amount * 10, f"has the point slipped? it would be {_cm(amount * 10)}"),
        )
        if fits(value) and _makes_sense(name, value, known, whom)
    ]
    return Finding(
        "absurd-measure",
        f"{TOLD[name]} of {_cm(amount)} can't be",
        expected=f"{low} to {high} cm",
        found=_cm(amount),
        mend="; or ".join(told[:_MOST_OFFERED]) or "measure again",
    )


def _makes_sense(name: str, value: float, known: Mapping[str, float], whom: str) -> bool:
    """True if the value would be common beside the rest of the foot, as far as that is known and can be."""
    beside = {
        other: known[other] for other in _FOOT if other in known and other != name and _is_possible(other, known[other])
    }
    return not beside or rareness(value, expected(name, beside, whom)) > RARE


def _is_possible(name: str, value: float) -> bool:
    return LIMITS[name][0] <= value <= LIMITS[name][1]


# -- the foot


def _pair(length: float, girth: float, whom: str) -> float:
    """How common this length is with this circumference, and that they are of a size that feet have."""
    if not (_is_possible("foot_length", length) and _is_possible("foot_circumference", girth)):
        return 0.0
    beside = rareness(girth, expected("foot_circumference", {"foot_length": length}, whom))
    if length > 23 and whom != "children":
        beside = min(beside, rareness(length, expected("foot_length", {}, whom)) * 2)
    return beside


def _judged_foot(foot: Mapping[str, float], whom: str) -> Iterator[Finding]:
    if "foot_length" not in foot:
        return
    length = foot["foot_length"]
    if length > 25 and whom != "children":  # a small grown-up foot may be a child's; a large one can't
        strange = rareness(length, expected("foot_length", {}, whom))
        if strange < RARE:
            yield _remark(
                f"a length of {_cm(length)} is rarer than 1 in {_one_in(strange)}",
                f"{_usual('foot_length', {}, whom)} for nearly all adults",
                _cm(length),
                "measured along the shoe, or a digit wrong? the foot is measured bare, from heel to longest toe",
            )
            return
    if "foot_circumference" not in foot:
        return
    girth = foot["foot_circumference"]
    strange = rareness(girth, expected("foot_circumference", {"foot_length": length}, whom))
    if strange < RARE:
        yield _remark(
            f"a length of {_cm(length)} with a circumference of {_cm(girth)} is rarer than 1 in {_one_in(strange)}",
            f"{_usual('foot_circumference', {'foot_length': length}, whom)} round",
            _cm(girth),
            _offered(_foot_mistakes(length, girth, whom), "measure both again, on the bare foot"),
        )


def _foot_mistakes(length: float, girth: float, whom: str) -> Iterator[tuple[float, str]]:
    """Mistakes that can be made with a foot: how common it would be without, and the question."""
    yield _pair(girth, length, whom), "foot and length the wrong way round?"
    yield (
        _pair(length, girth * _PER_INCH, whom),
        f"the circumference in inches? {girth:g} in would be {_cm(girth * _PER_INCH)}",
    )
    yield (
        _pair(length, girth / _PER_INCH, whom),
        f"the circumference in cm, not inches? it would be {_cm(girth / _PER_INCH)}",
    )
    yield (
        _pair(length * _PER_INCH, girth, whom),
        f"the length in inches? {length:g} in would be {_cm(length * _PER_INCH)}",
    )
    yield (
        _pair(length / _PER_INCH, girth, whom),
        f"the length in cm, not inches? it would be {_cm(length / _PER_INCH)}",
    )
    yield _pair(length, girth * 2, whom), f"measured flat, across the foot? all round it would be {_cm(girth * 2)}"
    heel = rareness(girth, expected("heel_diagonal", {"foot_length": length}, whom))
    if girth > length:
        place = "round the wrong place? it would be usual round heel and ankle bend; the foot is measured at the ball"
        yield heel, place
    yield from _digits(length, girth, whom)


def _digits(length: float, girth: float, whom: str) -> Iterator[tuple[float, str]]:
    """Two digits in the wrong order, as in 32 for 23."""
    for value, name in ((girth, "circumference"), (length, "length")):
        text = f"{value:g}"
        if len(text) < 2 or "." in text[:2] or text[0] == text[1]:
            continue
        other = float(text[1] + text[0] + text[2:])
        pair = (length, other) if name == "circumference" else (other, girth)
        yield _pair(*pair, whom), f"two digits of the {name} the wrong way round? {other:g} would be usual"


def _offered(mistakes: Iterator[tuple[float, str]], otherwise: str) -> str:
    likely = [question for share, question in mistakes if share >= LIKELY]
    return " or: ".join(likely[:_MOST_OFFERED]) or otherwise


# -- what is beside the foot


def _beside_the_foot(
    name: str, known: Mapping[str, float], foot: Mapping[str, float], whom: str, strange: float
) -> Finding:
    amount = known[name]
    feet = " and ".join(
        f"{_cm(foot[each])} {'long' if each == 'foot_length' else 'round'}" for each in _FOOT if each in foot
    )

    def mistakes() -> Iterator[tuple[float, str]]:
        several = expected(name, foot, whom)
        yield (
            rareness(amount * _PER_INCH, several),
            f"is it in inches? {amount:g} in would be {_cm(amount * _PER_INCH)}",
        )
        yield (
            rareness(amount / _PER_INCH, several),
            f"was it in cm, not inches? it would be {_cm(amount / _PER_INCH)}",
        )
        if name != "knee_height":
            yield rareness(amount * 2, several), f"measured flat? all round it would be {_cm(amount * 2)}"
        for other in _MISTAKEN_FOR.get(name, ()):
            yield rareness(amount, expected(other, foot, whom)), _PLACES[other]

    return _remark(
        f"{TOLD[name]} of {_cm(amount)} beside a foot {feet} is rarer than 1 in {_one_in(strange)}",
        _usual(name, foot, whom),
        _cm(amount),
        _offered(mistakes(), "measure again"),
    )


_PLACES = {
    "heel_diagonal": "was it measured round heel and ankle bend?",
    "ankle": "was it measured round the ankle?",
    "calf": "was it measured round the calf?",
}


_MISTAKEN_FOR = {  # where the tape may have lain instead
    "heel_diagonal": ("ankle",),
    "instep_girth": ("heel_diagonal",),
    "ankle": ("heel_diagonal", "calf"),
    "calf": ("ankle", "heel_diagonal"),
}


def _of_the_leg(known: Mapping[str, float]) -> Iterator[Finding]:
    """Girths that are each common, but not together: an ankle wider than its calf, or no narrower than the heel."""
    for small, large in (("ankle", "calf"), ("ankle", "heel_diagonal"), ("instep_girth", "heel_diagonal")):
        if small in known and large in known and known[small] >= known[large]:
            yield _remark(
                f"{TOLD[small]} of {_cm(known[small])} is not smaller than {TOLD[large]} of {_cm(known[large])}",
                f"less than {_cm(known[large])}",
                _cm(known[small]),
                "the two the wrong way round?",
            )


def _remark(message: str, wanted: str, found: str, mend: str) -> Finding:
    return Finding("rare-measure", message, severity=Severity.REMARK, expected=wanted, found=found, mend=mend)
