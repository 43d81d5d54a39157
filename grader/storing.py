"""Writing files whole or not at all: an interruption at any point leaves the old files as they were."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path


def store(folder: Path, files: dict[str, bytes]) -> list[Path]:
    """Write all files into a folder (made if need be) and give their paths.

    Every file is written beside its place and synced before the first is moved in; a move within a
    folder replaces the old file in one step, and a move that fails takes back those before it.
    `OSError` if the folder can't be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    waiting: list[tuple[Path, Path]] = []
    try:
        for name, content in files.items():
            handle, path = tempfile.mkstemp(prefix=f".{name}.", suffix=".part", dir=folder)
            waiting.append((Path(path), folder / name))
            with os.fdopen(handle, "wb") as out:
                out.write(content)
                out.flush()
                os.fsync(out.fileno())
            os.chmod(path, 0o644)
        _move_in(waiting)
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
    kept = part.with_suffix(".old")
    try:
        os.link(place, kept, follow_symlinks=False)
    except OSError:
        shutil.copy2(place, kept, follow_symlinks=False)
    return kept
