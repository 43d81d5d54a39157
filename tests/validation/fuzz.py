"""Mutated patterns, parts, lists, styles, languages and templates: none may end in a traceback or take too much.

    python -m tests.validation.fuzz [--count N] [--seed N] [--kinds pattern,part,...] [--pages SHARE] [--keep FOLDER]

Each case is worked in a forked process that may take `SECONDS` of processor time and `MEGABYTES` of memory beside what
the process began with. A pattern that can still be read is graded in one size, written out and knitted in one setup,
and its document is written; `--pages` of the sound ones are set in type too. A case is known again by its kind and its
number: the same seed makes the same text. What fails is told by the last places of its traceback.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import pickle
import random
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import FrameType

from grader.class_sheets import bind_sheets
from grader.cli.class_work import Lesson, serve
from grader.loading import load_class, load_language, load_looks, load_pattern, load_text
from grader.markup import markdown_tree
from grader.models.document import Document
from grader.models.edition import Edition
from grader.models.language import Language
from grader.models.looks import Looks
from grader.models.pattern import Pattern
from grader.pipeline import Checked, Wanted, check, reread
from grader.publishing import draft, make_document
from grader.resources import folder
from grader.translating import translate
from grader.vocabulary.findings import Finding
from grader.vocabulary.unprintable import Unprintable
from grader.write_up import TemplateMistake, write_up

from .mutants import mutated

SECONDS, MEGABYTES = 5, 500
BATCH = 500  # cases of one process
SHARES = {"pattern": 8, "part": 4, "list": 3, "style": 2, "language": 1, "template": 4}
LIST = (
    "name;foot (cm);length (cm);leg;shoe;age;gauge;needles\nAda;22,5;24;18 cm;;;32x44;magic-loop\n"
    "Bert;;;;EU 43;;;\nCléo;;;;;7;30x42;set-of-5\n"
    "Dan;8 3/4 in;10 in;;;;31x43;short-circular\n"
)
STYLE = 'accent: "#6e2129"\nband: "#f4ece0"\nlarger: 1.1\nwords: {Notes: Remarks, Materials: What you need}\n'


class TooLong(BaseException):
    """The clock of a case has run out."""


@dataclass(frozen=True, slots=True)
class Failure:
    """A case that went wrong: what it was, and how it ended."""

    kind: str
    number: int
    how: str


def main() -> int:
    """Work the cases and print how many of each kind there were and what failed; 1 if anything did."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kinds", default=",".join(SHARES))
    parser.add_argument("--pages", type=float, default=0.02)
    parser.add_argument("--keep", type=Path, help="a folder for the texts of what failed")
    parser.add_argument("--only", type=int, help="the number of one case, worked without a fork")
    arguments = parser.parse_args()
    kinds = [kind for kind in arguments.kinds.split(",") for _ in range(SHARES[kind])]
    plan = [(random.Random(f"{arguments.seed}/{at}").choice(kinds), at) for at in range(arguments.count)]
    if arguments.only is not None:
        work(plan[arguments.only][0], arguments.only, arguments.seed, arguments.pages)
        return 0
    failures, slowest = run(plan, arguments.seed, arguments.pages)
    for failure in failures:
        if arguments.keep:
            arguments.keep.mkdir(parents=True, exist_ok=True)
            text = text_of(failure.kind, failure.number, arguments.seed)
            (arguments.keep / f"{failure.kind}-{arguments.seed}-{failure.number}").write_text(text, errors="replace")
    counts = Counter(kind for kind, _ in plan)
    print(f"{len(plan)} cases, seed {arguments.seed}: {', '.join(f'{counts[kind]} {kind}' for kind in SHARES)}")
    print(f"slowest {slowest[0]:.2f} s of processor time ({slowest[1]} {slowest[2]}); {len(failures)} failed")
    alike: dict[str, list[Failure]] = {}
    for failure in failures:
        alike.setdefault(failure.how, []).append(failure)
    for how, several in sorted(alike.items(), key=lambda each: -len(each[1])):
        print(f"\n{len(several)} x ({', '.join(f'{each.kind} {each.number}' for each in several[:5])})\n{how}")
    return 1 if failures else 0


