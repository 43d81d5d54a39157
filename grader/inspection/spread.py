"""How the stitches are spread over the needles: the needles of one region hold about as many each."""

from __future__ import annotations

import itertools

from grader.models.record import Record, WorkedLine
from grader.vocabulary.findings import Ledger


def check_spread(record: Record, ledger: Ledger) -> None:
    """Where a region is spread over needles of its own, none holds two stitches more than another.

    Before and after a stitch pattern whole repeats count for more than evenness, so that nothing is said there.
    """
    patterned: set[str] = set()
    lines = [line for line in record.lines if line.kind != "note"]
    for place, (line, following) in enumerate(itertools.zip_longest(lines, lines[1:])):
        if line.kind == "round":
            patterned = _in_pattern(line)
        if line.kind not in ("cast_on", "arrange") or (following is not None and following.fabric):
            continue
        patterned_next = _next_in_pattern(lines[place + 1 :])
        for name, counts in _by_region(line).items():
            if name not in patterned | patterned_next and max(counts) - min(counts) > 1:
                ledger.add(
                    "uneven",
                    f"the {name} is spread unevenly over its needles",
                    line.span,
                    sizes=(record.size,),
                    setups=(record.setup,),
                    section=line.section,
                    line=line.text,
                    expected=f"{sum(counts) // len(counts)} or one more on each",
                    found=", ".join(str(count) for count in counts),
                )


def _in_pattern(line: WorkedLine) -> set[str]:
    """The regions of a round that are worked in a stitch pattern."""
    return {name for name, _ in line.regions if f"({name})" in line.fabric or _is_whole(line)}


def _next_in_pattern(lines: list[WorkedLine]) -> set[str]:
    """The regions in a stitch pattern in the next round, a pick-up round too, that finds the stitches as they lie."""
    for line in lines:
        if line.kind in ("cast_on", "arrange"):
            return set()
        if line.kind in ("round", "pick_up"):
            return _in_pattern(line)
    return set()


def _is_whole(line: WorkedLine) -> bool:
    """All of the round is in one stitch pattern."""
    return bool(line.fabric) and "(" not in line.fabric


def _by_region(line: WorkedLine) -> dict[str, list[int]]:
    """What the needles hold that lie within one stretch of the round; nothing where any needle lies across two."""
    found: dict[str, list[int]] = {}
    needles = list(line.needles)
    for name, count in line.regions:
        left = count
        while left and needles:
            held = needles.pop(0)
            if held > left:
                return {}
            left -= held
            found.setdefault(name, []).append(held)
    return {} if len({name for name, _ in line.regions}) < len(line.regions) else found
