"""Puts single mistakes into a sound pattern and tells which are found.

`python -m tests.faults.harness --count 2400 --seed 1` prints the table and every survivor; `--of lace` works on
another construction, `--of all` on each of them, `--of shipped` on the patterns that ship with all that their parts
say. A mistake counts if it changes the sock, or what the page states of it; it is found if any stage gives an error, or
a remark that names what it did (`NAMING`).
Half are mistakes of the pattern file, its sentences among them, half of the printed lines of one sock while all other
socks stay right; `--in-file` makes all of them in the file.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from grader.inspection import Run, inspect
from grader.inspection.fabric import courses
from grader.loading import load_text
from grader.models.record import Record
from grader.pipeline import Checked, Sock, Wanted, check, grade_all
from grader.testknit import knit
from grader.vocabulary.findings import Finding
from grader.vocabulary.size_charts import read_chart
from tests.shipped import NAMES

from .constructions import CONSTRUCTIONS, text_of
from .in_print import Misprint
from .in_sentences import sentence_slips, shipped
from .sampling import PATTERN, chosen, sample_block, without_samples
from .seeding import drawn_misprints, drawn_slips
from .words import ALIKE, FOUND, SURVIVED, Slip

BRIDGE = "bridge"
FILE, PRINT = "pattern file", "printed line"
WORK, FIGURE = "the work", "a printed figure"
SENTENCE = "figure of a sentence"
NAMING = ("proportion", "way-to-heel")  # remarks that name the mistake; a sound pattern has none
_OF_FIGURES = (SENTENCE, "measure off")  # kinds that leave the work as it is
_FIRST_SETUP = "double-pointed, set of 5"
Progress = Callable[[int, int], None]
_STATED = re.compile(r"\d+|\b(?:heel|instep|sole|left|right|once|twice|pm|sm)\b")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one mistake: found (`by` is the code of a finding), survived, or alike: nothing is changed by it.

    `changes` is the work or a printed figure: of one that is found its kind tells, of one that survived its socks.
    """

    family: str
    kind: str
    told: str
    verdict: str
    by: str = ""
    changes: str = WORK


class Bench:
    """The sound pattern, its socks as they are knitted, and the judging of what differs from them."""

    def __init__(self, text: str, samples: bool = True) -> None:
        pattern, findings = load_text(text, PATTERN, read_chart)
        if pattern is None:
            raise ValueError(f"the pattern is not sound: {findings}")
        self.plain = replace(pattern, samples=())
        self.sound = check(self.plain)
        self.text = text if pattern.samples or not samples else f"{text}\n{sample_block(self.sound)}"
        self.socks = singles(self.sound)
        self.made = {_key(sock): _made(sock.record) for sock in self.socks}
        self.work = {_key(sock): work_of(sock) for sock in self.socks}
        self.figures = _figures(self.sound)
        stated = sentence_slips(text, self.sound.sizes)
        self.sentences = [Slip(SENTENCE, each.start, each.end, each.new) for each in stated]

    def judge_slip(self, slip: Slip) -> Outcome:
        """A mistake of the pattern file: all of it is loaded, graded, written, knitted and inspected anew."""
        text = slip.made_in(self.text)
        line = self.text.count("\n", 0, slip.start) + 1
        old = self.text[slip.start : slip.end]
        told = f"line {line}: {_short(old)} -> {_short(slip.new)}"
        code, checked = _first_error(text)
        if code:
            return Outcome(FILE, slip.kind, told, FOUND, code, FIGURE if slip.kind in _OF_FIGURES else WORK)
        if checked is None or {_key(sock): _made(sock.record) for sock in singles(checked)} != self.made:
            return Outcome(FILE, slip.kind, told, SURVIVED)
        changed = _figures(checked) != self.figures
        return Outcome(FILE, slip.kind, told, SURVIVED if changed else ALIKE, changes=FIGURE)

    def judge_misprint(self, place: int, misprint: Misprint) -> Outcome:
        """A misprint in one sock: it is knitted again, and inspected beside the right ones."""
        sock = self.socks[place]
        instructions = misprint.made_in(sock.instructions)
        told = f"size {sock.graded.body.name}, {instructions.setup}, {misprint.told}"
        record, findings = knit(instructions)
        code = _code(findings)
        wrong = Sock(sock.graded, instructions, record)
        if not code:
            near = range(sock.graded.index - 1, sock.graded.index + 2)
            beside = [wrong if other is sock else other for other in self.socks if other.graded.index in near]
            code = _code(inspect(self.plain, [Run(each.graded, each.record) for each in beside]))
        if code:
            return Outcome(PRINT, misprint.kind, told, FOUND, code)
        verdict = ALIKE if work_of(wrong) == self.work[_key(sock)] else SURVIVED
        return Outcome(PRINT, misprint.kind, told, verdict)


