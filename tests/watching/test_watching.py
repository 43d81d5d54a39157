"""At the desk: what is saved is made again, what is broken keeps the last good documents, the browser follows."""

from __future__ import annotations

import argparse
import http.client
import re
import shutil
import socket
import struct
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from grader.cli.arguments import UsageError, parser
from grader.cli.console import Console
from grader.cli.preview import Preview
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


def test_a_browser_that_goes_away_is_not_spoken_of(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    made = tmp_path / "sock.html"
    made.write_bytes(b"x" * 4_000_000)
    with Preview() as preview:
        preview.show(True, [], [made])
        address = ("127.0.0.1", int(preview.address.rstrip("/").rpartition(":")[2]))
        for _ in range(3):
            with socket.create_connection(address, timeout=5) as client:
                client.sendall(b"GET /made/sock.html HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
                client.recv(10)
                client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # reset, not ended
        assert _get(preview, "/made/sock.html")[0] == 200
        preview.show(True, [], [])
        assert _get(preview, "/events?since=0")[0] == 200
    assert capfd.readouterr().err == ""


def _get(preview: Preview, path: str, host: str = "127.0.0.1") -> tuple[int, str]:
    port = int(preview.address.rstrip("/").rpartition(":")[2])
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    connection.request("GET", path, headers={"Host": f"{host}:{port}"})
    answer = connection.getresponse()
    text = answer.read().decode("utf-8", "replace")
    connection.close()
    return answer.status, text


def test_the_browser_sees_the_documents_and_the_findings(tmp_path: Path) -> None:
    made = tmp_path / "a sock.html"
    made.write_text("<p>the sock</p>")
    with Preview() as preview:
        preview.show(True, ["wrote it", "remark: <so>"], [made])
        status, page = _get(preview, "/")
        assert (status, "remark: &lt;so&gt;" in page, "wrote it" in page) == (200, True, False)
        assert _get(preview, "/made/a%20sock.html") == (200, "<p>the sock</p>")
        preview.show(False, ["error"], [])
        assert "last good documents" in _get(preview, "/")[1]
        assert _get(preview, "/made/a%20sock.html")[0] == 200


def test_who_waits_is_told_of_the_next_build(tmp_path: Path) -> None:
    with Preview() as preview:
        preview.show(True, [], [])
        assert _get(preview, "/events?since=0") == (200, "data: 1\n\n")


@pytest.mark.parametrize("path", ["/made/../secret", "/made/..%2Fsecret", "/secret", "/made/%2Fetc%2Fpasswd", "/made/"])
def test_nothing_but_what_was_made_is_shown(tmp_path: Path, path: str) -> None:
    (tmp_path / "secret").write_text("s")
    made = tmp_path / "out" / "sock.txt"
    made.parent.mkdir()
    made.write_text("sock")
    with Preview() as preview:
        preview.show(True, [], [made])
        assert _get(preview, path)[0] == 404


def test_only_this_machine_is_answered() -> None:
    with Preview() as preview:
        assert _get(preview, "/", host="elsewhere.example")[0] == 403
        assert _get(preview, "/", host="localhost")[0] == 200


def test_a_port_that_cannot_be_had_is_told() -> None:
    with Preview() as preview, pytest.raises(UsageError, match="can't be had"):
        Preview(int(preview.address.rstrip("/").rpartition(":")[2]))
