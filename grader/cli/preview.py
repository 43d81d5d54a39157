"""A page in the browser of this machine that shows the documents, and follows when they are made anew."""

from __future__ import annotations

import sys
import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import TracebackType
from urllib.parse import quote, unquote

from grader.cli.arguments import UsageError
from grader.regular_files import read_regular, why_not

_TYPES = {
    ".pdf": "application/pdf",
    ".html": "text/html; charset=utf-8",
    ".svg": "image/svg+xml",
    ".md": "text/plain; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    ".epub": "application/epub+zip",
}
_SHOWN = (".html", ".pdf", ".txt", ".md")  # what a browser can show, the best first
_LARGEST = 1 << 30  # bytes of a document
_BEAT = 15.0  # seconds after which a quiet line keeps a connection open

_PAGE = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>
body {{ margin: 0; font: 1rem/1.5 system-ui, sans-serif; color: #111; background: #fff; display: flex;
  flex-direction: column; height: 100vh }}
header {{ padding: .6rem 1rem; border-bottom: 1px solid #6e2129 }}
h1 {{ font-size: 1.1rem; margin: 0; color: #6e2129 }}
pre {{ margin: .4rem 0; white-space: pre-wrap; max-height: 30vh; overflow: auto }}
nav a {{ margin-right: 1rem; color: #6e2129 }}
main {{ flex: 1; display: flex }}
iframe {{ flex: 1; border: 0 }}
</style></head><body>
<header><h1>{title}</h1>
<div id="told" aria-live="polite"><p>{state}</p><pre>{told}</pre></div>
<nav aria-label="Documents">{links}</nav></header>
<main>{frame}</main>
<script>
// The page asks to be told of each new build, and loads itself again; the frame keeps its place where it can.
new EventSource("/events?since={number}").onmessage = () => location.reload();
</script>
</body></html>
"""


@dataclass(slots=True)
class _State:
    """What the last build came to; `changed` wakes those who wait for the next."""

    number: int = 0
    sound: bool = True
    said: tuple[str, ...] = ()
    files: dict[str, Path] = field(default_factory=dict)
    open: bool = True
    changed: threading.Condition = field(default_factory=threading.Condition)


class Preview:
    """The server, on this machine alone; to be used in a `with`.

    Raises:
        UsageError: a port that can't be had.
    """

    def __init__(self, port: int = 0) -> None:
        self._state = _State()
        try:
            self._server = _Server(("127.0.0.1", port), _handler(self._state))
        except OSError as mistake:
            raise UsageError(f"preview: port {port} can't be had ({why_not(mistake)})") from mistake
        except OverflowError as mistake:
            raise UsageError(f"preview: port {port} can't be had (they go from 0 to 65535)") from mistake
        self._server.daemon_threads = True
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.1,), daemon=True)

    @property
    def address(self) -> str:
        """Where to point the browser."""
        return f"http://127.0.0.1:{self._server.server_address[1]}/"

    def __enter__(self) -> Preview:
        self._thread.start()
        return self

    def __exit__(self, _kind: type[BaseException] | None, _it: BaseException | None, _at: TracebackType | None) -> None:
        with self._state.changed:
            self._state.open = False
            self._state.changed.notify_all()
        self._server.shutdown()
        self._server.server_close()

    def show(self, sound: bool, said: Sequence[str], files: Sequence[Path]) -> None:
        """A build is done. Files stay on show until there are better ones."""
        with self._state.changed:
            self._state.number += 1
            self._state.sound = sound
            self._state.said = tuple(text for text in said if not text.startswith("wrote "))
            if files:
                self._state.files = {path.name: path for path in files}
            self._state.changed.notify_all()


class _Server(ThreadingHTTPServer):
    """One that has nothing to say of a browser that goes away in the middle of an answer."""

    def handle_error(self, request: object, client_address: object) -> None:
        if not isinstance(sys.exception(), OSError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


class _Handler(BaseHTTPRequestHandler):
    """Answers for the page, for the files that were made, and for who waits for the next build."""

    state: _State

    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        host = self.headers.get("Host", "").rpartition(":")[0] or self.headers.get("Host", "")
        if host not in ("127.0.0.1", "localhost"):  # a page elsewhere must not read what lies here
            self._answer(403, b"only from this machine", "text/plain; charset=utf-8")
            return
        path, _, query = self.path.partition("?")
        name = unquote(path.removeprefix("/made/"))
        if path == "/":
            self._answer(200, _page(self.state).encode(), "text/html; charset=utf-8")
        elif path == "/events":
            self._wait(query.partition("=")[2])
        elif path.startswith("/made/") and name in self.state.files:
            self._file(self.state.files[name])
        else:
            self._answer(404, b"there is nothing of that name", "text/plain; charset=utf-8")

    def _file(self, path: Path) -> None:
        try:
            content = read_regular(path, _LARGEST)
        except OSError:
            self._answer(404, b"it is gone", "text/plain; charset=utf-8")
            return
        self._answer(200, content, _TYPES.get(path.suffix, "application/octet-stream"))

    def _wait(self, since: str) -> None:
        """Say so when a newer build than `since` is there."""
        self.send_response(200)
        self.send_header("Content-Type", "text/event-stream")
        self.send_header("Cache-Control", "no-store")
        self.send_header("Connection", "close")
        self.end_headers()
        self.close_connection = True
        known = int(since) if since.isdecimal() else self.state.number
        while self.state.open:
            with self.state.changed:
                newer = self.state.changed.wait_for(lambda: self.state.number > known or not self.state.open, _BEAT)
            try:
                self.wfile.write(
                    f"data: {self.state.number}\n\n".encode() if newer and self.state.open else b": still here\n\n"
                )
                self.wfile.flush()
            except OSError:
                return
            if newer:
                return

    def _answer(self, code: int, content: bytes, kind: str) -> None:
        self.send_response(code)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, format: str, *args: object) -> None:
        """Nothing: the terminal is for findings."""


def _handler(state: _State) -> type[BaseHTTPRequestHandler]:
    """The handler of one server, which knows its state."""
    return type("Handler", (_Handler,), {"state": state})


def _page(state: _State) -> str:
    names = sorted(state.files, key=lambda name: (_rank(name), name))
    links = " ".join(f'<a href="/made/{quote(name)}">{escape(name)}</a>' for name in names if _rank(name) < len(_SHOWN))
    frame = (
        f'<iframe title="The document" src="/made/{quote(names[0])}"></iframe>' if names else "<p>Nothing is made.</p>"
    )
    told = "The documents are new." if state.sound else "Not made: the last good documents stand."
    title = escape(names[0]) if names else "preview"
    said = escape("\n".join(state.said))
    return _PAGE.format(title=title, state=told, told=said, links=links, frame=frame, number=state.number)


def _rank(name: str) -> int:
    suffix = Path(name).suffix
    return _SHOWN.index(suffix) if suffix in _SHOWN else len(_SHOWN)
