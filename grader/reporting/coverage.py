"""Whom sizes fit, which sizes to choose, and shoe sizes, as text for the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from grader.models.coverage import Choice, Coverage, Range
from grader.models.graded import Graded
from grader.models.pattern import Pattern
from grader.reporting.sizes import columns
from grader.vocabulary.bodies import Body
from grader.vocabulary.lengths import print_length
from grader.vocabulary.shoe_sizes import print_size, shoe_scale

_SHOES = (
    ("EU", "EU", "women"),
    ("UK child", "UK", "child"),
    ("UK", "UK", "women"),
    ("US child", "US", "child"),
    ("US women", "US", "women"),
    ("US men", "US", "men"),
    ("Mondopoint", "Mondopoint", "women"),
)
_NO_GIRTHS = "Only lengths of feet were measured here; how round they are is not asked."


def print_cover(pattern: Pattern, coverage: Coverage, units: str = "cm") -> str:
    """Whom each size and the whole range fits, who is left out and why, and which size to add."""
    text = f"{_within(pattern, coverage)}\n\n{_table(coverage, units)}\n"
    missed = coverage.people - coverage.served
    if missed:
        text += f"\nLeft out: {_of(missed, coverage)}"
        for each in coverage.left_out:
            text += f"\n  {_of(each.feet, coverage)} {each.reason}, such as {_foot(each.girth, each.length, units)}"
    if coverage.add is not None:
        measures = coverage.add.measures
        girth = measures["foot_circumference"] if coverage.sizes and coverage.sizes[0].girth else None
        foot = _foot(girth, measures["foot_length"], units)
        text += f"\nTo add: a size for a foot {foot} would fit {_of(coverage.added, coverage)} more"
    return f"{text}\n\n{_about(coverage)}"


def print_choice(pattern: Pattern, choice: Choice, units: str = "cm") -> str:
    """The chosen sizes as a block for the pattern file; what is said about them stands in comments."""
    chosen, even = choice.chosen, choice.even
    count = len(chosen.sizes)
    told = [
        f"{_counted(count)} of the {choice.candidates} that were tried, and no other"
        + (" fits more." if count == 1 else f" {count} fit more."),
        f"Fitted: {_of(chosen.served, chosen)}; by {_counted(len(even.sizes))} evenly spaced {_of(even.served, even)}"
        + ("." if len(even.sizes) >= count else ", as no more of them can be graded."),
        "How high the leg is follows the pattern's own sizes; ankle, calf and knee are estimates, to be changed.",
    ]
    if not (chosen.sizes and chosen.sizes[0].girth):
        told.append("Girths of children's feet are estimates after their length.")
    told += ["", _within(pattern, chosen), *_table(chosen, units).splitlines(), "", *_about(chosen).splitlines()]
    comments = "\n".join(f"# {line}".rstrip() for line in told)
    rows = "\n".join(f"    - {{{_written(each.body)}}}" for each in chosen.sizes)
    return f"sizes:\n  own:\n{rows}\n{comments}"


def print_shoes(sizes: Sequence[Graded], units: str = "cm") -> str:
    """The shoe sizes of each size's foot, by the formulas; "-" where a system makes none for such a foot."""
    rows = [["size", "foot long", *(head for head, _, _ in _SHOES)]]
    for graded in sizes:
        length = graded.body.measures["foot_length"]
        rows.append([graded.body.name, print_length(length, units), *_shoes(length)])
    return (
        f"{columns(rows)}\n\nEstimates: tables of shoe sizes differ by up to two sizes. Measure the foot where you can."
    )


def _shoes(length: Fraction) -> list[str]:
    found = []
    for head, system, whom in _SHOES:
        size = shoe_scale(system, whom).size(length)
        if size is None and head == "EU":
            size = shoe_scale(system, "child").size(length)
        child = shoe_scale(system, "child").size(length)
        grown_up = whom != "child" and head in ("UK", "US women", "US men")
        found.append("-" if size is None or (grown_up and child is not None) else print_size(size))
    return found


def _within(pattern: Pattern, coverage: Coverage) -> str:
    fit = pattern.fit
    limits = f"long {_share(fit.length_allowed)}"
    if coverage.sizes and coverage.sizes[0].girth:
        limits = f"round {_share(fit.allowed)}, {limits}"
    return f"{coverage.people} {coverage.population} were measured; a size fits with an ease {limits}."


def _share(allowed: Range) -> str:
    return f"{float(allowed[0]) * 100:+g} to {float(allowed[1]) * 100:+g} %".replace("+0 %", "0 %")


def _about(coverage: Coverage) -> str:
    told = f"Measured by:\n  {coverage.source}"
    return told if coverage.sizes and coverage.sizes[0].girth else f"{_NO_GIRTHS}\n{told}"


def _table(coverage: Coverage, units: str) -> str:
    with_girth = any(each.girth for each in coverage.sizes)
    rows = [["size", *(["fits round"] if with_girth else []), "fits long", "people", "share", "no other size"]]
    for each in coverage.sizes:
        reach = [_range(each.girth, units)] if with_girth else []
        people = [str(each.feet), _percent(each.feet, coverage), str(each.alone)]
        rows.append([each.body.name, *reach, _range(each.length, units), *people])
    blanks = ["", ""] if with_girth else [""]
    rows.append(["all", *blanks, str(coverage.served), _percent(coverage.served, coverage), ""])
    return columns(rows)


def _range(reach: Range | None, units: str) -> str:
    if reach is None:
        return "any"
    low, high = (print_length(each, units) for each in reach)
    return f"{low.removesuffix(' cm') if units == 'cm' else low} to {high}"


def _percent(feet: int, coverage: Coverage) -> str:
    return f"{100 * feet / coverage.people if coverage.people else 0:.1f} %"


def _of(feet: int, coverage: Coverage) -> str:
    return f"{feet} ({_percent(feet, coverage)})"


def _foot(girth: Fraction | None, length: Fraction, units: str) -> str:
    long = f"{print_length(length, units)} long"
    return long if girth is None else f"{print_length(girth, units)} round and {long}"


def _counted(count: int) -> str:
    return f"{count} size" if count == 1 else f"{count} sizes"


def _written(body: Body) -> str:
    lengths = [f"{name}: {float(amount):g} cm" for name, amount in body.measures.items()]
    note = [f"note: {body.note}"] if body.note else []
    return ", ".join([f'name: "{body.name}"', *lengths, *note])
