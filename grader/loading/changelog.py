"""The changelog of a pattern: what each version changed, the newest first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from grader.loading.checks import Checks
from grader.loading.tree import Node
from grader.models.pattern import Change
from grader.vocabulary.findings import Finding, Severity

if TYPE_CHECKING:
    from grader.loading.file_model import PatternForm


def changelog(form: PatternForm, root: Node, checks: Checks) -> tuple[Change, ...]:
    """The entries as written: each version once, and the first of them the pattern's own (else a remark)."""
    listed = root.child("changelog")
    told: list[Change] = []
    for number, each in enumerate(form.changelog):
        node = (listed.child(number) if listed else None) or root
        place = (node.child("version") or node).at()
        if each.version in {known.version for known in told}:
            message = f"version {each.version!r} of the changelog stands above"
            checks.add("duplicate-version", message, place, "tell the changes of one version in one entry")
        for item, text in enumerate(each.changes):
            if "{" in text:
                below = node.child("changes")
                where = ((below.child(item) if below else None) or node).at()
                checks.add("formula", "a changelog holds no formulas", where, "say it in words and plain figures")
        told.append(Change(each.version, each.date, each.changes, place))
    if told and told[0].version != form.version:
        checks.findings.append(
            Finding(
                "changelog-behind",
                f"the pattern is version {form.version}, but its changelog begins with {told[0].version}",
                told[0].span,
                Severity.REMARK,
                mend=f"put an entry for {form.version} on top",
            )
        )
    return tuple(told)
