"""Alterations: what a part or a pattern works otherwise for a person whose measures are out of the usual.

Their conditions may use measures that no size chart has, such as the girth round heel and ankle bend, and `usual.NAME`,
what feet of the same circumference and length have. Their rules take the place of the pattern's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import takewhile
from typing import TYPE_CHECKING

from grader.loading.checks import Checks
from grader.loading.naked import check_reason
from grader.loading.tree import Node
from grader.loading.values import suggestion
from grader.models.pattern import Alteration, Condition, Rule
from grader.vocabulary.quantities import cm

if TYPE_CHECKING:
    from grader.loading.file_model import AlterationForm, PatternForm, RuleForm

MakeRule = Callable[[str, "RuleForm", Node, Checks], Rule]
_OF_A_PERSON = ("heel_diagonal", "instep_girth", "ankle", "calf", "knee_height")
_USUAL = ("foot_circumference", *_OF_A_PERSON)


def alterations(form: PatternForm, root: Node, checks: Checks, make_rule: MakeRule) -> tuple[Alteration, ...]:
    """The alterations of a pattern and its parts, checked against the numbers that stand there."""
    listed = root.child("alterations")
    return tuple(
        _alteration(each, (listed.child(number) if listed else None) or root, form, checks, make_rule)
        for number, each in enumerate(form.alterations)
    )


def _alteration(
    form: AlterationForm, node: Node, whole: PatternForm, checks: Checks, make_rule: MakeRule
) -> Alteration:
    left, sign, right = form.when
    when = node.child("when") or node
    of_a_person(checks).compare(left, right, when)
    why = node.child("why") or node
    check_reason(form.why, why, node, checks)
    if "{" in form.why:
        checks.add("formula", "the reason of an alteration holds no formulas", why.at(), "say it in words alone")
    rules = tuple(
        make_rule(name, each, node, _above(name, checks))
        for name, each in form.numbers.items()
        if _is_known(name, node, whole, checks)
    )
    condition = Condition(left[0], sign, right[0], when.span)
    return Alteration(form.name, condition, rules, tuple(form.parts.items()), form.why, node.span)


def of_a_person(checks: Checks) -> Checks:
    """The same checks, to which the measures of a person and what is usual for her are known; findings are shared."""
    own = replace(checks, first=dict(checks.first), second=dict(checks.second))
    for name in _OF_A_PERSON:
        if name not in own.first:
            own.define(name, cm(30))
    for name in _USUAL:
        own.define(f"usual.{name}", cm(29))
    return own


def _above(name: str, checks: Checks) -> Checks:
    """The checks as they stood before the number `name` of the pattern, for the rule that takes its place."""
    names = list(takewhile(lambda each: each != name, checks.first))
    own = replace(
        checks,
        first={each: checks.first[each] for each in names},
        second={each: checks.second[each] for each in names},
    )
    return of_a_person(own)


def _is_known(name: str, node: Node, whole: PatternForm, checks: Checks) -> bool:
    if name in whole.numbers:
        return True
    key = (node.child("numbers") or node).key(name) or node
    mend = suggestion(name, list(whole.numbers)) or "alter a number that stands there"
    checks.add("unknown-name", f"no number is called {name!r}", key.span, mend)
    return False
