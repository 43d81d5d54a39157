"""What another gauge changes in a pattern, as text: gauge, needle, yarn, and a table of the sizes before and after."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from grader.models.pattern import Gauge, Yarn
from grader.models.regrade import Regrade, SizeChange, SizeFigures
from grader.vocabulary.lengths import print_length
from grader.vocabulary.wording import joined


def print_regrade(told: Regrade, units: str = "cm") -> str:
    """A heading, a row a size with "before -> after", the sizes that fall out or coincide, and what can be printed."""
    lines = [f"graded for {_gauge(told.new)} instead of {_gauge(told.old)}", *_materials(told)]
    rows = [["size", "cast on", "round", "ease", "metres", "grams"]]
    rows += [[change.size, *_cells(change, units)] for change in told.sizes]
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    for row in rows:
        lines.append("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
    for change in told.sizes:
        if change.why or not change.after:
            lines.append(f"size {change.size} falls out: {change.why or 'it can not be graded'}")
    for group in told.alike:
        lines.append(f"sizes {joined(group)} become the same sock")
    if told.sound and len(told.sound) < len(told.sizes):
        lines.append(f"the others can be printed: --sizes {_list(told.sound, [each.size for each in told.sizes])}")
    return "\n".join(lines)


def _gauge(gauge: Gauge) -> str:
    return f"{float(10 * gauge.stitches):g} sts and {float(10 * gauge.rounds):g} rounds to 10 cm"


def _materials(told: Regrade) -> list[str]:
    lines = []
    if told.new.needle_mm is None and told.old.needle_mm is not None:
        lines.append(f"needle: no longer {float(told.old.needle_mm):g} mm, but the size that gives this gauge")
    elif told.new.needle_mm is not None and told.new.needle_mm != told.old.needle_mm:
        lines.append(f"needle: {float(told.new.needle_mm):g} mm")
    why = "" if told.yarn_given else ", for a fabric as dense (an estimate)"
    if (told.old_yarn.weight, told.old_yarn.metres) != (told.new_yarn.weight, told.new_yarn.metres):
        lines.append(f"yarn: {_yarn(told.new_yarn)} instead of {_yarn(told.old_yarn)}{why}")
    return lines


def _yarn(yarn: Yarn) -> str:
    return f"{yarn.weight}, {float(yarn.metres):.0f} m to {float(yarn.grams):.0f} g"


def _cells(change: SizeChange, units: str) -> list[str]:
    before, after = change.before, change.after
    return [
        _arrow(_count(before), _count(after)),
        _arrow(_around(before, units), _around(after, units)),
        _arrow(_ease(before), _ease(after)),
        _arrow(_whole(before.metres if before else None), _whole(after.metres if after else None)),
        _arrow(_whole(before.grams if before else None), _whole(after.grams if after else None)),
    ]


def _arrow(before: str, after: str) -> str:
    return before if before == after else f"{before} -> {after}"


def _count(figures: SizeFigures | None) -> str:
    return "-" if figures is None or figures.cast_on is None else str(figures.cast_on)


def _around(figures: SizeFigures | None, units: str) -> str:
    return "-" if figures is None or figures.around is None else print_length(figures.around, units)


def _ease(figures: SizeFigures | None) -> str:
    return "-" if figures is None or figures.ease is None else _percent(figures.ease)


def _percent(share: Fraction) -> str:
    return f"{float(share) * 100:+.1f} %"


def _whole(amount: float | None) -> str:
    return "-" if amount is None else f"{amount:.0f}"


def _list(names: Sequence[str], known: Sequence[str]) -> str:
    """Size names as `--sizes` reads them: neighbours as a range, "1-4,6"; no range where names have hyphens."""
    if any("-" in name for name in known):
        return ",".join(names)
    runs: list[list[str]] = []
    for name in names:
        if runs and known.index(name) == known.index(runs[-1][-1]) + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    return ",".join(run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
