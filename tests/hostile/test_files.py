"""Files that are no files: folders, pipes, devices, links in a circle, files without end; folders full or locked."""

from __future__ import annotations

import os
import resource
import shutil
import socket
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from grader.cli import main
from grader.loading.source import LARGEST_BYTES
from grader.regular_files import read_regular, told

from .child import run
from .tiny import TINY, write_tiny


def _folder(place: Path) -> None:
    place.mkdir()


def _socket(place: Path) -> None:
    here = Path.cwd()
    os.chdir(place.parent)  # the name of a socket must be short
    try:
        with socket.socket(socket.AF_UNIX) as end:
            end.bind(place.name)
    finally:
        os.chdir(here)


def _endless(place: Path) -> None:
    with place.open("wb") as file:
        file.truncate(1 << 40)  # none of it is on the disk


ODD: dict[str, Callable[[Path], object]] = {
    "a folder": _folder,
    "a pipe": os.mkfifo,
    "a socket": _socket,
    "a device without end": lambda place: place.symlink_to("/dev/zero"),
    "a device with nothing": lambda place: place.symlink_to("/dev/null"),
    "a link to nowhere": lambda place: place.symlink_to("nowhere"),
    "links in a circle": lambda place: place.symlink_to(place.name),
    "nothing in it": lambda place: place.touch(),
    "a file without end": _endless,
    "no text": lambda place: place.write_bytes(bytes(range(256)) * 40),
    "UTF-16": lambda place: place.write_text("title: Tiny", encoding="utf-16"),
}
CLASS = ("--gauge", "28x40", "--needles", "set-of-5", "--out", "out")
PUBLISH = ("publish", "tiny.yaml", "--out", "out", "--edition", "web")
# What is odd -> the file, and a command that reads it.
READ = {
    "pattern": ("odd.yaml", ("check", "odd.yaml")),
    "old version": ("odd.yaml", ("compare", "odd.yaml", "tiny.yaml")),
    "new version": ("odd.yaml", ("compare", "tiny.yaml", "odd.yaml")),
    "swatch": ("odd.yaml", ("swatch", "--stitches", "28 over 10cm", "--for", "odd.yaml")),
    "list": ("odd.csv", ("class", "tiny.yaml", "odd.csv", *CLASS)),
    "part": ("parts/cuff-2x2-rib.yaml", ("check", "tiny.yaml")),
    "catalogue": ("odd.yaml", (*PUBLISH, "--language", "./odd.yaml")),
    "translation": ("tiny.de.yaml", (*PUBLISH, "--language", "de")),
    "style": ("mine/style.yaml", (*PUBLISH, "--templates", "mine")),
    "template": ("mine/pattern.md.j2", (*PUBLISH, "--templates", "mine")),
}


@pytest.fixture
def there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder of one's own to work in."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "parts").mkdir()
    (tmp_path / "mine").mkdir()
    write_tiny(tmp_path)
    yield tmp_path
    shutil.rmtree(tmp_path / "out", ignore_errors=True)


@pytest.mark.parametrize("kind", ODD)
@pytest.mark.parametrize("what", READ)
def test_a_file_that_is_none_is_named_and_nothing_waits_for_it(
    what: str, kind: str, there: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name, words = READ[what]
    if what == "template" and kind == "nothing in it":
        pytest.skip("a template may be empty")
    ODD[kind](there / name)
    code = main(list(words))
    said = "".join(capsys.readouterr())
    assert code in (1, 2), said
    assert name in said, said
    assert not (there / "out").exists()


def test_a_file_is_read_to_its_limit_and_one_byte(tmp_path: Path) -> None:
    place = tmp_path / "x"
    place.write_bytes(b"abc")
    assert [read_regular(place, most) for most in (1, 2, 3, 4)] == [b"ab", b"abc", b"abc", b"abc"]
    place.write_text(f"{TINY}{'#' * LARGEST_BYTES}", encoding="utf-8")
    assert main(["check", str(place)]) == 1


@pytest.mark.parametrize("name", ["a\0b", "x" * 300, "", "a/" * 3000])
def test_a_name_that_no_file_can_have_is_told_as_it_is(name: str) -> None:
    with pytest.raises(OSError) as mistake:  # noqa: PT011
        read_regular(name, 1)
    assert told(mistake.value).startswith(f"{name}: " if name else "there is no such file")


def _little_room() -> None:
    """A disk that takes a thousand bytes: the system then names no file."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))


WRITE: dict[str, tuple[str, str, Callable[[], object]]] = {
    "a file": ("tiny.yaml", "tiny.yaml: a file of that name is in the way", lambda: None),
    "below a file": ("tiny.yaml/out", "tiny.yaml/out: a file stands where a folder is named", lambda: None),
    "a device": ("/dev/full", "/dev/full: a file of that name is in the way", lambda: None),
    "locked": ("/sys", "/sys: this may not be read or written here", lambda: None),
    "no place": ("/proc/out", "/proc/out: there is no such file or folder", lambda: None),
    "a full disk": ("out", "out/tiny-web.html: the file grows too large for its disk", _little_room),
    "a long name": ("x" * 300, f"{'x' * 300}: the name is too long", lambda: None),
}


@pytest.mark.parametrize("kind", WRITE)
def test_a_folder_that_takes_nothing_is_named(kind: str, there: Path) -> None:
    out, said, before = WRITE[kind]
    words = (
        ("publish", "tiny.yaml", "--edition", "web"),
        ("compare", "tiny.yaml", "new.yaml", "--quiet"),
    )
    (there / "new.yaml").write_text(TINY.replace('"1"', '"2"').replace("-8 %", "-10 %"), encoding="utf-8")
    for command in words[: 1 if kind == "a full disk" else 2]:
        found = run(there, *command, "--out", out, before=before)
        assert found.code == 2, found
        assert f"grader: {said}" in found.said
    if (there / "out").exists():
        assert list((there / "out").iterdir()) == []


def test_a_title_that_the_system_has_no_letters_for(there: Path) -> None:
    """The names of files are made of it; the system may know ASCII alone."""
    import subprocess
    import sys

    write_tiny(there, name="frog.yaml")
    frog = (there / "frog.yaml").read_text(encoding="utf-8").replace("title: Tiny", "title: Жаба")
    (there / "frog.yaml").write_text(frog, encoding="utf-8")
    root = str(Path(__file__).resolve().parents[2])
    environment = {"PATH": os.environ["PATH"], "PYTHONPATH": root, "LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}
    command = [sys.executable, "-X", "utf8=0", "-m", "grader", "publish", "frog.yaml", "--edition", "web"]
    found = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert found.returncode == 2, found.stderr
    assert "grader: build/<U+0436>" in found.stderr
    assert "has no such characters in the names of files" in found.stderr
