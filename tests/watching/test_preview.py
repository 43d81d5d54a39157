"""The preview: whoever has its address sees what was made, nobody else sees anything, and nobody can stop it."""

from __future__ import annotations

import http.client
import os
import re
import socket
import struct
import sys
import threading
import time
import webbrowser
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from grader.cli import local_server
from grader.cli.arguments import UsageError
from grader.cli.preview import Preview


def _place(preview: Preview) -> tuple[str, int]:
    parts = urlsplit(preview.address)
    assert parts.hostname
    assert parts.port
    return parts.hostname, parts.port


def _host(preview: Preview) -> str:
    return urlsplit(preview.address).netloc


def _ask(preview: Preview, path: str, host: str = "", method: str = "GET") -> tuple[http.client.HTTPResponse, str]:
    connection = http.client.HTTPConnection(*_place(preview), timeout=5)
    connection.request(method, path, headers={"Host": host or _host(preview)})
    answer = connection.getresponse()
    text = answer.read().decode("utf-8", "replace")
    connection.close()
    return answer, text


def _get(preview: Preview, path: str, host: str = "") -> tuple[int, str]:
    """What is answered for a path below the address."""
    answer, text = _ask(preview, urlsplit(preview.address).path + path, host)
    return answer.status, text


@pytest.fixture
def preview(tmp_path: Path) -> Iterator[Preview]:
    """One that shows a web page, a drawing and a text."""
    files = [tmp_path / name for name in ("a sock.html", "sock.svg", "sock.txt")]
    for path in files:
        path.write_text(f"<p>{path.suffix}</p>")
    with Preview() as shown:
        shown.show(True, ["wrote it", "remark: <so>"], files)
        yield shown


def test_the_browser_sees_the_documents_and_the_findings(preview: Preview) -> None:
    status, page = _get(preview, "")
    assert (status, "remark: &lt;so&gt;" in page, "wrote it" in page) == (200, True, False)
    (framed,) = re.findall(r'<iframe [^>]*src="([^"]+)"', page)
    assert _get(preview, framed) == (200, "<p>.html</p>")
    preview.show(False, ["error"], [])
    assert "last good documents" in _get(preview, "")[1]
    assert _get(preview, framed)[0] == 200


def test_who_waits_is_told_of_the_next_build(preview: Preview) -> None:
    (source,) = re.findall(r'EventSource\("([^"]+)"\)', _get(preview, "")[1])
    told: list[tuple[int, str]] = []
    waiting = threading.Thread(target=lambda: told.append(_get(preview, source)))
    waiting.start()
    preview.show(True, [], [])
    waiting.join(timeout=5)
    assert told == [(200, "data: 2\n\n")]


@pytest.mark.parametrize("path", ["made/../secret", "made/..%2Fsecret", "secret", "made/%2Fetc%2Fpasswd", "made/"])
def test_nothing_but_what_was_made_is_shown(tmp_path: Path, preview: Preview, path: str) -> None:
    (tmp_path / "secret").write_text("s")
    assert _get(preview, path)[0] == 404


def test_who_does_not_know_the_address_sees_nothing(preview: Preview) -> None:
    """Everybody on the machine can reach the port, and guess the names of documents."""
    secret = urlsplit(preview.address).path.strip("/")
    assert len(secret) >= 32
    with Preview() as other:
        assert urlsplit(other.address).path.strip("/") != secret
    near = (f"/{secret}", f"/{secret[:-1]}/", f"/{secret}x/", f"/{secret.swapcase()}/")
    for path in ("/", "/made/sock.txt", "/events", "//", "/%C3%A9/", "/%00/", *near):
        answer, text = _ask(preview, path)
        assert (answer.status, text) == (404, "there is nothing of that name")


@pytest.mark.parametrize("host", ["elsewhere.example", "elsewhere.example:{port}", "127.0.0.1:1", "[::1]:{port}"])
def test_a_page_elsewhere_whose_name_leads_here_sees_nothing(preview: Preview, host: str) -> None:
    port = _place(preview)[1]
    assert _get(preview, "", host=host.format(port=port))[0] == 403
    assert _get(preview, "", host=f"localhost:{port}")[0] == 200


def test_a_request_names_one_host(preview: Preview) -> None:
    with socket.create_connection(_place(preview), timeout=5) as client:
        begin = f"GET {urlsplit(preview.address).path} HTTP/1.1\r\nHost: {_host(preview)}\r\n"
        client.sendall(f"{begin}Host: elsewhere.example\r\n\r\n".encode())
        assert client.recv(100).startswith(b"HTTP/1.1 403")


