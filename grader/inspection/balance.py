"""Left and right decreases must balance: round by round in each region, and over the rows of a section."""

from __future__ import annotations

import itertools
from collections import Counter

from grader.inspection.fabric import takes_of
from grader.models.record import Record, Shaping, WorkedLine
from grader.vocabulary.findings import Ledger


def check_balance(record: Record, ledger: Ledger) -> None:
    """Every decrease that leans left has one that leans right, as far from the other end of its region."""
    rows: dict[str, Counter[str]] = {}
    beyond: dict[str, dict[str, list[int]]] = {}
    spans = {}
    for line in record.lines:
        if line.kind == "row":
            for shaping in line.shaping:
                rows.setdefault(line.section, Counter())[shaping.lean] += line.times * line.block_times
                stays = (line.before or 0) - shaping.taken - shaping.takes
                beyond.setdefault(line.section, {}).setdefault(line.side, []).append(stays)
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
    _check_centred(record, beyond, spans, ledger)
    _check_turns(record, ledger)


def _check_centred(
    record: Record, beyond: dict[str, dict[str, list[int]]], lines: dict[str, WorkedLine], ledger: Ledger
) -> None:
    """Short rows leave as many stitches waiting at one side as at the other, or the heel sits beside the foot."""
    for section, sides in beyond.items():
        right, wrong = sides.get("RS", []), sides.get("WS", [])
        first = next(((a, b) for a, b in zip(right, wrong, strict=False) if a != b), None)
        if first:
            ledger.add(
                "off-centre",
                f"{first[0]} sts wait beyond the decrease of an RS row, {first[1]} beyond that of the next WS row",
                lines[section].span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=section,
                expected="as many at each side",
                found=f"{first[0]} and {first[1]}",
            )


def _check_turns(record: Record, ledger: Ledger) -> None:
    """Short rows without decreases turn about as far from one end as from the other: a stitch more at the most."""
    told: set[str] = set()
    at, beyond, piece = 0, 0, ""
    for line in record.in_order():
        if line.kind != "row":
            piece = ""
            continue
        if line.over != piece:
            at, beyond, piece = 0 if line.side == "RS" else line.before or 0, 0, line.over
        used = sum(takes_of(name) * count for name, count in line.made)
        if line.side == "RS":
            at += used
            beyond = (line.before or 0) - at
            at += (line.after or 0) - (line.before or 0)
            continue
        at -= used
        if abs(at - beyond) > 1 and not line.shaping and line.section not in told:
            told.add(line.section)
            ledger.add(
                "off-centre",
                f"an RS row turns {beyond} sts before the end, the next WS row {at}",
                line.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=line.section,
                line=line.text,
                expected="as many at each side",
                found=f"{beyond} and {at}",
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
    shaped = _by_region(line)
    for region, shapings in shaped.items():
        if f"({region})" in line.fabric:
            continue
        left = Counter((start, each.takes) for each, start, _ in shapings if each.lean == "left")
        right = Counter((end, each.takes) for each, _, end in shapings if each.lean == "right")
        off_centre = any(each.lean == "centre" and abs(start - end) > 1 for each, start, end in shapings)
        if off_centre or (left != right and region in _uneven(line, shaped, bool(record.sock))):
            names = ", ".join(
                f"{each.name} {start} sts from the start and {end} from the end" for each, start, end in shapings
            )
            ledger.add(
                "balance",
                f"the shaping of the {region} does not balance: {names}",
                line.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=line.section,
                line=line.text,
                expected="left and right alike",
                found=f"{sum(left.values())} left, {sum(right.values())} right",
            )


def _uneven(line: WorkedLine, shaped: dict[str, list[tuple[Shaping, int, int]]], one_sided: bool) -> set[str]:
    """Regions out of balance by themselves and with the next: a foot may narrow at one side, or a leg at its centre.

    What leans right at the end of a region and left at the start of the next stands alike about their join. Where
    the round has but two halves, that is right only in one sock of a pair that differ (`one_sided`).
    """
    names = list(dict.fromkeys(name for name, _ in line.regions))
    left = {
        name: Counter((start, each.takes) for each, start, _ in shaped.get(name, ()) if each.lean == "left")
        for name in names
    }
    right = {
        name: Counter((end, each.takes) for each, _, end in shaped.get(name, ()) if each.lean == "right")
        for name in names
    }
    for name in names:
        within = left[name] & right[name]
        left[name], right[name] = left[name] - within, right[name] - within
    for name, following in zip(names, [*names[1:], *names[:1]], strict=True) if one_sided or len(names) > 2 else ():
        about = right[name] & left[following]
        right[name], left[following] = right[name] - about, left[following] - about
    return {name for name in names if left[name] or right[name]} | (shaped.keys() - set(names))


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
