"""At the desk: what is saved is made again, what is broken keeps the last good documents, the browser follows."""

from __future__ import annotations

import argparse
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from grader.cli.arguments import parser
from grader.cli.console import Console
from grader.cli.publish import publish_once
from grader.cli.watching import changes, stamps, watch, watched_files
from tests.hostile.tiny import picture, write_tiny


class _Ended(KeyboardInterrupt):
    """The watch is over."""


def _script(*deeds: Callable[[], object] | None) -> Callable[[float], None]:
    """A wait during which one deed after the other happens; then the watch is interrupted."""
    left = list(deeds)

    def wait(_seconds: float) -> None:
        if not left:
            raise _Ended
        deed = left.pop(0)
        if deed:
            deed()

    return wait


def _seen(folder: Path, *deeds: Callable[[], object] | None) -> list[str]:
    def look() -> dict[Path, tuple[int, int, int]]:
        return stamps(iter(sorted(folder.iterdir())))

    told: list[str] = []
    with pytest.raises(_Ended):
        told.extend(str(change) for change in _kept(changes(look, _script(*deeds), look()), told))
    return told


def _kept(found: Iterator[object], told: list[str]) -> Iterator[object]:
    for each in found:
        told.append(str(each))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "sock.yaml").write_text("one")
    return tmp_path


def test_one_save_is_one_change(folder: Path) -> None:
    assert _seen(folder, None, lambda: (folder / "sock.yaml").write_text("two!"), None, None) == ["sock.yaml"]


def test_several_saves_in_a_row_are_one_change(folder: Path) -> None:
    def save(text: str) -> Callable[[], object]:
        return lambda: (folder / "sock.yaml").write_text(text)

    assert _seen(folder, save("a"), save("ab"), save("abc"), None, None, None) == ["sock.yaml"]


def test_a_save_by_renaming_is_seen_though_size_and_time_agree(folder: Path) -> None:
    def swap() -> None:
        other = folder.parent / "other.yaml"
        shutil.copy2(folder / "sock.yaml", other)
        other.replace(folder / "sock.yaml")

    assert _seen(folder, swap, None, None) == ["sock.yaml"]


def test_a_file_that_goes_and_comes_is_told(folder: Path) -> None:
    told = _seen(
        folder,
        (folder / "sock.yaml").unlink,
        None,
        None,
        lambda: (folder / "sock.yaml").write_text("new"),
        None,
        None,
    )
    assert told == ["sock.yaml (gone)", "sock.yaml"]


def test_parts_templates_and_translations_are_watched(tmp_path: Path) -> None:
    own = tmp_path / "mine.yaml"
    for name in ("mine.yaml", "mine.de.yaml", "other.de.yaml", "parts/cuff-own.yaml", "looks/style.yaml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("x")
    names = {path.name for path in watched_files(own, tmp_path / "looks")}
    assert {"mine.yaml", "mine.de.yaml", "cuff-own.yaml", "style.yaml", "pattern.md.j2"} <= names
    assert "other.de.yaml" not in names


def _arguments(pattern: Path, out: Path) -> argparse.Namespace:
    typed = ["publish", str(pattern), "--out", str(out), "--sizes", "8", "--needles", "magic-loop", "--watch"]
    return parser().parse_args(typed)


def test_a_broken_pattern_keeps_the_last_good_documents(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pattern, out = tmp_path / "sock.yaml", tmp_path / "out"
    good = Path("patterns/ninepenny_bridge.yaml").read_text()
    pattern.write_text(good)
    kept: list[bytes] = []

    def document() -> bytes:
        return next(out.glob("*.pdf")).read_bytes()

    deeds = (
        lambda: kept.append(document()),
        lambda: pattern.write_text(good.replace("heel_rows / 2 + 1", "heel_rows / 2 + 9")),
        None,
        lambda: kept.append(document()),
        lambda: pattern.write_text(good.replace("plain socks", "plainer socks")),
        None,
    )
    times = iter(range(100))
    code = watch(_arguments(pattern, out), Console(), publish_once, wait=_script(*deeds), clock=lambda: next(times))
    told = capsys.readouterr()
    assert code == 0
    assert kept[0] == kept[1]
    assert len(list(out.glob("*.pdf"))) == 2, "the mended pattern has another title"
    assert told.out.count("made in 1.00 s") == 2
    assert told.out.count("not made; the last good documents stand in 1.00 s") == 1
    assert "sock.yaml:" in told.err
    assert told.out.rstrip().endswith("stopped; the last good documents stand")


def test_what_the_system_refuses_is_told_and_the_watch_goes_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The folder of documents becomes a file and a folder again; pattern and folder go and come back."""
    home, out = tmp_path / "home", tmp_path / "out"
    home.mkdir()
    pattern = write_tiny(home, 'summary: "![It](x.png)"\n', name="ti[n]y.yaml")
    (home / "x.png").write_bytes(picture())
    good = pattern.read_text(encoding="utf-8")

    def lose() -> None:
        shutil.rmtree(out)
        out.write_text("in the way")
        pattern.write_text(good + "# a\n")

    def take_away() -> None:
        shutil.rmtree(home)
        out.unlink()

    def bring_back() -> None:
        home.mkdir()
        pattern.write_text(good)
        (home / "x.png").write_bytes(picture())

    deeds = (None, lose, None, None, take_away, None, None, bring_back, None, None)
    deeds += (lambda: (home / "x.png").write_bytes(b"broken"), None, (home / "x.png").unlink, None, None)
    typed = ["publish", str(pattern), "--out", str(out), "--edition", "web", "--watch"]
    code = watch(parser().parse_args(typed), Console(), publish_once, wait=_script(*deeds), clock=lambda: 0.0)
    told = capsys.readouterr()
    assert code == 0
    assert "Traceback" not in told.err
    assert f"grader: {out}: a file of that name is in the way" in told.err
    assert "ti[n]y.yaml:1:1: there is no such file" in told.err
    assert "the picture x.png is neither PNG nor JPEG" in told.err
    assert "the picture x.png is not there" in told.err
    assert told.out.count("not made; the last good documents stand") == 4
    assert len(re.findall("^made in", told.out, re.MULTILINE)) == 2
    assert list(out.iterdir()) == [out / "tiny-web.html"]


def test_a_folder_that_may_not_be_looked_into_is_passed_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> object:
        raise PermissionError(13, "Permission denied", "parts")

    (tmp_path / "mine.yaml").write_text("x")
    monkeypatch.setattr(Path, "glob", refused)
    assert list(watched_files(tmp_path / "mine.yaml", tmp_path)) == [tmp_path / "mine.yaml"]
    assert set(stamps(watched_files(tmp_path / "mine.yaml", None, [Path("a\0b")]))) == {tmp_path / "mine.yaml"}
