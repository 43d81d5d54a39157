"""Every edition of every pattern that ships, on every paper and in every setup, before two validators and our laws.

    python -m tests.validation.documents [--quick] [--jobs 2] [--details 3] [PATTERN ...]

Each PDF is to be valid by PDF/UA-1 and PDF/A-2a (the package page-validation) and by `qpdf --check` (left out where
there is no qpdf), to hold its fonts, to say every word of its Markdown in order, and to keep the laws of
`tests/pages/laws.py`. Prints a table, pattern by edition, and the first failures of each kind. `--quick` takes one
paper for each setup and the middle size alone.
"""

from __future__ import annotations

import argparse
import io
import itertools
import multiprocessing
import shutil
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from grader.models.edition import EDITIONS
from grader.pipeline import Checked, check, open_pattern
from grader.pipeline import Wanted as Worked
from tests.pages.laws import broken
from tests.pages.structure import lost, told_by
from tests.publishing.making import ON_PAPER, PAPERS, PATTERNS, TOGETHER, Set, Wanted, chosen, edition_of, made
from tests.publishing.making import some_sizes as three_of


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one document: `failures` are pairs of a kind and what was said."""

    pattern: str
    edition: str
    name: str
    pages: int
    failures: tuple[tuple[str, str], ...]


_checked: dict[str, Checked] = {}  # inherited by the processes, so that nothing has to be sent to them


def main(arguments: Sequence[str] | None = None) -> int:
    """Make everything, ask everyone, print the table; 1 where anything was found."""
    parser = argparse.ArgumentParser(description="Every PDF of every pattern before validators and laws.")
    parser.add_argument("patterns", nargs="*", help="pattern files; all that ship where none is named")
    parser.add_argument("--quick", action="store_true", help="one paper for each setup, the middle size alone")
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    parser.add_argument("--details", type=int, default=3, help="failures of a kind to tell for each row")
    wanted = parser.parse_args(arguments)
    tasks: list[tuple[str, Wanted]] = []
    for path in [Path(each) for each in wanted.patterns] or PATTERNS:
        pattern, findings = open_pattern(str(path))
        if pattern is None:
            raise SystemExit(f"{path}: {findings[0].message}")
        _checked[path.stem] = check(pattern, Worked(terms=("UK", "US"), units="both"))
        checked = _checked[path.stem]
        tasks += [(path.stem, each) for each in _documents(checked, wanted.quick) if chosen(checked, each).socks]
    if not shutil.which("qpdf"):
        print("qpdf is left out: there is none", file=sys.stderr)
    outcomes = []
    for outcome in _all(tasks, wanted.jobs):
        outcomes.append(outcome)
        print(f"\r{len(outcomes)} of {len(tasks)}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    _print(outcomes, wanted.details)
    return 1 if any(each.failures for each in outcomes) else 0


def _all(tasks: list[tuple[str, Wanted]], jobs: int) -> Iterator[Outcome]:
    if jobs < 2:
        yield from map(_outcome, tasks)
        return
    with multiprocessing.get_context("fork").Pool(jobs) as pool:
        yield from pool.imap_unordered(_outcome, tasks)


def _documents(checked: Checked, quick: bool) -> Iterator[Wanted]:
    """Which documents of a pattern are made."""
    setups = list(dict.fromkeys(sock.instructions.setup for sock in checked.socks))
    names = [graded.body.name for graded in checked.sizes]
    middle = names[len(names) // 2]
    sizes = [middle] if quick else three_of(names)
    papers = itertools.cycle(PAPERS)
    for kind in ON_PAPER:
        single = EDITIONS[kind].single
        for setup in setups if single else [TOGETHER, *setups]:
            for paper in (next(papers),) if quick else PAPERS:
                for size in sizes if single else [""]:
                    yield Wanted(edition_of(kind, paper), setup, size)
        one = (setups[0], middle) if single else (TOGETHER, "")
        yield Wanted(edition_of(kind, "letter", terms="US"), *one)
        yield Wanted(edition_of(kind, "a5" if EDITIONS[kind].bound else "a4", marks=True, one_ink=True), *one)


def _outcome(task: tuple[str, Wanted]) -> Outcome:
    stem, wanted = task
    pages, failures = 0, []
    try:
        for each in made(chosen(_checked[stem], wanted), wanted.edition):
            name = "imposed, " if each.press.imposed else ""
            pages += len(each.laid_out.pages)
            failures += [(kind, name + said) for kind, said in _failures(each)]
    except Exception as fault:  # whatever it is, the other documents are to be made all the same
        failures.append(("not made", f"{type(fault).__name__}: {fault}"))
    return Outcome(stem, wanted.edition.kind, wanted.name, pages, tuple(failures))


def _failures(each: Set) -> Iterator[tuple[str, str]]:
    """All that is wrong with a PDF: the kind, and what is said of it."""
    from page import ValidationProfile, validate_pdf
    from pypdf import PdfReader

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "document.pdf"
        file.write_bytes(each.data)
        for profile, name in ((ValidationProfile.PDF_UA_1, "PDF/UA-1"), (ValidationProfile.PDF_A_2A, "PDF/A-2a")):
            result = validate_pdf(str(file), profile=profile)
            if not result.is_compliant:
                yield name, "; ".join(sorted({f"{fault.rule_id} {fault.message}" for fault in result.failures}))
        if shutil.which("qpdf"):
            run = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True, check=False)
            if run.returncode:
                yield "qpdf", (run.stderr or run.stdout).strip()
    for font in _loose_fonts(PdfReader(io.BytesIO(each.data))):
        yield "font", f"{font} is not in the file"
    told = told_by(each.data)
    if "\ufffd" in told.text:
        at = told.text.index("\ufffd")
        yield "glyph", told.text[max(0, at - 20) : at + 20]
    for said in lost(told, each.markdown, each.drawing, each.drawings):
        yield "words", said
    for said in broken(each.laid_out):
        law, _, where = said.partition(": ")
        yield law, where


def _loose_fonts(reader: Any) -> set[str]:
    """The fonts that a file names and doesn't hold."""
    loose = set()
    for page in reader.pages:
        for reference in page["/Resources"].get("/Font", {}).values():
            font = reference.get_object()
            font = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
            if "/FontDescriptor" not in font or "/FontFile2" not in font["/FontDescriptor"].get_object():
                loose.add(str(font["/BaseFont"]))
    return loose


