"""The fabric itself: no stray purl, one name for each decrease, and the same sock in every setup."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import lru_cache

from grader.models.instructions import Regions
from grader.models.record import Record, Runs, WorkedLine
from grader.vocabulary.findings import Ledger
from grader.vocabulary.stitches import stitch_named

_MOVES = ("part_round", "arrange", "note")
_ALIKE = (("ssk", "skp"), ("cdd", "sk2p"))


def check_fabric(record: Record, ledger: Ledger) -> None:
    """Outside a stitch pattern the right side shows knit stitches, none slipped; two names for one lean are told."""
    used: Counter[str] = Counter()
    for line in record.lines:
        for name, count in line.made:
            used[name.split(" ")[0] if name.split(" ")[0] in ("k", "p", "sl") else name] += count
        if (line.fabric and "(" not in line.fabric) or line.kind not in ("round", "row", "part_round", "pick_up"):
            continue
        plain = replace(line, made=beside_the_pattern(line.made, line.regions, line.fabric)) if line.fabric else line
        _check_face(record, plain, ledger)
        _check_slips(record, plain, ledger)
    for first, second in _ALIKE:
        if used[first] and used[second]:
            span = next(line.span for line in record.lines if any(name == second for name, _ in line.made))
            ledger.add(
                "mixed-decreases",
                f"{first} and {second} lean alike; the pattern uses both",
                span,
                sizes=(record.size,),
                setups=(record.setup,),
                expected=first,
                found=second,
                mend="use one of them throughout",
            )


def takes_of(name: str) -> int:
    """How many stitches a stitch of a record takes, its manner left aside; 0 for what is picked up."""
    stitch = stitch_named(name) or stitch_named(name.split(" ")[0])
    return stitch.takes if stitch else 0


@lru_cache(maxsize=8192)
def beside_the_pattern(made: Runs, regions: Regions, fabric: str) -> Runs:
    """What a round makes in the regions that are not in a stitch pattern, found by the stitches it takes there."""
    plain = [f"({name})" not in fabric for name, count in regions for _ in range(count)]
    found: list[tuple[str, int]] = []
    at = 0
    for name, count in made:
        takes = takes_of(name)
        there = sum(all(plain[at + k * takes : at + (k + 1) * takes]) for k in range(count)) if takes else 0
        at += takes * count
        if there:
            found.append((name, there))
    return tuple(found)


def _check_face(record: Record, line: WorkedLine, ledger: Ledger) -> None:
    wrong = "knit" if line.side == "WS" else "purl"
    for name, count in line.made:
        stitch = stitch_named(name) or stitch_named(name.split(" ")[0])
        if stitch and stitch.face == wrong and (stitch.takes or wrong == "purl"):
            ledger.add(
                "stray-purl",
                f"{count} {'sts show' if count > 1 else 'st shows'} purl on the right side of a plain fabric",
                line.span,
                sizes=(record.size,),
                setups=(record.setup,),
                section=line.section,
                line=line.text,
                expected="knit on the right side",
                found=f"{name} on the {'wrong' if line.side == 'WS' else 'right'} side",
                mend="if it is meant, write it as a stitch pattern and work `in` that",
            )
            return


def _check_slips(record: Record, line: WorkedLine, ledger: Ledger) -> None:
    """In a plain fabric a row may slip its edge stitches or every so many; anything else is a slip of the pen."""
    slips = [place for place, (name, _) in enumerate(line.made) if name.split(" ")[0] == "sl"]
    if line.kind == "row":
        edges = (0, len(line.made) - 1) if line.full else (0,)
        inner = [place for place in slips if place not in edges]
        slips = [place for place in slips if line.made[place][1] > 1] or (inner if len(inner) == 1 else [])
    for place in slips[:1]:
        name, count = line.made[place]
        ledger.add(
            "stray-slip",
            f"{count} {'sts are' if count > 1 else 'st is'} slipped in a plain fabric",
            line.span,
            sizes=(record.size,),
            setups=(record.setup,),
            section=line.section,
            line=line.text,
            expected="a stitch worked",
            found=f"{name} {count}",
            mend="if it is meant, write it as a stitch pattern and work `in` that",
        )


def aligned(line: WorkedLine) -> Runs:
    """What a line made and in which yarn, seen from the same place of the foot wherever its round starts.

    A round that knows its regions is turned to begin with the instep, or the first of them by name.
    """
    made = in_yarns(line.made, line.yarns)
    if line.kind != "round" or not line.regions:
        return made
    names = sorted({region for region, _ in line.regions})
    name = "instep" if "instep" in names else names[0]
    before = 0
    for place, (region, count) in enumerate(line.regions):
        if region == name and name not in [each for each, _ in line.regions[place + 1 :]]:
            break
        before += count
    start = before + sum(each.width - each.takes for each in line.shaping if each.taken < before)
    return _turned(made, start)


def in_yarns(made: Runs, yarns: Runs) -> Runs:
    """The stitches with the colour of each beside its name: "k MC"; as they were in a sock of one yarn."""
    if not yarns or sum(count for _, count in made) != sum(count for _, count in yarns):
        return made
    told: list[tuple[str, int]] = []
    coming = list(reversed(yarns))
    for name, count in made:
        left = count
        while left:
            colour, there = coming.pop()
            step = min(left, there)
            told.append((f"{name} {colour}".strip(), step))
            left -= step
            if there > step:
                coming.append((colour, there - step))
    return tuple(told)


@lru_cache(maxsize=8192)  # setups that make the same sock turn the same rounds
def _turned(made: Runs, start: int) -> Runs:
    """The same runs from the stitch `start` on; each run counts what it made."""
    head: list[tuple[str, int]] = []
    tail: list[tuple[str, int]] = []
    at = 0
    for name, count in made:
        cut = min(max(start - at, 0), count)
        head += [(name, cut)] if cut else []
        tail += [(name, count - cut)] if count > cut else []
        at += count
    turned: list[tuple[str, int]] = []
    for name, count in (*tail, *head):
        if turned and turned[-1][0] == name:
            turned[-1] = (name, turned[-1][1] + count)
        else:
            turned.append((name, count))
    return tuple(turned)


def courses(record: Record) -> list[tuple[str, Runs, int, WorkedLine]]:
    """What is done to a sock in order: kind, stitches, how often, and the line it comes from.

    Rounds and rows have what they make; casting on, resting, picking up and finishing have their counts.
    Moving stitches between needles, or the start of the round, is left out: it differs by setup.
    """
    found: list[tuple[str, Runs, int, WorkedLine]] = []
    for line in record.in_order():
        if line.kind in _MOVES:
            continue
        told = f"sts {' '.join(line.loops_by_colour)}".strip()
        runs = aligned(line) if line.kind in ("round", "row") else ((told, line.after or 0),)
        if found and found[-1][:2] == (line.kind, runs):
            found[-1] = (line.kind, runs, found[-1][2] + line.times, found[-1][3])
        else:
            found.append((line.kind, runs, line.times, line))
    return found


def check_same_fabric(records: list[Record], ledger: Ledger) -> None:
    """All setups of one size must make the same sock, round for round; the odd one out is named."""
    told = [(record, courses(record)) for record in records]
    if len(told) < 2:
        return
    keys = [tuple(course[:3] for course in each) for _, each in told]
    usual = Counter(keys).most_common(1)[0][0]
    for (record, mine), key in zip(told, keys, strict=True):
        if key == usual:
            continue
        place = next(
            (index for index, (a, b) in enumerate(zip(key, usual, strict=False)) if a != b), min(len(key), len(usual))
        )
        line = mine[min(place, len(mine) - 1)][3] if mine else None
        other = _told(usual[place]) if place < len(usual) else "nothing more"
        own = _told(key[place]) if place < len(key) else "nothing more"
        ledger.add(
            "setups-differ",
            "this setup makes another sock than the others",
            line.span if line else None,
            sizes=(record.size,),
            setups=(record.setup,),
            section=line.section if line else "",
            line=line.text if line else "",
            expected=other,
            found=own,
        )


def _told(course: tuple[str, Runs, int]) -> str:
    kind, runs, times = course
    words = ", ".join(f"{name} {count}" for name, count in runs[:6]) + (" ..." if len(runs) > 6 else "")
    return f"{times} x {kind}: {words}"
