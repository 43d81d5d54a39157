"""Files are written whole or not at all, whatever breaks and whenever."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from grader.storing import store

ROOT = Path(__file__).resolve().parents[2]
OLD = {"a.md": b"old a", "b.pdf": b"old b", "c.svg": b"old c"}
NEW = {"a.md": b"new a", "b.pdf": b"new b" * 100_000, "c.svg": b"new c", "d.md": b"new d"}
STOPPED = (130, -signal.SIGINT)  # the same to a shell; the interpreter may end itself by the signal it was sent
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


@pytest.mark.parametrize("after", [0.1, 0.3, 0.5])
def test_an_interruption_leaves_old_files_whole(after: float, tmp_path: Path) -> None:
    """Ctrl-C at some moment of `publish`: either every document is the old one, or every one is new.

    The clock begins when the interpreter is up: what it does of an interruption before that is its own affair.
    """
    begin = "import runpy; print('up', flush=True); runpy.run_module('grader', run_name='__main__', alter_sys=True)"
    names = [f"ninepenny-bridge-plain-socks.{kind}" for kind in ("md", "pdf", "svg")]
    for name in names:
        (tmp_path / name).write_bytes(b"old")
    with subprocess.Popen(
        [sys.executable, "-c", begin, "publish", "ninepenny_bridge", "--out", str(tmp_path)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as command:
        assert command.stdout is not None
        assert command.stdout.readline() == "up\n"
        time.sleep(after)
        command.send_signal(signal.SIGINT)
        out, err = command.communicate(timeout=30)
    assert {path.name for path in tmp_path.iterdir()} == set(names)
    stand = {(tmp_path / name).read_bytes() == b"old" for name in names}
    assert len(stand) == 1
    assert out == ""
    if stand == {False}:
        assert command.returncode in (0, *STOPPED)
    else:
        assert command.returncode in STOPPED, err
        assert "Traceback" not in err or "grader: stopped" not in err  # a traceback only before the program began
