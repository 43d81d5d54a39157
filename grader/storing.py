"""Writing files whole or not at all, one run after the other: an interruption at any point leaves the old files.

A run that is killed can't tidy up. What it leaves, the next one sweeps away: files with names that only this module
gives, and only while it holds the lock of the folder, so that no other run is writing them.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from grader.regular_files import naming

LOCK = ".grader.lock"
_PREFIX, _PART, _OLD = ".grader-", ".part", ".old"
_LEFT = re.compile(rf"{re.escape(_PREFIX)}[a-z0-9_]{{8}}(?:{re.escape(_PART)}|{re.escape(_OLD)})")


def _silent(_text: str) -> None:
    return None


def store(
    folder: Path, files: Mapping[str, bytes], tell: Callable[[str], None] = _silent, replace: bool = True
) -> list[Path]:
    """Write all files into a folder (made if need be) and give their paths.

    Every file is written beside its place and synced before the first is moved in; a move within a folder replaces the
    old file in one step, and a move that fails takes back those before it. Runs that write into one folder take turns;
    `tell` is told when another is waited for. `OSError` if the folder can't be written; `FileExistsError` where there
    is such a file and it is not to be replaced.
    """
    folder.mkdir(parents=True, exist_ok=True)
    with _turn(folder, tell) as alone:
        if alone:
            _sweep(folder)
        for name in files:
            if not replace and os.path.lexists(folder / name):
                raise FileExistsError(f"{folder / name} is there already")
        return _store(folder, files)


def _store(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    waiting: list[tuple[Path, Path]] = []
    for name in files:
        with naming(folder / name):
            os.fsencode(folder / name)  # a system may have no such letters in the names of files
    try:
        for name, content in files.items():
            with naming(folder, instead=True):
                handle, path = tempfile.mkstemp(prefix=_PREFIX, suffix=_PART, dir=folder)
            waiting.append((Path(path), folder / name))
            with naming(folder / name), os.fdopen(handle, "wb") as out:
                out.write(content)
                out.flush()
                os.fsync(out.fileno())
            os.chmod(path, 0o644)
        _move_in(waiting)
        _sync(folder)
        return [place for _, place in waiting]
    finally:
        for part, _ in waiting:
            part.unlink(missing_ok=True)


def _move_in(waiting: Sequence[tuple[Path, Path]]) -> None:
    """Move every part to its place; if one can't be moved, those already moved make way for the old files again."""
    moved: list[tuple[Path, Path | None]] = []
    try:
        for part, place in waiting:
            moved.append((place, _kept(part, place)))
            os.replace(part, place)
    except BaseException:
        for place, kept in moved:
            if kept is None:
                place.unlink(missing_ok=True)
            else:
                os.replace(kept, place)
        raise
    finally:
        for _, kept in moved:
            if kept is not None:
                kept.unlink(missing_ok=True)


def _kept(part: Path, place: Path) -> Path | None:
    """A second name for the old file of a place, or a copy where the file system has no such thing; None if new."""
    if not os.path.lexists(place):
        return None
    kept = part.with_suffix(_OLD)
    try:
        os.link(place, kept, follow_symlinks=False)
    except (OSError, NotImplementedError):  # the latter on Windows
        shutil.copy2(place, kept, follow_symlinks=False)
    return kept


def _sync(folder: Path) -> None:
    """Have the new names on the disk too, where a folder can be synced."""
    if sys.platform == "win32":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _sweep(folder: Path) -> None:
    """Take away what runs that were killed have left; what can't be taken away stays."""
    with os.scandir(folder) as entries:
        left = [entry.path for entry in entries if _LEFT.fullmatch(entry.name)]
    for path in left:
        with contextlib.suppress(OSError):
            os.unlink(path)


@contextlib.contextmanager
def _turn(folder: Path, tell: Callable[[str], None]) -> Iterator[bool]:
    """Hold the lock of a folder; gives False where its file system knows no locks, so that nobody knows who is there.

    The lock belongs to the open file: whatever becomes of the run, the system lets go of it.
    """
    place = folder / LOCK
    handle, held = _take(place, tell)
    try:
        yield held
    finally:
        if held:
            _let_go(handle, place)
        os.close(handle)
        if sys.platform == "win32":  # where a file that somebody has open can't be taken away
            with contextlib.suppress(OSError):
                os.unlink(place)


def _take(place: Path, tell: Callable[[str], None]) -> tuple[int, bool]:
    """Open the file of the lock and wait until it is ours; False beside it where there is no locking.

    Who had it takes the file away at the end. Who waited then holds a file that is no longer there, and tries again.
    """
    waited = False
    while True:
        handle = _opened(place)
        try:
            held = _lock(handle, wait=waited)
            if held and _is_there(handle, place):
                return handle, True
            if not held and not waited:
                tell(f"another run is writing into {place.parent}; waiting for it")
            waited = waited or not held
        except OSError:
            return handle, False
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)


def _opened(place: Path) -> int:
    try:
        return os.open(place, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as mistake:  # nobody asked for this file, but for the folder
        mistake.filename = str(place.parent)
        raise


def _is_there(handle: int, place: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), os.stat(place))
    except FileNotFoundError:
        return False


if sys.platform == "win32":
    import msvcrt

    def _lock(handle: int, wait: bool) -> bool:
        """Lock the first byte of the file; False if another run has it. Waiting gives up after ten seconds."""
        try:
            msvcrt.locking(handle, msvcrt.LK_LOCK if wait else msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    def _let_go(handle: int, place: Path) -> None:
        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def _lock(handle: int, wait: bool) -> bool:
        """Lock the file; False if another run has it."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True

    def _let_go(handle: int, place: Path) -> None:
        """Take the file away while the lock is held, so that nobody can come to hold it in between."""
        with contextlib.suppress(OSError):
            os.unlink(place)
