"""The fabric itself: no stray purl, one name for each decrease, and the same sock in every setup."""

from __future__ import annotations

from collections import Counter

from grader.models.record import Record, Runs, WorkedLine
from grader.vocabulary.findings import Ledger
from grader.vocabulary.stitches import stitch_named

_ALIKE = (("ssk", "skp"), ("cdd", "sk2p"))


def check_fabric(record: Record, ledger: Ledger) -> None:
    """Outside a stitch pattern the right side shows knit stitches; two names for one lean are told."""
    used: Counter[str] = Counter()
    for line in record.lines:
        for name, count in line.made:
            used[name.split(" ")[0] if name.split(" ")[0] in ("k", "p", "sl") else name] += count
        if line.fabric or line.kind not in ("round", "row", "part_round", "pick_up"):
            continue
        wrong = "knit" if line.side == "WS" else "purl"
        for name, count in line.made:
            stitch = stitch_named(name) or stitch_named(name.split(" ")[0])
            if stitch and stitch.face == wrong and stitch.takes:
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
                break
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


def canonical(runs: Runs) -> Runs:
    """A round's runs seen from no particular start: the smallest of its rotations."""
    merged = list(runs)
    if len(merged) > 1 and merged[0][0] == merged[-1][0]:
        name, count = merged.pop()
        merged[0] = (name, merged[0][1] + count)
    turns = [tuple(merged[place:] + merged[:place]) for place in range(len(merged))]
    return min(turns, default=())


def courses(record: Record) -> list[tuple[str, Runs, int, WorkedLine]]:
    """The rounds and rows of a sock in order: kind, stitches, how often, and the line they come from."""
    found: list[tuple[str, Runs, int, WorkedLine]] = []
    lines = [line for line in record.lines if line.kind in ("round", "row")]
    at = 0
    while at < len(lines):
        block = [line for line in lines[at:] if lines[at].block and line.block == lines[at].block] or [lines[at]]
        for _ in range(block[0].block_times):
            for line in block:
                runs = canonical(line.made) if line.kind == "round" else line.made
                if found and found[-1][:2] == (line.kind, runs):
                    found[-1] = (line.kind, runs, found[-1][2] + line.times, found[-1][3])
                else:
                    found.append((line.kind, runs, line.times, line))
        at += len(block)
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