def singles(checked: Checked) -> list[Sock]:
    """Every sock by itself, also where the two of a pair differ; each has the lines that it alone is knitted from."""
    found: list[Sock] = []
    for sock in checked.socks:
        for record in sock.records:
            others = {each.name for each in checked.pattern.sections if each.sock not in ("", record.sock)}
            sections = tuple(each for each in sock.instructions.sections if each.name not in others)
            instructions = replace(sock.instructions, sections=sections, sock=record.sock)
            found.append(Sock(sock.graded, instructions if record.sock else sock.instructions, record))
    return found


def work_of(sock: Sock) -> tuple[object, ...]:
    """What counts as the work: the courses, what each needle holds, and the numbers and names that are stated.

    While all stitches are knitted it is no matter where needles or markers lie; and what the page says is the same
    wherever it says it, as long as the courses are.
    """
    stated: Counter[object] = Counter()
    prose: list[str] = []
    for section in sock.instructions.sections:
        for block in (each for each in section.blocks if each.lines):
            words = " ".join((block.note, *(line.text for line in block.lines)))
            counts = tuple((line.stated, line.side) for line in block.lines)
            told = block.until, block.leaves, block.stated, block.length, tuple(_STATED.findall(words)), counts
            stated[told] += 1
            prose += re.findall(r"\d+", f"{block.say} {block.why} {block.check}")
    return _fabric(sock.record), frozenset(stated.items()), tuple(sorted(prose))


def _fabric(record: Record) -> tuple[object, ...]:
    held = tuple(line.needles for line in record.lines if line.needles and line.text != "K")
    made = tuple(line.made for line in record.lines if line.kind in ("pick_up", "part_round"))
    return _made(record), held, made


def _made(record: Record) -> tuple[object, ...]:
    """The sock itself. Of a mistake in the file no more counts: what the page says of needles follows from it."""
    return tuple(course[:3] for course in courses(record))


def _key(sock: Sock) -> tuple[str, str, str]:
    return sock.graded.body.name, sock.instructions.setup, sock.record.sock


def _figures(checked: Checked) -> list[object]:
    """The numbers and measures of every size, and what the sentences of every sock state."""
    sizes = [([(each.name, each.value) for each in graded.figures], graded.finished) for graded in checked.sizes]
    return [*sizes, *([each.claim.printed for each in sock.record.claims] for sock in checked.socks)]


def _code(findings: Iterable[Finding]) -> str:
    told = list(findings)
    named = (finding.code for finding in told if finding.code in NAMING)
    return next((finding.code for finding in told if finding.is_error), next(named, ""))


def _short(text: str) -> str:
    plain = " ".join(text.split())
    return repr(plain if len(plain) < 70 else f"{plain[:66]} ...")


def _first_error(text: str) -> tuple[str, Checked | None]:
    """The code of the first error that the whole check gives, and the check where it gives none.

    One sock of a size that has a sample comes first, then all of such sizes, each alone: what is wrong is mostly wrong
    in each.
    """
    pattern, findings = load_text(text, PATTERN, read_chart)
    code = _code(findings)
    if pattern is None or code:
        return code or "unread", None
    sampled = chosen([body.name for body in pattern.bodies])
    few = [replace(pattern, bodies=(body,)) for body in pattern.bodies if body.name in sampled]
    one_setup = Wanted(pattern.setups[:1] or (_FIRST_SETUP,))
    for some, wanted in (*((each, one_setup) for each in few[:1]), *((each, Wanted()) for each in few)):
        code = code or _code(check(some, wanted).findings)
    code = code or _code(grade_all(pattern)[1])
    if code:
        return code, None
    checked = check(pattern)
    return _code(checked.findings), checked


def run(
    bench: Bench, count: int, seed: int, progress: Progress | None = None, in_file: Fraction = Fraction(1, 2)
) -> list[Outcome]:
    """Draw until `count` mistakes change something: half in the file, if it has so many, the others in print."""
    chance = random.Random(seed)
    outcomes: list[Outcome] = []
    counted = 0
    for slip in drawn_slips(bench.text, chance, bench.sentences):
        if counted >= count * in_file:
            break
        outcomes.append(bench.judge_slip(slip))
        counted += outcomes[-1].verdict != ALIKE
        if progress:
            progress(counted, count)
    for place, misprint in drawn_misprints([sock.instructions for sock in bench.socks], chance):
        if counted >= count or in_file == 1:
            break
        outcomes.append(bench.judge_misprint(place, misprint))
        counted += outcomes[-1].verdict != ALIKE
        if progress:
            progress(counted, count)
    return outcomes


