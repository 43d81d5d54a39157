"""At the desk: make the documents again whenever the pattern, a part, a template or a translation is saved."""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from glob import escape
from pathlib import Path
from typing import TYPE_CHECKING

from grader.cli.console import Console
from grader.cli.opening import FINE, shipped
from grader.regular_files import told

if TYPE_CHECKING:
    from grader.cli.preview import Preview

LOOK_EVERY = 0.15  # seconds
SETTLE = 0.06  # a file that has not changed for so long is written to its end

Stamp = tuple[int, int, int]
Clock = Callable[[], float]


@dataclass(frozen=True, slots=True)
class Change:
    """What was saved: files changed or new, and files that are gone."""

    saved: tuple[Path, ...]
    gone: tuple[Path, ...]

    def __str__(self) -> str:
        names = [path.name for path in self.saved] + [f"{path.name} (gone)" for path in self.gone]
        return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")


def watched_files(pattern: Path, templates: Path | None, pictures: Iterable[Path] = ()) -> Iterator[Path]:
    """Every file that a document of the pattern is made from: it, its translations, pictures, parts, templates."""
    from grader.resources import folder

    yield pattern
    yield from pictures
    yield from _listed(pattern.parent, f"{escape(pattern.stem)}.*.yaml")
    folders = [
        pattern.parent / "parts",
        pattern.parent / "languages",
        folder("patterns") / "parts",
        folder("templates"),
    ]
    for each in dict.fromkeys([*folders, *([templates] if templates else [])]):
        yield from (path for path in _listed(each, "*") if not path.name.startswith("."))


def _listed(folder: Path, names: str) -> list[Path]:
    """The files of a folder by name; none where it is not there, or may not be looked into just now."""
    try:
        return sorted(path for path in folder.glob(names) if path.is_file())
    except OSError:
        return []


def stamps(files: Iterator[Path]) -> dict[Path, Stamp]:
    """When each file was last written, how long it is, and which file it is; those that are not there are left out."""
    found: dict[Path, Stamp] = {}
    for path in files:
        try:
            found_there = path.stat()
        except (OSError, ValueError):  # the second for a name that no file can have
            continue
        found[path] = (found_there.st_mtime_ns, found_there.st_size, found_there.st_ino)
    return found


def changes(
    look: Callable[[], Mapping[Path, Stamp]], wait: Callable[[float], None], before: Mapping[Path, Stamp]
) -> Iterator[Change]:
    """Each settled change of the files that `look` sees, for ever; several saves in a row are one change.

    `wait` waits so many seconds; it ends the watch by raising.
    """
    known = dict(before)
    while True:
        wait(LOOK_EVERY)
        seen = dict(look())
        if seen == known:
            continue
        while True:
            wait(SETTLE)
            again = dict(look())
            if again == seen:
                break
            seen = again
        saved = tuple(path for path in seen if seen[path] != known.get(path))
        gone = tuple(path for path in known if path not in seen)
        known = seen
        if saved or gone:
            yield Change(saved, gone)


def watch(
    arguments: argparse.Namespace,
    console: Console,
    once: Callable[[argparse.Namespace, Console], int],
    preview: Preview | None = None,
    wait: Callable[[float], None] = time.sleep,
    clock: Clock = time.monotonic,
) -> int:
    """Make all documents now and after every save, until it is interrupted; the last good ones stand.

    It ends too when nobody reads what it says any more, and nobody looks at the preview either.
    """
    path = arguments.pattern if Path(arguments.pattern).exists() else shipped(arguments.pattern)
    templates = Path(arguments.templates) if arguments.templates else None

    def look() -> dict[Path, Stamp]:
        return stamps(watched_files(Path(path), templates, getattr(arguments, "pictures", ())))

    arguments.jobs = arguments.jobs or "1"  # processes are begun slower than one document is made
    known = look()
    _make(arguments, console, once, preview, clock, "")
    known = look() | known  # with the pictures that it was found to show
    console.result(f"watching {Path(path).name}, its parts and templates; stop with Ctrl-C")
    if preview is not None:
        console.result(f"preview at {preview.address} (whoever knows this address can read along)")
        preview.open_browser()
    try:
        for change in changes(look, wait, known):
            _make(arguments, console, once, preview, clock, str(change))
            if console.unheard and preview is None:
                break
    except KeyboardInterrupt:
        console.result("stopped; the last good documents stand")
    return FINE


def _make(
    arguments: argparse.Namespace,
    console: Console,
    once: Callable[[argparse.Namespace, Console], int],
    preview: Preview | None,
    clock: Clock,
    saved: str,
) -> None:
    """One round of it: what is wrong is told in place, and how long it took.

    A file that goes, a folder that may not be written or a full disk is told too: by the next save it may be mended.
    """
    from grader.cli.arguments import UsageError

    console.fresh()
    if saved:
        console.result(f"saved: {saved}")
    began = clock()
    try:
        code = once(arguments, console)
    except UsageError as mistake:
        console.warn(f"grader: {mistake}")
        code = -1
    except OSError as mistake:
        console.warn(f"grader: {told(mistake)}")
        code = -1
    took = clock() - began
    state = "made" if code == FINE else "not made; the last good documents stand"
    console.result(f"{state} in {took:.2f} s")
    if preview is not None:
        preview.show(code == FINE, console.said, console.files)
