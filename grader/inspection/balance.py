"""Left and right decreases must balance: round by round in each region, and over the rows of a section."""

from __future__ import annotations

import itertools
from collections import Counter

from grader.models.record import Record, Shaping, WorkedLine
from grader.vocabulary.findings import Ledger


def check_balance(record: Record, ledger: Ledger) -> None:
    """Every decrease that leans left has one that leans right, as far from the other end of its region."""
    rows: dict[str, Counter[str]] = {}
    spans = {}
    for line in record.lines:
        if line.kind == "row":
            for shaping in line.shaping:
                rows.setdefault(line.section, Counter())[shaping.lean] += line.times * line.block_times
            spans[line.section] = line
        elif line.shaping and _is_plain_somewhere(line) and not _evenly_spaced(line):
            _check_round(record, line, ledger)
    for section, leans in rows.items():
        if leans["left"] != leans["right"]:
            ledger.add(
                "balance",
                f"{leans['left']} decreases lean left and {leans['right']} right",
                spans[section].span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=section,
                expected=f"{leans['left']} each",
                found=str(leans["right"]),
            )


def _is_plain_somewhere(line: WorkedLine) -> bool:
    """Not all in a stitch pattern, which may shape as it likes; "lace (instep)" leaves the sole plain."""
    return not line.fabric or "(" in line.fabric


def _evenly_spaced(line: WorkedLine) -> bool:
    """All of one kind, at equal distances: a round or star toe, which needs no pairs."""
    places = [shaping.taken for shaping in line.shaping]
    if len({shaping.name for shaping in line.shaping}) != 1 or len(places) < 3:
        return False
    steps = {b - a for a, b in itertools.pairwise(places)}
    return max(steps) - min(steps) <= 1


def _check_round(record: Record, line: WorkedLine, ledger: Ledger) -> None:
    for region, shapings in _by_region(line).items():
        if f"({region})" in line.fabric:
            continue
        left = Counter((start, each.takes) for each, start, _ in shapings if each.lean == "left")
        right = Counter((end, each.takes) for each, _, end in shapings if each.lean == "right")
        off_centre = any(each.lean == "centre" and abs(start - end) > 1 for each, start, end in shapings)
        if left != right or off_centre:
            names = ", ".join(
                f"{each.name} {start} sts from the start and {end} from the end" for each, start, end in shapings
            )
            ledger.add(
                "balance",
                f"the decreases of the {region} do not balance: {names}",
                line.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=line.section,
                line=line.text,
                expected="left and right alike",
                found=f"{sum(left.values())} left, {sum(right.values())} right",
            )


def _by_region(line: WorkedLine) -> dict[str, list[tuple[Shaping, int, int]]]:
    """Each decrease with its distance from the start and the end of its region, in stitches before the round."""
    whole: dict[str, int] = {}
    for name, count in line.regions:
        whole[name] = whole.get(name, 0) + count
    found: dict[str, list[tuple[Shaping, int, int]]] = {}
    at = 0
    for place, (name, count) in enumerate(line.regions):
        first_part_of_two = place == 0 and count != whole[name]
        offset = whole[name] - count if first_part_of_two else 0
        for shaping in line.shaping:
            if at <= shaping.taken < at + count:
                start = shaping.taken - at + offset
                found.setdefault(name, []).append((shaping, start, whole[name] - start - shaping.takes))
        at += count
    outside = [shaping for shaping in line.shaping if shaping.taken >= at]
    if outside:
        found["round"] = [(shaping, shaping.taken, 0) for shaping in outside]
    return found
