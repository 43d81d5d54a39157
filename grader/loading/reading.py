"""One file from its source to a pattern: tree, shape, feet, conversion, in this order."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from grader.loading.checks import Checks
from grader.loading.conversion import chosen_bodies, convert
from grader.loading.file_model import PatternForm, Problem
from grader.loading.messages import findings_of, limited, shape_of
from grader.loading.parts import compose, finder
from grader.loading.pictures import shown_in
from grader.loading.repeats import GIVEN
from grader.loading.salvage import salvage
from grader.loading.source import Source
from grader.loading.tree import Node, read_tree
from grader.models.pattern import Pattern
from grader.vocabulary.bodies import Body
from grader.vocabulary.budget import allowed, too_much
from grader.vocabulary.findings import Finding
from grader.vocabulary.quantities import cm
from grader.vocabulary.size_charts import chart_names, read_chart

Charts = Callable[[str], tuple[Body, ...]]
_GRADEABLE = {"naked-number", "kind"}  # wrong in print, but every number can still be worked out
_NO_BODY = Body(
    "?",
    {
        name: cm(20).amount
        for name in ("foot_circumference", "foot_length", "leg_length", "ankle", "calf", "knee_height")
    },
)


def load(
    source: Source, charts: Charts | None, instead: Mapping[str, str] | None = None
) -> tuple[Pattern | None, list[Finding]]:
    """The pattern of a source, if it can be graded, and everything that is wrong with it; parts `instead` of others."""
    root, findings = read_tree(source)
    if root is None:
        return None, limited(findings)
    composed = compose(root, finder(source.file), instead)
    root, findings = composed.root, findings + composed.findings
    form, problems = shape_of(root)
    findings += findings_of(root, problems)
    crowded = _crowded(root)
    if crowded:
        return None, limited(findings + crowded)
    checks = _checks_for(root, problems)
    pattern: Pattern | None = None
    if not problems and form is not None:
        pattern = replace(_converted(form, root, charts, checks), pictures=shown_in(root))
    else:
        rest = salvage(root, problems)
        if rest is not None:
            _converted(*rest, charts, checks)
    findings = limited(findings + checks.findings)
    gradeable = all(each.code in _GRADEABLE or not each.is_error for each in findings)
    return (pattern if gradeable else None), findings


def _crowded(root: Node) -> list[Finding]:
    """A finding where more numbers or sizes stand than the budget holds, at the first that is too many."""
    findings = []
    for limit, node in (("numbers", root.child("numbers")), ("sizes", (root.child("sizes") or root).child("own"))):
        several = [*(key for key, _ in node.entries), *node.items] if node else []
        if len(several) > allowed(limit):
            message, mend = too_much(limit, len(several))
            findings.append(Finding("budget", message, several[allowed(limit)].span, mend=mend))
    return findings


def _converted(form: PatternForm, root: Node, charts: Charts | None, checks: Checks) -> Pattern:
    names = chart_names() if charts in (None, read_chart) else ()
    bodies = chosen_bodies(form, root, charts or read_chart, names, checks)
    return convert(form, root, checks, bodies or (_NO_BODY,))


def _checks_for(root: Node, problems: list[Problem]) -> Checks:
    """Checks that know which numbers and regions stand anywhere in the file, in a right shape or not."""
    declared = _keys(root.child("numbers"))
    regions = {node.text for path, node in root.walk() if path[-3:-2] == ("regions",) and path[-1] == 0}
    names = tuple(node.text for path, node in root.walk() if path[:1] == ("sections",) and path[2:] == ("name",))
    checks = Checks(declared, names, frozenset(regions), lenient=bool(problems))
    checks.colours, checks.measures = _keys(root.child("colours")), _keys(root.child("finished"))
    if problems:
        patterns = _keys(root.child("stitch_patterns"))
        checks.patterns = dict.fromkeys(patterns, "")
        checks.unsure = {f"{name}.{part}" for name in patterns for part in GIVEN}
        # a number that was set aside is known by its name, but not by its unit
        paths = [each["loc"] for each in problems]
        checks.unsure |= {str(path[1]) for path in paths if path[0] == "numbers" and len(path) > 1}
    return checks


def _keys(node: Node | None) -> tuple[str, ...]:
    return tuple(key.text for key, _ in node.entries) if node else ()