def _print(outcomes: Sequence[Outcome], details: int) -> None:
    """The table, then the first failures of each kind in each of its rows."""
    rows: dict[tuple[str, str], list[Outcome]] = defaultdict(list)
    for outcome in sorted(outcomes, key=lambda each: (each.pattern, ON_PAPER.index(each.edition), each.name)):
        rows[outcome.pattern, outcome.edition].append(outcome)
    print(f"{'pattern':20} {'edition':12} {'documents':>9} {'pages':>6}  failures")
    for (pattern, edition), held in rows.items():
        kinds = Counter(kind for outcome in held for kind, _ in outcome.failures)
        failed = ", ".join(f"{kind} {count}" for kind, count in kinds.most_common()) or "none"
        print(f"{pattern:20} {edition:12} {len(held):9} {sum(each.pages for each in held):6}  {failed}")
    faulty = sum(bool(each.failures) for each in outcomes)
    pages = sum(each.pages for each in outcomes)
    print(f"{'all':33} {len(outcomes):9} {pages:6}  {faulty} documents with failures")
    for (pattern, _), held in rows.items():
        told: Counter[str] = Counter()
        for outcome in held:
            for kind, said in outcome.failures:
                told[kind] += 1
                if told[kind] <= details:
                    print(f"{pattern}, {outcome.name}: {kind}: {said}")


if __name__ == "__main__":
    sys.exit(main())
