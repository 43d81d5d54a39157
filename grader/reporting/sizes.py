"""The size table as text for the terminal: feet, socks, ease, and why each number is what it is."""

from __future__ import annotations

from collections.abc import Sequence

from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.vocabulary.lengths import print_quantity
from grader.vocabulary.quantities import cm


def print_sizes(pattern: Pattern, sizes: Sequence[Graded], units: str = "cm", why: bool = False) -> str:
    """One row a size; with `why`, every number of every size with its rule and its rounding."""
    with_calf = any("calf" in graded.finished for graded in sizes)
    calf = ["calf round", "sock calf", "ease"] if with_calf else []
    rows = [["size", "foot round", "foot long", "sock round", "ease", "sock long", "ease", *calf, "who"]]
    for graded in sizes:
        body, done, ease = graded.body.measures, graded.finished, graded.ease
        rows.append(
            [
                graded.body.name,
                print_quantity(cm(body["foot_circumference"]), units),
                print_quantity(cm(body["foot_length"]), units),
                _length(done.get("foot_circumference"), units),
                _percent(ease.get("foot_circumference")),
                _length(done.get("foot_length"), units),
                _percent(ease.get("foot_length")),
                *([_length(each.get("calf"), units) for each in (body, done)] if with_calf else []),
                *([_percent(ease.get("calf"))] if with_calf else []),
                graded.body.note,
            ]
        )
    text = columns(rows)
    numbers = _numbers(pattern, sizes, units)
    text += "\n\n" + columns(numbers) if numbers else ""
    if why:
        text += "\n\n" + "\n\n".join(_reasons(pattern, graded, units) for graded in sizes)
    sources = list(dict.fromkeys(graded.body.source for graded in sizes if graded.body.source))
    if sources:
        text += "\n\nMeasurements of feet from:\n" + "\n".join(f"  {source}" for source in sources)
    return text


def _length(amount: object, units: str) -> str:
    return print_quantity(cm(amount), units) if amount is not None else "-"  # type: ignore[arg-type]


def _percent(share: object) -> str:
    return f"{float(share) * 100:+.1f} %" if share is not None else "-"  # type: ignore[arg-type]


def columns(rows: list[list[str]]) -> str:
    """Rows as columns, each as wide as its widest cell, two blanks apart."""
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows
    )


def _numbers(pattern: Pattern, sizes: Sequence[Graded], units: str) -> list[list[str]]:
    """Every graded number, a row a number and a column a size."""
    if not sizes or not pattern.rules:
        return []
    rows = [["number", *(graded.body.name for graded in sizes)]]
    for rule in pattern.rules:
        rows.append([rule.name, *(print_quantity(graded.names[rule.name], units) for graded in sizes)])
    return rows


def _reasons(pattern: Pattern, graded: Graded, units: str) -> str:
    lines = [f"Size {graded.body.name}"]
    for rule, figure in zip(pattern.rules, graded.figures, strict=True):
        told = f"  {rule.name} = {print_quantity(figure.value, units)}: {rule.aim.replace('_', ' ')} {rule.target.text}"
        lines.append(told + (f" ({figure.reason})" if figure.reason else ""))
        if rule.why:
            lines.append(f"      {rule.why}")
    return "\n".join(lines)
