"""Findings as text: the place in the file first, so that an editor can jump to it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from grader.vocabulary.findings import Finding
from grader.vocabulary.wording import joined

_FIGURES = re.compile(r"[-+−]?\d+(?:[.,]\d+)?")


def grouped(findings: Iterable[Finding]) -> list[tuple[Finding, tuple[str, ...], tuple[str, ...]]]:
    """Findings that say the same of several sizes and setups, told once: the first of them, all sizes, all setups."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        # ten sizes that fail alike differ in their figures only
        said = _FIGURES.sub("#", finding.message) if finding.sizes else finding.message
        groups.setdefault((finding.code, finding.span, finding.section, finding.severity, said), []).append(finding)
    told = []
    for group in groups.values():
        sizes = tuple(dict.fromkeys(size for finding in group for size in finding.sizes))
        setups = tuple(dict.fromkeys(setup for finding in group for setup in finding.setups))
        told.append((group[0], sizes, setups))
    return told


def print_findings(findings: Iterable[Finding]) -> str:
    """All findings as text, errors and remarks in the order they were found; "" where there are none."""
    return "\n".join(_told(finding, sizes, setups) for finding, sizes, setups in grouped(findings))


def _told(finding: Finding, sizes: tuple[str, ...], setups: tuple[str, ...]) -> str:
    place = f"{finding.span}: " if finding.span else ""
    kind = "" if finding.is_error else "remark: "
    lines = [f"{place}{kind}{finding.message}"]
    where = [part for part in (_sizes(sizes, finding), joined(setups), finding.section) if part]
    if where:
        lines.append(f"    in: {'; '.join(where)}")
    if finding.line:
        lines.append(f"    line: {finding.line}")
    if finding.expected or finding.found:
        lines.append(f"    expected: {finding.expected or '-'}   found: {finding.found or '-'}")
    if finding.mend:
        lines.append(f"    to mend it: {finding.mend}")
    return "\n".join(lines)


def _sizes(sizes: tuple[str, ...], finding: Finding) -> str:
    if not sizes:
        return ""
    if len(sizes) == 1:
        return f"size {sizes[0]}"
    first = f" (figures of size {finding.sizes[0]})" if finding.sizes else ""
    return f"sizes {joined(sizes)}{first}"
