"""Which alterations hold for a person, and the rules that she is graded by instead."""

from __future__ import annotations

import operator
from collections.abc import Callable, Mapping
from fractions import Fraction

from grader.models.graded import Figure
from grader.models.pattern import Alteration, Pattern, Rule
from grader.vocabulary.bodies import Body
from grader.vocabulary.formulas import FormulaError
from grader.vocabulary.lengths import print_length
from grader.vocabulary.quantities import UnitError, cm

_SIGNS: dict[str, Callable[[Fraction, Fraction], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    "=": operator.eq,
    "!=": operator.ne,
    ">=": operator.ge,
    ">": operator.gt,
}


def alterations_for(pattern: Pattern, body: Body) -> tuple[Alteration, ...]:
    """The alterations whose condition holds; those that hang on a measure nobody took never do.

    What is usual hangs on the circumference and the length, so that it counts only where both were taken.
    """
    names = {name: cm(amount) for name, amount in body.measures.items() if name not in body.estimated}
    if not body.estimated & {"foot_circumference", "foot_length"}:
        names |= {f"usual.{name}": cm(amount) for name, amount in body.usual.items()}
    found = []
    for each in pattern.alterations:
        try:
            left, right = (side.value(names).amount for side in (each.when.left, each.when.right))
        except (FormulaError, UnitError):  # a measure is missing: of a size chart, or of a person who did not take it
            continue
        if _SIGNS[each.when.sign](left, right):
            found.append(each)
    return tuple(found)


def rules_for(pattern: Pattern, held: tuple[Alteration, ...]) -> tuple[tuple[Rule, ...], Mapping[str, Alteration]]:
    """The rules of the pattern with those of its alterations, the first that holds; and whose each altered one is."""
    whose: dict[str, Alteration] = {}
    instead: dict[str, Rule] = {}
    for each in held:
        for rule in each.rules:
            whose.setdefault(rule.name, each)
            instead.setdefault(rule.name, rule)
    return tuple(instead.get(rule.name, rule) for rule in pattern.rules), whose


def told(
    pattern: Pattern, whose: Mapping[str, Alteration], before: tuple[Figure, ...], after: tuple[Figure, ...]
) -> tuple[str, ...]:
    """Each alteration in a sentence: what the numbers were and are, and why; one that changes nothing is not told."""
    old = {figure.name: figure for figure in before}
    labels = {rule.name: rule.label for rule in pattern.rules}
    changes: dict[str, list[str]] = {}
    for figure in after:
        alteration = whose.get(figure.name)
        was = old.get(figure.name)
        if alteration and was and was.value != figure.value:
            words = f"{labels[figure.name]} {_shown(figure)} instead of {_shown(was)}"
            changes.setdefault(alteration.name, []).append(words)
    reasons = {each.name: each.why for each in whose.values()}
    return tuple(f"{name}: {', '.join(words)}. {reasons[name]}" for name, words in changes.items())


def _shown(figure: Figure) -> str:
    if figure.value.is_length:
        return print_length(figure.value.amount, "both")
    return str(figure.value.amount)
