"""Changes every length and count that a part of a sock gives by 15 and by 50 %, and tells which changes are found.

`python -m tests.faults.lengths` works through all rules of all heels, turns, gussets, toes, cuffs and legs that ship,
one at a time, in three sizes of as few socks as hold each of them; no pattern has a sample. A change counts if it moves
the finished sock by a centimetre or more: the height or the width of a section, or where its shaping begins or ends. It
is found by an error, or by a remark on the part it changes. `--part` takes one part, `--every 7` each seventh change.
"""

from __future__ import annotations

import argparse
import re
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from pathlib import Path

from grader.loading import load_text
from grader.models.pattern import Pattern
from grader.models.record import Record
from grader.pipeline import Checked, Wanted, check
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart
from tests.parts.combining import combinations, pattern_of

from .flattening import HERE, flat

KINDS = ("heel", "turn", "gusset", "toe", "cuff", "leg")
FACTORS = (50, 85, 115, 150)  # per cent of what the rule aims at
MOVED, UNKNITTED, LITTLE = "moved", "not knitted", "moved little"
NAMING = frozenset({"proportion", "depth"})  # remarks that name what is out of order
_FLAP = ("heel-flap-slipped", "turn-round")
_LACE = (*_FLAP, "gusset-motif", "foot-motif", "toe-wedge")
_MORE = (
    ("cuff-2x2-rib", "leg-tapered", *_FLAP, "gusset", "foot-plain", "toe-wedge"),
    ("stitch-eyelets", "cuff-2x2-rib", "leg-front", *_LACE),
    ("stitch-eyelets", "cuff-2x2-rib", "leg-halves", *_LACE),
    ("stitch-garter-ridges", "cuff-2x2-rib", "leg-motif", "heel-german-short-row", "foot-plain", "toe-wedge"),
)
_WANTED = Wanted(("long circular (magic loop)",))
_AIM = re.compile(r"^    (nearest|exactly|at_least|at_most): (.*)\n", re.M)
_ALLOWED = re.compile(r"^    allowed: .*\n", re.M)
_KIND = re.compile(r"^part: (\w+)", re.M)
Outline = dict[tuple[str, str, str, str], Fraction]  # size, sock, section and what of it: centimetres