def run(plan: list[tuple[str, int]], seed: int, pages: float) -> tuple[list[Failure], tuple[float, str, int]]:
    """All cases, a batch to a process; a process that dies is followed by one for what is left."""
    failures: list[Failure] = []
    slowest = (0.0, "", 0)
    left = list(plan)
    _warm({kind for kind, _ in plan})
    while left:
        done, died = _batch(left[:BATCH], seed, pages)
        for seconds, failure, (kind, number) in done:
            slowest = max(slowest, (seconds, kind, number))
            failures += [failure] if failure else []
        left = left[len(done) :]
        if died and left:
            failures.append(Failure(*left.pop(0), died))
        print(f"\r{len(plan) - len(left)} of {len(plan)}, {len(failures)} failed", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    return failures, slowest


def _warm(kinds: set[str]) -> None:
    """Work what ships once, so that no process has to read and import it again."""
    for kind in kinds:
        for name, text in originals(kind).items():
            _WORKERS[kind](name, text, random.Random(1), kind == "pattern")


Done = list[tuple[float, Failure | None, tuple[str, int]]]


def _batch(plan: list[tuple[str, int]], seed: int, pages: float) -> tuple[Done, str]:
    """What became of the cases of one process, and how it ended if it did not come to the end of them."""
    reading, writing = os.pipe()
    process = os.fork()
    if not process:
        os.close(reading)
        with os.fdopen(writing, "wb") as told:
            _limit()
            for kind, number in plan:
                pickle.dump((*_timed(kind, number, seed, pages), (kind, number)), told)
                told.flush()
        os._exit(0)
    os.close(writing)
    done: Done = []
    with os.fdopen(reading, "rb") as heard:
        while len(done) < len(plan):
            try:
                done.append(pickle.load(heard))
            except EOFError:
                break
    _, status = os.waitpid(process, 0)
    died = "" if len(done) == len(plan) else f"the process died: {status} (signal {status & 127})"
    return done, died


def _limit() -> None:
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss << 10
    mapped = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (max(used, mapped) + (MEGABYTES << 20),) * 2)
    signal.signal(signal.SIGPROF, _stop)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)


def _stop(_number: int, _frame: FrameType | None) -> None:
    raise TooLong


def _timed(kind: str, number: int, seed: int, pages: float) -> tuple[float, Failure | None]:
    began = time.process_time()
    hard = int(began) + 3 * SECONDS  # for what looks at no signal
    resource.setrlimit(resource.RLIMIT_CPU, (hard, resource.RLIM_INFINITY))
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    failure = None
    try:
        work(kind, number, seed, pages)
    except TooLong:
        failure = Failure(kind, number, f"more than {SECONDS} s: {_places(3)}")
    except BaseException as mistake:
        failure = Failure(kind, number, f"{type(mistake).__name__}: {str(mistake)[:200]}\n{_places(4)}")
    signal.setitimer(signal.ITIMER_PROF, 0)
    return time.process_time() - began, failure


def _places(many: int) -> str:
    """The last places of a traceback within the package."""
    frames = traceback.extract_tb(sys.exc_info()[2])
    own = [frame for frame in frames if "/grader/" in frame.filename][-many:]
    return "\n".join(f"    {frame.filename.split('/grader/')[-1]}:{frame.lineno} {frame.name}" for frame in own)


# -- what is mutated


@cache
def originals(kind: str) -> dict[str, str]:
    """The texts that ship, by the names of their files; samples of a list and a style."""
    places = {
        "pattern": folder("patterns").glob("*.yaml"),
        "part": (folder("patterns") / "parts").glob("*.yaml"),
        "language": Path(load_language.__code__.co_filename).parents[1].joinpath("data", "languages").glob("*.yaml"),
        "template": folder("templates").glob("*.j2"),
    }
    if kind == "list":
        return {
            "list.csv": LIST,
            "tabs.csv": LIST.replace(";", "\t"),
            "commas.csv": LIST.replace(",", ".").replace(";", ","),
        }
    if kind == "style":
        return {"style.yaml": STYLE}
    return {path.name: path.read_text(encoding="utf-8") for path in sorted(places[kind])}


def text_of(kind: str, number: int, seed: int) -> str:
    """The text of a case."""
    return _case(kind, number, seed)[1]


def _case(kind: str, number: int, seed: int) -> tuple[str, str, random.Random]:
    dice = random.Random(f"{seed}/{kind}/{number}")
    texts = originals(kind)
    name = dice.choice(sorted(texts))
    others = list(texts.values())
    return name, mutated(dice, texts[name], others, yaml=kind not in ("list", "template")), dice


# -- how a case is worked


def work(kind: str, number: int, seed: int, pages: float) -> None:
    """Take one case as far as it goes; what a designer did wrong comes back as findings, or as one of two mistakes."""
    name, text, dice = _case(kind, number, seed)
    with contextlib.suppress(TemplateMistake, Unprintable):
        _WORKERS[kind](name, text, dice, dice.random() < pages)


def _pattern(name: str, text: str, dice: random.Random, pages: bool) -> None:
    pattern, findings = load_text(text, name)
    _whole(pattern, findings, dice, pages)


