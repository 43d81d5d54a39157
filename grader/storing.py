"""Writing files whole or not at all: an interruption at any point leaves the old files as they were."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def store(folder: Path, files: dict[str, bytes]) -> list[Path]:
    """Write all files into a folder (made if need be) and give their paths.

    Every file is written beside its place and synced before the first is moved in; a move within a
    folder replaces the old file in one step. `OSError` if the folder can't be written.
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
        for part, place in waiting:
            os.replace(part, place)
        return [place for _, place in waiting]
    finally:
        for part, _ in waiting:
            part.unlink(missing_ok=True)