@dataclass(frozen=True, slots=True)
class Change:
    """One rule of one part aims at another share of what it did."""

    part: str
    rule: str
    factor: int
    is_length: bool

    def __str__(self) -> str:
        return f"{self.part}: {self.rule} at {self.factor} %"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a change: how far the sock was moved, in cm, and the code of what found it, "" if nothing did."""

    change: Change
    verdict: str
    cm: float
    by: str


class Sock:
    """One sound sock of parts, and what a change does to it."""

    def __init__(self, parts: tuple[str, ...]) -> None:
        of_parts = pattern_of(parts, "legs" if "leg-calf" in parts else "adult-feet")
        self.text = flat(of_parts)
        pattern = _three_sizes(of_parts)
        self.rules = {rule.name: (Path(rule.span.file).stem, rule.unit) for rule in pattern.rules}
        self.sound = check(pattern, _WANTED)
        if not self.sound.is_sound:
            raise ValueError(f"this sock is not sound: {self.sound.findings}")
        self.remarks = {_told(finding) for finding in self.sound.findings}
        self.outline = outline(self.sound)

    def changes(self, part: str) -> Iterator[Change]:
        """Every change of a rule that this part gives; a tail is no part of the sock."""
        for name, (given, unit) in self.rules.items():
            if given == part and not name.endswith("tail") and self._place(name):
                for factor in FACTORS:
                    yield Change(part, name, factor, unit in ("cm", "rounds"))

    def judge(self, change: Change) -> Outcome:
        """The changed sock knitted through."""
        place = self._place(change.rule)
        assert place is not None
        aim, formula = place[1], place[2].strip('"')
        more = f"({formula}) * {change.factor} %"
        if aim == "exactly" and self.rules[change.rule][1] != "cm":
            more = f"floor({more})" if change.factor < 100 else f"ceil({more})"
        text = f'{self.text[: place.start()]}    {aim}: "{more}"\n{self.text[place.end() :]}'
        checked, findings = self._knitted(text)
        by = next((each.code for each in findings if each.is_error), "")
        by = by or next((each.code for each in findings if self._names(each)), "")
        changed = outline(checked) if checked else {}
        if changed.keys() != self.outline.keys():  # what its designer doesn't allow is knitted all the same
            checked, _ = self._knitted(_ALLOWED.sub("", text))
            changed = outline(checked) if checked else {}
        if changed.keys() != self.outline.keys():
            return Outcome(change, UNKNITTED, 0, by)
        cm = max(abs(changed[key] - self.outline[key]) for key in changed)
        return Outcome(change, MOVED if cm >= 1 else LITTLE, float(cm), by)

    def _knitted(self, text: str) -> tuple[Checked | None, list[Finding]]:
        pattern, findings = load_text(text, HERE, read_chart)
        if pattern is None:
            return None, findings
        sizes = {each.body.name for each in self.sound.sizes}
        bodies = tuple(body for body in pattern.bodies if body.name in sizes)
        checked = check(replace(pattern, bodies=bodies), _WANTED)
        return checked, [*findings, *checked.findings]

    def _names(self, finding: Finding) -> bool:
        return finding.code in NAMING and _told(finding) not in self.remarks

    def _place(self, rule: str) -> re.Match[str] | None:
        block = re.search(rf"^  {rule}:\n", self.text, re.M)
        if block is None:
            return None
        end = re.compile(r"^ {0,2}\S", re.M).search(self.text, block.end())
        limit = end.start() if end else len(self.text)
        found = {each[1]: each for each in _AIM.finditer(self.text, block.end(), limit)}
        return next((found[aim] for aim in ("exactly", "nearest", "at_least", "at_most") if aim in found), None)


def _told(finding: Finding) -> tuple[str, str]:
    return finding.code, finding.message.partition(":")[0]


def _three_sizes(text: str) -> Pattern:
    pattern, findings = load_text(text, HERE, read_chart)
    if pattern is None:
        raise ValueError(f"the parts do not fit: {findings}")
    last = len(pattern.bodies) - 1
    return replace(pattern, bodies=tuple(pattern.bodies[place] for place in (0, last // 2, last)))


def outline(checked: Checked) -> Outline:
    """Height, width and course of shaping of each section, as every finished sock was knitted."""
    found: Outline = {}
    for sock in checked.socks:
        for record in sock.records:
            if record.complete:
                for (section, what), amount in _sections(checked.pattern, record):
                    found[record.size, record.sock, section, what] = amount
    return found


def _sections(pattern: Pattern, record: Record) -> Iterator[tuple[tuple[str, str], Fraction]]:
    rows: dict[str, list[int]] = {}
    counts: dict[str, int] = {}
    for line in record.in_order():
        if line.kind in ("round", "row"):
            change = (line.after or 0) - (line.before or 0)
            rows.setdefault(line.section, []).extend([change] * line.times)
            counts[line.section] = line.after or 0
    for section, changes in rows.items():
        shaped = [place for place, change in enumerate(changes) if change] or [0]
        yield (section, "height"), len(changes) / pattern.gauge.rounds
        yield (section, "width"), counts[section] / pattern.gauge.stitches
        yield (section, "shaping begins"), shaped[0] / pattern.gauge.rounds
        yield (section, "shaping ends"), shaped[-1] / pattern.gauge.rounds


@cache
def sock_of(parts: tuple[str, ...]) -> Sock:
    """A sock of these parts, made once."""
    return Sock(parts)


def covering() -> dict[str, tuple[str, ...]]:
    """Each part of the kinds above, with the sock that it is changed in."""
    folder = Path(HERE).parent / "parts"
    kinds = {path.stem: _KIND.findall(path.read_text(encoding="utf-8"))[0] for path in sorted(folder.glob("*.yaml"))}
    found: dict[str, tuple[str, ...]] = {}
    for parts in (*combinations(), *_MORE):
        for part in parts:
            if kinds[part] in KINDS:
                found.setdefault(part, parts)
    missing = {name for name, kind in kinds.items() if kind in KINDS} - found.keys()
    if missing:
        raise ValueError(f"no sock here has {missing}")
    return found


def every_change() -> Iterator[tuple[tuple[str, ...], Change]]:
    """All changes, with the parts of the sock each is made in."""
    for part, parts in covering().items():
        for change in sock_of(parts).changes(part):
            yield parts, change


def share_found(outcomes: list[Outcome]) -> float:
    """Of the changes that move the finished sock by a centimetre or more, the share that is found."""
    moved = [each for each in outcomes if each.verdict == MOVED]
    return sum(1 for each in moved if each.by) / len(moved)


def main() -> None:
    """Run from the command line."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--every", type=int, default=1, help="each so many of the changes")
    options.add_argument("--part", help="only this part")
    given = options.parse_args()
    began = time.monotonic()
    changes = [each for each in every_change() if given.part in (None, each[1].part)][:: given.every]
    outcomes = [sock_of(parts).judge(change) for parts, change in changes]
    for verdict in (MOVED, LITTLE, UNKNITTED):
        there = [each for each in outcomes if each.verdict == verdict]
        print(f"{verdict:12} {len(there):5}, found {sum(1 for each in there if each.by):5}")
    lengths = [each for each in outcomes if each.change.is_length]
    print(f"of lengths and rounds {share_found(lengths):.2%}, of all rules {share_found(outcomes):.2%} of those moved")
    print(Counter(each.by for each in outcomes if each.verdict == MOVED).most_common())
    for each in outcomes:
        if each.verdict == MOVED and not each.by:
            print(f"  survived: {each.change} ({each.cm:.1f} cm)")
    print(f"{time.monotonic() - began:.0f} s")


if __name__ == "__main__":
    main()
