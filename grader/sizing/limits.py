"""The limits that a designer states for a number beside its rule: a slip in the rule shows by them."""

from __future__ import annotations

from grader.models.pattern import Rule
from grader.sizing.words import plain
from grader.vocabulary.bodies import Body
from grader.vocabulary.findings import Ledger
from grader.vocabulary.formulas import FormulaError, Names
from grader.vocabulary.quantities import Quantity, UnitError


def check_limits(rule: Rule, value: Quantity, names: Names, body: Body, ledger: Ledger) -> None:
    """A finding where a number lies outside of what its designer allows; the limits themselves are still allowed."""
    if rule.allowed is None:
        return
    try:
        low, high = (limit.value(names).amount for limit in rule.allowed)
    except (FormulaError, UnitError) as mistake:
        ledger.add("formula", f"{rule.name}, allowed: {mistake}", rule.span, sizes=(body.name,))
        return
    if low <= value.amount <= high:
        return
    ledger.add(
        "allowed",
        f"{rule.name} ({rule.label}) comes to {plain(value.amount)} {rule.unit}, outside of what is allowed",
        rule.span,
        sizes=(body.name,),
        expected=f"{plain(low)} to {plain(high)} {rule.unit}",
        found=plain(value.amount),
        mend="correct the rule; or its limits, if it is meant",
    )