def share_found(outcomes: Sequence[Outcome], changes: str = "") -> float:
    """The share found of those that change something, or of those that change the work, or a printed figure."""
    verdicts = Counter(each.verdict for each in outcomes if changes in ("", each.changes))
    return verdicts[FOUND] / (verdicts[FOUND] + verdicts[SURVIVED])


def table(outcomes: Sequence[Outcome]) -> str:
    """Found, survived and alike by kind, and the sum."""
    rows = [f"{'':16}  {'kind':30} {FOUND:>7} {SURVIVED:>9} {ALIKE:>6}"]
    for family in (FILE, PRINT):
        kinds = sorted({each.kind for each in outcomes if each.family == family})
        for kind in kinds:
            rows.append(_row(family, kind, [each for each in outcomes if (each.family, each.kind) == (family, kind)]))
        rows.append(_row(family, "in all", [each for each in outcomes if each.family == family]))
    rows.append(_row("both", "in all", outcomes))
    for changes in (WORK, FIGURE):
        rows.append(_row(changes, "in all", [each for each in outcomes if each.changes == changes]))
    return "\n".join(rows)


def _row(family: str, kind: str, outcomes: Sequence[Outcome]) -> str:
    verdicts = Counter(each.verdict for each in outcomes)
    counts = f"{verdicts[FOUND]:7} {verdicts[SURVIVED]:9} {verdicts[ALIKE]:6}"
    counted = verdicts[FOUND] + verdicts[SURVIVED]
    return f"{family:16}  {kind:30} {counts}" + (f"  {verdicts[FOUND] / counted:8.2%}" if counted else "")


def bridge() -> str:
    """The text of the pattern that ships with its samples."""
    return Path(PATTERN).read_text(encoding="utf-8")


def _text(name: str, samples: bool) -> str:
    if name == BRIDGE:
        text = bridge()
        return text if samples else without_samples(text)
    return shipped(name) if name in NAMES else text_of(name)


def _report(name: str, samples: bool, given: argparse.Namespace) -> tuple[str, list[Outcome]]:
    """Work on one construction and print it all; the row of the last table, and what came of each mistake."""
    began = time.monotonic()

    def progress(done: int, whole: int) -> None:
        if sys.stderr.isatty() or done % 200 == 0:
            print(f"\r{done} of {whole}", end="", file=sys.stderr, flush=True)

    in_file = Fraction(1) if given.in_file else Fraction(1, 2)
    outcomes = run(Bench(_text(name, samples), samples), given.count, given.seed, progress, in_file)
    print(file=sys.stderr)
    told = "with samples" if samples else "without samples"
    print(f"{name}, {told}\n{table(outcomes)}")
    for verdict in (SURVIVED, ALIKE):
        print(f"\n{verdict}:")
        for each in outcomes:
            if each.verdict == verdict:
                print(f"  {each.family}, {each.kind}, {each.changes}: {each.told}")
    took = f"{time.monotonic() - began:.0f} s"
    print(f"\n{share_found(outcomes):.2%} found, {took}\n", flush=True)
    return f"{name:16} {told:15} {share_found(outcomes):8.2%}  {took}", outcomes


def main() -> None:
    """Run from the command line."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=2400, help="mistakes that change something")
    options.add_argument("--seed", type=int, default=1)
    choices = (BRIDGE, *CONSTRUCTIONS, *NAMES, "all", "shipped")
    options.add_argument("--of", choices=choices, default=BRIDGE, help="the sock to work on")
    options.add_argument("--in-file", action="store_true", help="no misprints: all mistakes in the file")
    options.add_argument("--no-samples", action="store_true", help="leave the designer's samples out")
    options.add_argument("--both", action="store_true", help="first with the designer's samples, then without")
    given = options.parse_args()
    names = {"all": (BRIDGE, *CONSTRUCTIONS), "shipped": NAMES}.get(given.of, (given.of,))
    ways = (True, False) if given.both else (not given.no_samples,)
    for samples in ways:
        rows, outcomes = zip(*(_report(name, samples, given) for name in names), strict=True)
        print("\n".join(rows))
        if len(names) > 1:
            print(table([each for several in outcomes for each in several]), flush=True)


if __name__ == "__main__":
    main()
