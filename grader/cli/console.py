"""What the commands say and ask: plain when piped, with progress when somebody is watching."""

from __future__ import annotations

import os
import re
import sys
import time
from pathlib import Path
from typing import TextIO

from grader.cli.arguments import UsageError
from grader.cli.streams import is_unicode, plainly, silence
from grader.regular_files import naming, why_not

_BYTES = re.compile("[\ud800-\udfff]")  # of names that are no text


class Console:
    """Standard output for results, standard error for everything about them."""

    def __init__(self, quiet: bool = False) -> None:
        self.quiet = quiet
        self.began = time.monotonic()
        self.drawn = False
        self.said: list[str] = []  # what was warned of and told since `fresh`, for who shows it elsewhere
        self.files: list[Path] = []  # what was written since then
        self.unheard = False  # whoever listened has gone, as `head` does
        self.lost: dict[str, OSError] = {}  # what was said and could not be written, by the name of its stream

    def fresh(self) -> None:
        """Begin anew: an empty terminal, if there is one, and nothing said or written yet."""
        self.began = time.monotonic()
        self.said.clear()
        self.files.clear()
        if self.watched and sys.stdout.isatty():
            self._put("\x1b[2J\x1b[H", sys.stdout, end="", flush=True)

    def wrote(self, path: Path) -> None:
        """A file that is written now."""
        self.files.append(path)
        self.tell(f"wrote {path}")

    @property
    def watched(self) -> bool:
        """True if standard error is a terminal and may be redrawn."""
        return not self.quiet and sys.stderr.isatty() and os.environ.get("TERM") != "dumb"

    def result(self, text: str) -> None:
        """Something asked for."""
        self.clear()
        self._put(text, sys.stdout)

    def file(self, text: str) -> None:
        """What is kept as a file of ours, which are in UTF-8 whatever a terminal speaks."""
        reconfigure = getattr(sys.stdout, "reconfigure", None)
        if reconfigure is not None and not sys.stdout.isatty():
            reconfigure(encoding="utf-8")
        self.result(text)

    def tell(self, text: str) -> None:
        """Something about it; silent if quiet."""
        self._note(text)
        if not self.quiet:
            self.clear()
            self._put(text, sys.stderr)

    def warn(self, text: str) -> None:
        """What went wrong; never silent."""
        self._note(text)
        self.clear()
        self._put(self.emphasised(text), sys.stderr)

    def fail(self, text: str) -> None:
        """Why there is nothing; never silent."""
        self.clear()
        self._put(text, sys.stderr, flush=True)

    def json(self, value: object) -> None:
        """A result for another program: characters that can't be said as they are stand there as their numbers."""
        import json

        text = json.dumps(value, ensure_ascii=False, indent=1)
        known = is_unicode(sys.stdout) and not _BYTES.search(text)
        self.result(text if known else json.dumps(value, indent=1))

    def ended(self, code: int, otherwise: int) -> int:
        """The exit code at the end: `code`, or `otherwise` where all went well but not all of it could be said."""
        for stream in (sys.stdout, sys.stderr):
            self._put("", stream, end="", flush=True)
        for name, mistake in list(self.lost.items()):
            self.fail(f"grader: {name}: {why_not(mistake)}; not all could be said")
        return otherwise if self.lost and not code else code

    def _note(self, text: str) -> None:
        """Keep what was said, in characters that a page can hold."""
        self.said.append(_BYTES.sub(lambda found: plainly(found[0]), text))

    def _put(self, text: str, stream: TextIO, end: str = "\n", flush: bool = False) -> None:
        """Print, and go on with the work where it can't be printed."""
        try:
            print(text, end=end, file=stream, flush=flush)
        except BrokenPipeError:
            self.unheard = True
            silence(stream)
        except OSError as mistake:
            self.lost["standard output" if stream is sys.stdout else "standard error"] = mistake
            silence(stream)

    def emphasised(self, text: str) -> str:
        """The first line in bold on a terminal, unless NO_COLOR is set."""
        if not sys.stderr.isatty() or "NO_COLOR" in os.environ:
            return text
        first, _, rest = text.partition("\n")
        return f"\x1b[1m{first}\x1b[0m" + (f"\n{rest}" if rest else "")

    def progress(self, what: str, done: int, whole: int) -> None:
        """A line that counts up, once the work has taken a second."""
        if self.watched and time.monotonic() - self.began > 1 and whole:
            self._put(f"\r{what} {done} of {whole}", sys.stderr, end="", flush=True)
            self.drawn = True

    def clear(self) -> None:
        """Take the progress line away."""
        if self.drawn:
            self.drawn = False
            self._put("\r\x1b[K", sys.stderr, end="", flush=True)

    def ask(self, question: str, option: str) -> str:
        """Ask by hand for what an option would give; `UsageError` where nobody is there to answer."""
        missing = UsageError(f"{question} is missing; give it with {option}")
        if not sys.stdin.isatty():
            raise missing
        self.clear()
        self._put(f"{question}: ", sys.stderr, end="", flush=True)
        with naming("standard input"):
            answer = sys.stdin.readline().strip()
        if not answer:
            raise missing
        return answer