@pytest.mark.parametrize("path", ["", "made/a%20sock.html", "made/sock.svg", "made/sock.txt", "nothing"])
def test_browsers_are_told_to_keep_it_to_themselves(preview: Preview, path: str) -> None:
    answer, text = _ask(preview, urlsplit(preview.address).path + path)
    assert answer.getheader("X-Content-Type-Options") == "nosniff"
    assert answer.getheader("Referrer-Policy") == "no-referrer"
    assert answer.getheader("Cache-Control") == "no-store"
    assert answer.getheader("Cross-Origin-Resource-Policy") == "same-origin"
    parts = (answer.getheader("Content-Security-Policy") or "").split(";")
    policy = dict(part.strip().partition(" ")[::2] for part in parts)
    assert policy["frame-ancestors"] == ("'self'" if answer.status == 200 and path else "'none'")
    if not path:
        (once,) = set(re.findall(r'nonce="([^"]+)"', text))
        assert policy["default-src"] == "'none'"
        assert policy["script-src"] == policy["style-src"] == f"'nonce-{once}'"
        assert once not in _get(preview, "")[1]


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE"])
def test_nothing_can_be_sent_to_it(preview: Preview, method: str) -> None:
    assert _ask(preview, urlsplit(preview.address).path, method=method)[0].status == 501


def test_who_is_slow_or_sends_nonsense_holds_nobody_up(preview: Preview, monkeypatch: pytest.MonkeyPatch) -> None:
    """Connections that say nothing, or little by little without end; the time of each is over at last."""
    monkeypatch.setattr(local_server, "SECONDS", 0.5)
    with ExitStack() as open_ones:
        clients = [open_ones.enter_context(socket.create_connection(_place(preview), timeout=5)) for _ in range(9)]
        for number, client in enumerate(clients):
            client.sendall((b"", b"GET / HTTP/1.1\r\nHost: ", b"\x16\x03\x01\x00\r\n")[number % 3])
        assert _get(preview, "")[0] == 200
        began = time.monotonic()
        for client in clients:
            try:
                while client.recv(100):
                    continue
            except ConnectionError:
                continue
        assert time.monotonic() - began < 4
    assert _get(preview, "")[0] == 200


def test_a_letter_now_and_then_is_not_enough_to_stay(preview: Preview, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(local_server, "SECONDS", 0.5)
    with socket.create_connection(_place(preview), timeout=5) as client:
        began = time.monotonic()
        with suppress(ConnectionError):
            while time.monotonic() - began < 5:
                client.sendall(b"x")
                time.sleep(0.02)
        assert time.monotonic() - began < 4


def test_too_many_connections_are_not_let_in_and_it_goes_on_after_them(
    preview: Preview, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(local_server, "MOST_CONNECTIONS", 4)
    threads = threading.active_count()
    with ExitStack() as open_ones:
        for _ in range(local_server.MOST_CONNECTIONS + 4):
            open_ones.enter_context(socket.create_connection(_place(preview), timeout=5))
        time.sleep(0.3)
        with pytest.raises(ConnectionError):
            _get(preview, "")
        assert threading.active_count() - threads <= local_server.MOST_CONNECTIONS
    until = time.monotonic() + 5
    answered = 0
    while answered != 200 and time.monotonic() < until:
        try:
            answered = _get(preview, "")[0]
        except ConnectionError:
            time.sleep(0.05)
    assert answered == 200


def test_too_many_that_wait_are_told_so(preview: Preview) -> None:
    asked = f"GET {urlsplit(preview.address).path}events HTTP/1.1\r\nHost: {_host(preview)}\r\n\r\n".encode()
    with ExitStack() as open_ones:
        for _ in range(local_server.MOST_WAITING):
            client = open_ones.enter_context(socket.create_connection(_place(preview), timeout=5))
            client.sendall(asked)
            assert client.recv(15) == b"HTTP/1.1 200 OK"
        assert _get(preview, "events")[0] == 503
        assert _get(preview, "")[0] == 200


def test_a_browser_that_goes_away_is_not_spoken_of(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    made = tmp_path / "sock.html"
    made.write_bytes(b"x" * 4_000_000)
    with Preview() as preview:
        preview.show(True, [], [made])
        begin = f"GET {urlsplit(preview.address).path}made/sock.html HTTP/1.1\r\nHost: {_host(preview)}\r\n\r\n"
        for _ in range(3):
            with socket.create_connection(_place(preview), timeout=5) as client:
                client.sendall(begin.encode())
                client.recv(10)
                client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # reset, not ended
        assert _get(preview, "made/sock.html")[0] == 200
        preview.show(True, [], [])
        assert _get(preview, "events?since=0")[0] == 200
    assert capfd.readouterr().err == ""


def test_the_browser_is_begun_without_the_address_among_the_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr(webbrowser, "open_new_tab", opened.append)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("DISPLAY", ":0")
    with Preview() as preview:
        preview.open_browser()
        (url,) = opened
        door = Path(urlsplit(url).path)
        assert preview.address not in url
        assert preview.address in door.read_text()
        assert os.stat(door.parent).st_mode & 0o077 == 0
    assert not door.parent.exists()
    monkeypatch.delenv("DISPLAY")
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    with Preview() as preview:
        preview.open_browser()
    assert len(opened) == 1


def test_a_port_that_cannot_be_had_is_told() -> None:
    with Preview() as preview, pytest.raises(UsageError, match="can't be had"):
        Preview(_place(preview)[1])
