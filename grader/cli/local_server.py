"""A small web server for one person on this machine: whoever else asks, asks too much or too slowly, gets nothing.

A socket of this machine is open to everybody who works on it, and to every page that a browser of this machine shows.
So the address holds a secret that can't be guessed, requests must name this machine and port as their host (a name that
somebody else's page resolves to this machine doesn't), and the browser is told to let no other page frame, read or be
told of what lies here. Connections are few, each is for one request, and each has its time.
"""

from __future__ import annotations

import hmac
import socket
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, HTTPServer, ThreadingHTTPServer
from typing import Any

MOST_CONNECTIONS = 40
MOST_WAITING = 12  # of them, open until there is something new: one for each page that is looked at
SECONDS = 10.0  # for one request, from the first byte to the last of its answer
_CLOSED = "default-src 'none'; frame-ancestors 'none'"
_EVERYWHERE = {
    "Cache-Control": "no-store",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


@dataclass(frozen=True, slots=True)
class Answer:
    """What is sent: a code, the content and its kind, and the content security policy of a page."""

    code: int
    content: bytes
    kind: str = "text/plain; charset=utf-8"
    policy: str = _CLOSED


@dataclass(frozen=True, slots=True)
class Waiting:
    """An answer that goes on: `piece` is asked for the next piece of it until that is the last."""

    piece: Callable[[], tuple[bytes, bool]]


class LocalServer(ThreadingHTTPServer):
    """Answers what stands under the secret; `answer` gets the rest of the path and the query.

    Raises:
        OSError, OverflowError: a port that can't be had.
    """

    daemon_threads = True

    def __init__(self, port: int, secret: str, answer: Callable[[str, str], Answer | Waiting]) -> None:
        self.secret, self.answer = secret, answer
        self.waiting = threading.BoundedSemaphore(MOST_WAITING)
        self._until: dict[socket.socket, float] = {}
        self._guard = threading.Lock()
        super().__init__(("127.0.0.1", port), _Handler)

    @property
    def port(self) -> int:
        """The port that was had."""
        return int(self.server_address[1])

    def process_request(self, request: socket.socket, client_address: Any) -> None:  # type: ignore[override]
        """Serve a connection in a thread of its own, or close it where there are too many."""
        with self._guard:
            is_one_more = len(self._until) < MOST_CONNECTIONS
            if is_one_more:
                self._until[request] = time.monotonic() + SECONDS
        if is_one_more:
            super().process_request(request, client_address)
        else:
            self.shutdown_request(request)

    def shutdown_request(self, request: socket.socket) -> None:  # type: ignore[override]
        """The connection is at its end."""
        with self._guard:
            self._until.pop(request, None)
        super().shutdown_request(request)

    def without_end(self, request: socket.socket) -> None:
        """Let a connection last: it is one that waits."""
        with self._guard:
            if request in self._until:
                self._until[request] = float("inf")

    def service_actions(self) -> None:
        """Several times a second: end the connections whose time is over."""
        now = time.monotonic()
        with self._guard:
            late = [request for request, until in self._until.items() if until < now]
        for request in late:
            try:
                request.shutdown(socket.SHUT_RDWR)  # its thread sees the end, and tidies up
            except OSError:
                continue

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing of a browser that goes away in the middle of an answer."""
        if not isinstance(sys.exception(), OSError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


class _Handler(BaseHTTPRequestHandler):
    """One request of a connection, and its end."""

    protocol_version = "HTTP/1.1"
    timeout = SECONDS
    server: HTTPServer

    def do_GET(self) -> None:
        server = self.server
        assert isinstance(server, LocalServer)
        hosts = {f"{name}:{server.port}" for name in ("127.0.0.1", "localhost")}
        if self.headers.get_all("Host", []) not in [[host] for host in hosts]:
            self._send(Answer(403, b"only from this machine"))
            return
        secret, slash, rest = self.path.removeprefix("/").partition("/")
        if not hmac.compare_digest(secret.encode("utf-8", "replace"), server.secret.encode()) or not slash:
            self._send(Answer(404, b"there is nothing of that name"))
            return
        path, _, query = rest.partition("?")
        answer = server.answer(path, query)
        if isinstance(answer, Answer):
            self._send(answer)
        elif server.waiting.acquire(blocking=False):
            try:
                server.without_end(self.request)
                self._wait(answer)
            finally:
                server.waiting.release()
        else:
            self._send(Answer(503, b"too many pages wait already; close some"))

    def _wait(self, answer: Waiting) -> None:
        self._begin(200, "text/event-stream", _CLOSED)
        last = False
        while not last:
            content, last = answer.piece()
            self.wfile.write(content)
            self.wfile.flush()

    def _send(self, answer: Answer) -> None:
        self._begin(answer.code, answer.kind, answer.policy, len(answer.content))
        self.wfile.write(answer.content)

    def _begin(self, code: int, kind: str, policy: str, length: int | None = None) -> None:
        self.close_connection = True
        self.send_response(code)
        self.send_header("Content-Type", kind)
        if length is not None:
            self.send_header("Content-Length", str(length))
        self.send_header("Connection", "close")
        self.send_header("Content-Security-Policy", policy)
        for name, value in _EVERYWHERE.items():
            self.send_header(name, value)
        self.end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """What the library can't read is answered like all else."""
        if not hasattr(self, "request_version") or self.request_version == "HTTP/0.9":
            self.close_connection = True
            return
        self._send(Answer(code, (message or "this can't be read").encode()))

    def version_string(self) -> str:
        """Nothing of what serves it."""
        return "preview"

    def log_message(self, format: str, *args: object) -> None:
        """Nothing: the terminal is for findings."""
