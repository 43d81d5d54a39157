"""The program in a process of its own with hostile streams: forked, since that takes no time, and built anew inside."""

from __future__ import annotations

import io
import os
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

UNCAUGHT, TOO_LONG = 99, 98
_PATIENCE = 60.0  # seconds


@dataclass(frozen=True, slots=True)
class Outcome:
    """The exit code, and what came out of the two streams."""

    code: int
    out: bytes
    err: bytes

    @property
    def said(self) -> str:
        """Both together, and no trace of a bug in them."""
        said = (self.out + self.err).decode("utf-8", "backslashreplace")
        assert self.code not in (UNCAUGHT, TOO_LONG), said
        assert "Traceback" not in said, said
        assert "this is a bug" not in said, said
        assert "grader: :" not in said, "a message without a name"
        return said


def run(
    folder: Path,
    *words: str,
    stdin: str = "null",
    stdout: str = "file",
    stderr: str = "file",
    encoding: str = "utf-8",
    environment: dict[str, str | None] | None = None,
    before: Callable[[], object] = lambda: None,
) -> Outcome:
    """Run a command in a folder; a stream is a `file`, `null`, `closed`, `full`, or `broken`: a pipe that nobody reads.

    `before` is called in the new process; None in the `environment` takes a variable away.
    """
    child = _forked(lambda: _inside(folder, words, (stdin, stdout, stderr), encoding, environment or {}, before))
    return Outcome(waited(child), *(_read(folder / f".std{number}") for number in (1, 2)))


def at_terminal(folder: Path, words: Sequence[str], terminal: int, environment: dict[str, str | None]) -> int:
    """Begin a command whose three streams are a terminal; the process, which the caller waits for."""

    def work() -> int:
        for number in range(3):
            os.dup2(terminal, number)
        return _inside(folder, words, ("as it is",) * 3, "utf-8", environment, lambda: None)

    return _forked(work)


def _forked(work: Callable[[], int]) -> int:
    sys.stdout.flush()
    sys.stderr.flush()
    child = os.fork()
    if not child:
        code = UNCAUGHT
        try:
            code = work()
        except BaseException:  # whatever it is, the tests must not go on in two processes
            _last_words()
        finally:
            os._exit(code)
    return child


def _inside(
    folder: Path,
    words: Sequence[str],
    streams: tuple[str, ...],
    encoding: str,
    environment: dict[str, str | None],
    before: Callable[[], object],
) -> int:
    os.chdir(folder)
    for name, value in environment.items():
        os.environ.pop(name, None)
        if value is not None:
            os.environ[name] = value
    for number, kind in enumerate(streams):
        _lay(number, kind)
    closed = [kind == "closed" for kind in streams]
    # as the interpreter begins: nothing for a stream that is closed
    sys.stdin = None if closed[0] else _text(0, "r", encoding, "strict")  # type: ignore[assignment]
    sys.stdout = None if closed[1] else _text(1, "w", encoding, "strict")  # type: ignore[assignment]
    sys.stderr = None if closed[2] else _text(2, "w", encoding, "backslashreplace")  # type: ignore[assignment]
    signal.signal(signal.SIGINT, signal.default_int_handler)
    sys.argv = ["grader", *words]
    tempfile.tempdir = None
    before()
    from grader.__main__ import run as program

    try:
        code = program()
    except SystemExit as end:
        code = int(end.code or 0)
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            stream.flush()  # as the interpreter ends; what fails here is complained of there
    return code


def _lay(number: int, kind: str) -> None:
    if kind == "as it is":
        return
    os.close(number)
    if kind == "closed":
        return
    if kind == "broken":
        reader, writer = os.pipe()
        kept = os.dup(writer)
        for each in {reader, writer} - {number}:
            os.close(each)
        os.dup2(kept, number)
        if kept != number:
            os.close(kept)
        return
    flags = os.O_RDWR | os.O_CREAT | os.O_TRUNC if kind == "file" else os.O_RDWR
    place = {"file": f".std{number}", "null": os.devnull, "full": "/dev/full"}[kind]
    handle = os.open(place, flags, 0o644)
    if handle != number:
        os.dup2(handle, number)
        os.close(handle)


def _text(number: int, mode: str, encoding: str, errors: str) -> io.TextIOWrapper:
    binary = os.fdopen(number, f"{mode}b", closefd=False)
    return io.TextIOWrapper(binary, encoding=encoding, errors=errors, line_buffering=number == 2)


def _last_words() -> None:
    where = traceback.format_exc().encode("utf-8", "backslashreplace")
    handle = os.open(".std2", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
    os.write(handle, where)
    os.close(handle)


def waited(child: int) -> int:
    """The exit code of a process that was begun here; it is ended where it takes too long."""
    until = time.monotonic() + _PATIENCE
    while time.monotonic() < until:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.005)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return TOO_LONG


def _read(place: Path) -> bytes:
    try:
        return place.read_bytes()
    except FileNotFoundError:
        return b""
    finally:
        place.unlink(missing_ok=True)
