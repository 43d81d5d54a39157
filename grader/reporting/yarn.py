"""The yarn for a pair of every size as text for the terminal, by colour where there are several."""

from __future__ import annotations

from grader.models.pattern import Pattern

BySize = dict[str, tuple[float, float]]


def print_yarn(pattern: Pattern, by_size: BySize, by_colour: dict[str, BySize]) -> str:
    """A row a size, or a row for each colour of each size; metres, grams, and whole balls."""
    ball = float(pattern.yarn.grams)
    if not pattern.colours:
        lines = [f"{'size':<8}{'metres':>8}{'grams':>8}   balls of {ball:g} g, for a pair, ends included"]
        for size, (metres, grams) in by_size.items():
            lines.append(f"{size:<8}{metres:>8.0f}{grams:>8.0f}   {-(-grams // ball):.0f}")
        return "\n".join(lines)
    lines = [f"{'size':<8}{'colour':<8}{'metres':>8}{'grams':>8}   balls, for a pair, ends included"]
    for size, (metres, grams) in by_size.items():
        for colour in pattern.colours:
            share = by_colour[colour.name].get(size, (0.0, 0.0))
            each = float(colour.grams)
            balls = f"{-(-share[1] // each):.0f} of {each:g} g"
            lines.append(f"{size:<8}{colour.name:<8}{share[0]:>8.0f}{share[1]:>8.0f}   {balls}")
        lines.append(f"{size:<8}{'all':<8}{metres:>8.0f}{grams:>8.0f}")
    return "\n".join(lines)