def _whole(pattern: Pattern | None, findings: list[Finding], dice: random.Random, pages: bool) -> None:
    for finding in findings:
        assert finding.message, finding
    if pattern is None:
        assert any(each.is_error for each in findings), "no pattern, and nothing says why"
        return
    one = replace(pattern, bodies=(dice.choice(pattern.bodies),))
    checked = check(one, Wanted((dice.choice(one.setups),)))
    if not checked.is_sound or not checked.socks:
        return
    if pages:
        make_document(checked, Edition(one_size=True), "sock")
    else:
        drafted = draft(checked, Edition(), "sock", "sock")
        markdown_tree(write_up(drafted.document))


def _part(name: str, text: str, dice: random.Random, pages: bool) -> None:
    """The part in the place of one of its name, in a pattern that takes it or one of its kind."""
    stem = name.removesuffix(".yaml")
    users = [each for each in originals("pattern").values() if stem in each]
    user = dice.choice(users or [each for each in originals("pattern").values() if "parts: [" in each])
    if not users:
        listed = user.split("parts: [")[1].split("]")[0].split(", ")
        same = [each for each in listed if each.split("-")[0] == stem.split("-")[0]]
        user = user.replace(dice.choice(same or listed), stem, 1)
    with tempfile.TemporaryDirectory() as place:
        Path(place, "parts").mkdir()
        Path(place, "parts", name).write_text(text, encoding="utf-8", errors="replace")
        Path(place, "pattern.yaml").write_text(user.split("\nsample:")[0], encoding="utf-8")
        pattern, findings = load_pattern(str(Path(place, "pattern.yaml")))
    _whole(pattern, findings, dice, pages)


def _list(name: str, text: str, dice: random.Random, pages: bool) -> None:
    data = text.encode(dice.choice(("utf-8", "utf-8-sig", "utf-16", "cp1252")), "replace")
    with tempfile.TemporaryDirectory() as place:
        Path(place, name).write_bytes(data)
        found, findings = load_class(str(Path(place, name)))
    assert found or findings
    if found and found.members and dice.random() < 0.1:
        edition = Edition(kind="handout", one_size=True)
        lesson = Lesson(_sound().pattern, edition, "32x44", "magic-loop", True, "x", frozenset())
        outcome = serve(lesson, dice.choice(found.members))
        if outcome.sheets and pages:
            bind_sheets(lesson.pattern, [outcome.sheets], "", lesson.edition, "x")


def _style(name: str, text: str, dice: random.Random, pages: bool) -> None:
    with tempfile.TemporaryDirectory() as place:
        Path(place, name).write_text(text, encoding="utf-8", errors="replace")
        looks, findings = load_looks(Path(place))
    if (looks != Looks() and not findings) and (pages or dice.random() < 0.02):
        make_document(_sound(), Edition(looks=looks, one_size=True), "sock")


def _language(name: str, text: str, dice: random.Random, pages: bool) -> None:
    with tempfile.TemporaryDirectory() as place:
        Path(place, name).write_text(text, encoding="utf-8", errors="replace")
        language, findings = load_language(str(Path(place, name)))
    if language is None:
        assert findings
    else:
        _translated(language, pages)


def _translated(language: Language, pages: bool) -> None:
    reread(_sound().socks, language)
    if pages:
        make_document(_sound(), Edition(language=language, one_size=True), "sock")
    else:
        translate(draft(_sound(), Edition(), "sock", "sock").document, language)


def _template(name: str, text: str, dice: random.Random, pages: bool) -> None:
    with tempfile.TemporaryDirectory() as place:
        Path(place, name).write_text(text, encoding="utf-8", errors="replace")
        kind = {"handout.md.j2": "handout", "booklet.md.j2": "booklet", "worksheet.md.j2": "worksheet"}.get(
            name, "pattern"
        )
        if pages:
            make_document(_sound(), Edition(templates=Path(place), kind=kind, one_size=True), "sock")
        else:
            names = (name,) if not name.startswith("_") else ("pattern.md.j2", "one_size.md.j2")
            for each in names:
                markdown_tree(write_up(_document(kind if each == name else "pattern"), each, Path(place)))


@cache
def _sound() -> Checked:
    """One sock of a pattern that ships."""
    pattern, _ = load_text(originals("pattern")["ninepenny_bridge.yaml"], "ninepenny_bridge.yaml")
    assert pattern is not None
    return check(replace(pattern, bodies=pattern.bodies[7:8], samples=()), Wanted((pattern.setups[1],)))


@cache
def _document(kind: str) -> Document:
    return draft(_sound(), Edition(kind=kind, one_size=True), "sock", "sock").document


Worker = Callable[[str, str, random.Random, bool], None]
_WORKERS: dict[str, Worker] = {
    "pattern": _pattern,
    "part": _part,
    "list": _list,
    "style": _style,
    "language": _language,
    "template": _template,
}


if __name__ == "__main__":
    sys.exit(main())
