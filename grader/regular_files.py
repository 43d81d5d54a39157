"""Reading what a designer names: whole regular files within a limit, and in plain words why one can't be read.

A pipe would be waited for without end, and a device may never end; neither is a file that somebody wrote.
"""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

_BINARY = getattr(os, "O_BINARY", 0)  # asked for on one system and unknown on the others
_AT_ONCE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0)
_REASONS = {
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "a file stands where a folder is named",
    errno.EISDIR: "this is a folder, not a file",
    errno.EEXIST: "a file of that name is in the way",
    errno.EACCES: "this may not be read or written here",
    errno.EPERM: "this may not be read or written here",
    errno.EROFS: "nothing can be written there",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "no more room is allowed there",
    errno.EFBIG: "the file grows too large for its disk",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "its links lead round in a circle",
    errno.EILSEQ: "this system has no such characters in the names of files",
    errno.EADDRINUSE: "another program has it",
    errno.EAGAIN: "the system has no more processes or memory to give",
    errno.ENOMEM: "there is not enough memory",
    errno.EMFILE: "too many files are open",
    errno.EIO: "the disk can't be read or written",
}


def read_regular(path: str | os.PathLike[str], most: int) -> bytes:
    """The bytes of a file, but no more than `most` and one, which tells that there are more.

    Raises:
        OSError: it can't be read, or is no regular file; the name is in it, and `why_not` says what is wrong.
    """
    with naming(path):
        _let_in(os.stat(path).st_mode)
        handle = os.open(path, os.O_RDONLY | _BINARY | _AT_ONCE)
        with os.fdopen(handle, "rb") as file:
            _let_in(os.fstat(handle).st_mode)  # what was looked at may be another thing by now
            return file.read(most + 1)


def lies_beside(name: str, folders: Sequence[Path]) -> tuple[Path | None, str]:
    """The file of that name in, or below, the first of the folders that has it; None and in plain words why not.

    What leads elsewhere is refused: another folder, the root, an address, a link that points out of its folder.
    """
    if not name.strip() or "\0" in name:
        return None, "has no name that a file can have"
    if ":" in name or "\\" in name or name.startswith("/") or ".." in name.split("/"):
        return None, "lies elsewhere"
    for folder in folders:
        try:
            place = folder / name
            if not os.path.lexists(place):
                continue
            if not place.resolve().is_relative_to(folder.resolve()):
                return None, "is a link that leads elsewhere"
            _let_in(place.stat().st_mode)
            return place, ""
        except OSError as mistake:
            return None, f"can't be read: {why_not(mistake)}"
        except (RuntimeError, ValueError):  # links in a circle; a name that the system can't hold
            return None, "has no name that a file can have"
    return None, "is not there"


def _let_in(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, "this is a pipe or a device, not a file")


@contextmanager
def naming(path: str | os.PathLike[str], instead: bool = False) -> Iterator[None]:
    """Every `OSError` that leaves it names a file: this one where the system names none, or `instead` of any other.

    A name that the system can't hold (a null character, or letters that its encoding lacks) is one as well.
    """
    try:
        yield
    except OSError as mistake:
        if instead or not mistake.filename:
            mistake.filename = os.fspath(path)
        raise
    except UnicodeEncodeError as mistake:
        raise OSError(errno.EILSEQ, os.strerror(errno.EILSEQ), os.fspath(path)) from mistake
    except ValueError as mistake:  # a null character
        raise OSError(errno.EINVAL, "no file can have this name", os.fspath(path)) from mistake


def why_not(mistake: OSError) -> str:
    """In plain words why a file can't be read or written."""
    said = _REASONS.get(mistake.errno or 0) or mistake.strerror or str(mistake) or "it can't be read or written"
    return said[:1].lower() + said[1:]


def told(mistake: OSError) -> str:
    """The file that a mistake names and why it can't be read or written; the reason alone where none is named."""
    named = mistake.filename2 or mistake.filename  # where one was to be moved to another, it is the other
    name = os.fsdecode(named) if isinstance(named, (str, bytes)) else ""
    return f"{name}: {why_not(mistake)}" if name else why_not(mistake)
