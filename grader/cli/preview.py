"""A page in the browser of this machine that shows the documents, and follows when they are made anew.

Its address holds a secret, so that nobody else who works on this machine can read along.
"""

from __future__ import annotations

import os
import secrets
import shutil
import sys
import tempfile
import threading
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from html import escape
from pathlib import Path
from types import TracebackType
from urllib.parse import quote, unquote

from grader.cli.arguments import UsageError
from grader.cli.local_server import Answer, LocalServer, Waiting
from grader.regular_files import read_regular, why_not
from grader.storing import store

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

# What the page may load: itself, by a word that is new each time, and what was made. A web page among that may run its
# own script and style and nothing else; nothing may be framed by anything but the page.
_POLICY = (
    "default-src 'none'; script-src 'nonce-{once}'; style-src 'nonce-{once}'; connect-src 'self'; frame-src 'self';"
    " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_FRAMED = "frame-ancestors 'self'"
_MADE = {
    ".html": "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; font-src data:;"
    f" base-uri 'none'; form-action 'none'; {_FRAMED}",
    ".svg": f"default-src 'none'; style-src 'unsafe-inline'; font-src data:; {_FRAMED}",
}

_DOOR = '<!DOCTYPE html><meta http-equiv="refresh" content="0; url={address}"><title>preview</title>'
_PAGE = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style nonce="{once}">
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
<script nonce="{once}">
// The page asks to be told of each new build, and loads itself again; the frame keeps its place where it can.
new EventSource("events?since={number}").onmessage = () => location.reload();
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
    """The server, for who knows its address; to be used in a `with`.

    Raises:
        UsageError: a port that can't be had.
    """

    def __init__(self, port: int = 0) -> None:
        self._state = _State()
        secret = secrets.token_urlsafe(32)
        try:
            self._server = LocalServer(port, secret, self._answer)
        except OSError as mistake:
            raise UsageError(f"preview: port {port} can't be had ({why_not(mistake)})") from mistake
        except OverflowError as mistake:
            raise UsageError(f"preview: port {port} can't be had (they go from 0 to 65535)") from mistake
        self.address = f"http://127.0.0.1:{self._server.port}/{secret}/"
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.1,), daemon=True)
        self._hall: Path | None = None

    def __enter__(self) -> Preview:
        self._thread.start()
        return self

    def __exit__(self, _kind: type[BaseException] | None, _it: BaseException | None, _at: TracebackType | None) -> None:
        with self._state.changed:
            self._state.open = False
            self._state.changed.notify_all()
        self._server.shutdown()
        self._server.server_close()
        if self._hall is not None:
            shutil.rmtree(self._hall, ignore_errors=True)

    def open_browser(self) -> None:
        """Show it in a browser with windows, if there is one; the address stays out of the list of processes.

        A browser is begun with a file that only this user can read, and that sends it on.
        """
        if sys.platform.startswith("linux") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
            return
        import webbrowser

        try:
            self._hall = Path(tempfile.mkdtemp(prefix="grader-preview-"))  # which nobody else can look into
            (door,) = store(self._hall, {"preview.html": _DOOR.format(address=self.address).encode()})
            webbrowser.open_new_tab(door.as_uri())
        except (OSError, webbrowser.Error):
            return  # the address is printed too

    def show(self, sound: bool, said: Sequence[str], files: Sequence[Path]) -> None:
        """A build is done. Files stay on show until there are better ones."""
        with self._state.changed:
            self._state.number += 1
            self._state.sound = sound
            self._state.said = tuple(text for text in said if not text.startswith("wrote "))
            if files:
                self._state.files = {path.name: path for path in files}
            self._state.changed.notify_all()

    def _answer(self, path: str, query: str) -> Answer | Waiting:
        """The page, a file that was made, or word of the next build."""
        if path == "":
            once = secrets.token_urlsafe(16)
            return Answer(200, _page(self._state, once).encode(), "text/html; charset=utf-8", _POLICY.format(once=once))
        if path == "events":
            return Waiting(partial(_news, self._state, _number(query, self._state.number)))
        place = self._state.files.get(unquote(path.removeprefix("made/"))) if path.startswith("made/") else None
        if place is None:
            return Answer(404, b"there is nothing of that name")
        try:
            content = read_regular(place, _LARGEST)
        except OSError:
            return Answer(404, b"it is gone")
        kind = _TYPES.get(place.suffix, "application/octet-stream")
        return Answer(200, content, kind, _MADE.get(place.suffix, _FRAMED))


def _number(query: str, otherwise: int) -> int:
    """The number of the build that is known already."""
    since = query.partition("=")[2]
    return int(since) if since.isascii() and since.isdecimal() and len(since) < 10 else otherwise


def _news(state: _State, known: int) -> tuple[bytes, bool]:
    """Word of a newer build than the one known, or of none so far; True if it is the last word."""
    with state.changed:
        newer = state.changed.wait_for(lambda: state.number > known or not state.open, _BEAT)
        if newer and state.open:
            return f"data: {state.number}\n\n".encode(), True
        return b": still here\n\n", not state.open


def _page(state: _State, once: str) -> str:
    names = sorted(state.files, key=lambda name: (_rank(name), name))
    links = " ".join(f'<a href="made/{quote(name)}">{escape(name)}</a>' for name in names if _rank(name) < len(_SHOWN))
    frame = (
        f'<iframe title="The document" src="made/{quote(names[0])}"></iframe>' if names else "<p>Nothing is made.</p>"
    )
    told = "The documents are new." if state.sound else "Not made: the last good documents stand."
    title = escape(names[0]) if names else "preview"
    said = escape("\n".join(state.said))
    return _PAGE.format(title=title, state=told, told=said, links=links, frame=frame, number=state.number, once=once)


def _rank(name: str) -> int:
    suffix = Path(name).suffix
    return _SHOWN.index(suffix) if suffix in _SHOWN else len(_SHOWN)
