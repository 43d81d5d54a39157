"""Files are written whole or not at all, whatever breaks and whenever."""

from __future__ import annotations

import fcntl
import os
import shutil
import signal
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest

from grader import storing
from grader.storing import store
from tests.validation.kills import Desk, Moment, kill_once, pair_once, prepare

OLD = {"a.md": b"old a", "b.pdf": b"old b", "c.svg": b"old c"}
NEW = {"a.md": b"new a", "b.pdf": b"new b" * 100_000, "c.svg": b"new c", "d.md": b"new d"}
STEPS = {
    "mkstemp": (tempfile, "mkstemp", len(NEW)),
    "fdopen": (os, "fdopen", len(NEW)),
    "fsync": (os, "fsync", len(NEW)),
    "chmod": (os, "chmod", len(NEW)),
    "link": (os, "link", len(OLD)),
    "replace": (os, "replace", len(NEW)),
}


def _there(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def _crowd(turn: Callable[..., AbstractContextManager[bool]], folder: Path, number: int) -> tuple[int, int]:
    """So many threads take their turn at once: how many are still inside at the end, and were at the most."""
    inside, most = 0, 0
    guard = threading.Lock()

    def one() -> None:
        nonlocal inside, most
        with turn(folder, lambda _: None) as alone:
            assert alone
            with guard:
                inside += 1
                most = max(most, inside)
            time.sleep(0.002)
            with guard:
                inside -= 1

    threads = [threading.Thread(target=one) for _ in range(number)]
    for each in threads:
        each.start()
    for each in threads:
        each.join(timeout=20)
    return inside, most


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, content in OLD.items():
        (tmp_path / name).write_bytes(content)
    return tmp_path


def _breaking(real: Callable[..., object], call: int, mistake: BaseException) -> Callable[..., object]:
    """The real function, but for its call of that number."""
    calls = 0

    def instead(*args: object, **options: object) -> object:
        nonlocal calls
        calls += 1
        if calls == call:
            raise mistake
        return real(*args, **options)

    return instead


def test_new_files_take_the_place_of_the_old(folder: Path) -> None:
    assert store(folder, NEW) == [folder / name for name in NEW]
    assert _there(folder) == NEW
    assert {os.stat(folder / name).st_mode & 0o777 for name in NEW} == {0o644}


def test_a_folder_is_made_with_all_above_it(tmp_path: Path) -> None:
    store(tmp_path / "one" / "two", {"x": b"x"})
    assert (tmp_path / "one" / "two" / "x").read_bytes() == b"x"


@pytest.mark.parametrize("mistake", [OSError(28, "No space left on device"), KeyboardInterrupt()], ids=["full", "stop"])
@pytest.mark.parametrize(("step", "call"), [(step, call + 1) for step in STEPS for call in range(STEPS[step][2])])
def test_whatever_breaks_the_old_files_stand(
    step: str, call: int, mistake: BaseException, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if step == "link" and isinstance(mistake, OSError):
        mistake = MemoryError()  # a file system without links is no mistake: see below
    module, name, _ = STEPS[step]
    with monkeypatch.context() as broken:
        broken.setattr(module, name, _breaking(getattr(module, name), call, mistake))
        with pytest.raises(type(mistake)):
            store(folder, NEW)
    assert _there(folder) == OLD


@pytest.mark.parametrize("call", [1, 2, 3, 4])
def test_a_write_that_breaks_leaves_the_old_files(call: int, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk is full in the middle of a file."""
    real = os.fdopen

    class Full:
        def __init__(self, handle: int, mode: str) -> None:
            self.out = real(handle, mode)

        def __enter__(self) -> Full:
            return self

        def __exit__(self, *_: object) -> None:
            self.out.close()

        def write(self, content: bytes) -> int:
            self.out.write(content[:2])
            raise OSError(28, "No space left on device")

    count = 0

    def opened(handle: int, mode: str) -> object:
        nonlocal count
        count += 1
        return Full(handle, mode) if count == call else real(handle, mode)

    with monkeypatch.context() as broken:
        broken.setattr(os, "fdopen", opened)
        with pytest.raises(OSError, match="No space"):
            store(folder, NEW)
    assert _there(folder) == OLD


@pytest.mark.parametrize("breaks", [False, True])
def test_a_file_system_without_links_serves_too(breaks: bool, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_args: object, **_options: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    with monkeypatch.context() as poor:
        poor.setattr(os, "link", refused)
        if breaks:
            poor.setattr(os, "replace", _breaking(os.replace, 3, OSError(5, "Input/output error")))
            with pytest.raises(OSError, match="Input/output"):
                store(folder, NEW)
        else:
            store(folder, NEW)
    assert _there(folder) == (OLD if breaks else NEW)


def test_a_folder_in_the_place_of_a_file_is_refused(folder: Path) -> None:
    (folder / "d.md").mkdir()
    with pytest.raises(OSError, match="directory"):
        store(folder, NEW)
    shutil.rmtree(folder / "d.md")
    assert _there(folder) == OLD


def test_a_link_is_replaced_and_what_it_points_to_stays(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "kept"
    elsewhere.write_bytes(b"kept")
    (folder / "d.md").symlink_to(elsewhere)
    store(folder, NEW)
    assert elsewhere.read_bytes() == b"kept"
    assert not (folder / "d.md").is_symlink()


def test_what_a_killed_run_left_is_swept_and_nothing_else(folder: Path) -> None:
    for name in (".grader-abcdefgh.part", ".grader-a_2defgh.old", ".grader.lock"):
        (folder / name).write_bytes(b"left")
    theirs = {".grader-mine.part": b"x", ".part": b"x", "grader-abcdefgh.part": b"x", ".a.md.abcdefgh.part": b"x"}
    for name, content in theirs.items():
        (folder / name).write_bytes(content)
    store(folder, NEW)
    assert _there(folder) == NEW | theirs


def test_two_that_write_into_one_folder_take_turns(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The other finds the lock taken, says so, and comes after; what it finds half written it leaves alone."""
    said: list[str] = []
    other = threading.Thread(target=store, args=(folder, {"a.md": b"other"}, said.append))
    real = os.replace
    seen: list[bytes] = []

    def slow(part: Path, place: Path) -> None:
        if not other.ident:
            other.start()
            while not said:
                time.sleep(0.001)
        real(part, place)
        seen.append((folder / "a.md").read_bytes())

    monkeypatch.setattr(os, "replace", slow)
    store(folder, NEW)
    other.join(timeout=10)
    assert said == [f"another run is writing into {folder}; waiting for it"]
    assert seen == [b"new a"] * len(NEW) + [b"other"]
    assert _there(folder) == NEW | {"a.md": b"other"}


def test_a_lock_that_is_taken_away_while_somebody_waits_is_taken_anew(folder: Path) -> None:
    """Many at once, so that some wait for a file that is gone by the time they have it."""
    inside, most = _crowd(storing._turn, folder, 20)
    assert (most, inside) == (1, 0)
    assert _there(folder) == OLD


class _Windows:
    """What differs there: a byte of a file is locked, and a file that somebody has open can't be taken away."""

    platform, LK_UNLCK, LK_LOCK, LK_NBLCK, LK_NBRLCK = "win32", 0, 1, 2, 4

    def __init__(self) -> None:
        self.guard, self.held, self.open = threading.Lock(), dict[int, int](), dict[int, str]()

    def locking(self, handle: int, mode: int, _bytes: int) -> None:
        file = os.fstat(handle).st_ino
        until = time.monotonic() + (0.05 if mode == self.LK_LOCK else 0)  # ten seconds there
        while True:
            with self.guard:
                if mode == self.LK_UNLCK:
                    assert self.held.pop(file) == handle
                    return
                if file not in self.held:
                    self.held[file] = handle
                    return
            if time.monotonic() >= until:
                raise OSError(36, "Resource deadlock avoided")
            time.sleep(0.001)

    def opened(self, place: Path, flags: int, mode: int = 0o777) -> int:
        with self.guard:
            handle = os.open(place, flags, mode)
            self.open[handle] = os.fspath(place)
            return handle

    def close(self, handle: int) -> None:
        with self.guard:
            os.close(handle)
            del self.open[handle]

    def link(self, *_places: Path, follow_symlinks: bool = True) -> None:
        if not follow_symlinks:
            raise NotImplementedError("link: follow_symlinks unavailable on this platform")

    def unlink(self, place: Path) -> None:
        with self.guard:
            if os.fspath(place) in self.open.values():
                raise PermissionError(13, "The process cannot access the file because it is being used")
            os.unlink(place)


def test_turns_are_taken_on_windows_too(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lines for that system, run on this one with what differs put in their place."""
    system = _Windows()
    monkeypatch.setitem(sys.modules, "msvcrt", system)
    source = Path(storing.__file__).read_text(encoding="utf-8")
    there = ModuleType("storing_there")
    monkeypatch.setattr(sys, "platform", "win32")
    exec(compile(source, storing.__file__, "exec"), there.__dict__)
    monkeypatch.undo()
    there.__dict__["sys"] = SimpleNamespace(platform="win32")
    there.__dict__["os"] = SimpleNamespace(
        **vars(os) | {each: getattr(system, each) for each in ("close", "unlink", "link")}
    )
    there.__dict__["os"].open = system.opened
    inside, most = _crowd(there.__dict__["_turn"], folder, 12)
    assert (most, inside, system.held, system.open) == (1, 0, {}, {})
    there.__dict__["store"](folder, NEW)
    assert _there(folder) == NEW


def test_a_disk_without_locks_serves_too_and_nothing_is_swept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_args: object) -> None:
        raise OSError(38, "Function not implemented")

    (folder / ".grader-abcdefgh.part").write_bytes(b"another run's, for all we know")
    monkeypatch.setattr(fcntl, "flock", refused)
    store(folder, NEW)
    assert {name for name in _there(folder) if name.startswith(".grader-")} == {".grader-abcdefgh.part"}


def test_what_is_not_to_be_replaced_stays(folder: Path) -> None:
    with pytest.raises(FileExistsError):
        store(folder, {"d.md": b"new", "a.md": b"new"}, replace=False)
    assert _there(folder) == OLD


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return prepare(tmp_path_factory.mktemp("desk"), ["publish"])


@pytest.mark.parametrize(("sent", "moment"), [(signal.SIGTERM, "working"), (signal.SIGKILL, "writing")])
def test_a_run_that_is_ended_leaves_whole_documents_and_no_process(
    desk: Desk, sent: signal.Signals, moment: Moment
) -> None:
    """`python -m tests.validation.kills` does so at many moments and in other ways."""
    assert kill_once(desk, "publish", 2, sent, moment) == []


def test_two_runs_into_one_folder_leave_all_of_one(desk: Desk) -> None:
    assert pair_once(desk, "publish", 1, 0) == []
