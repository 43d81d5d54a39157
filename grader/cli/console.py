"""What the commands say and ask: plain when piped, with progress when somebody is watching."""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

from grader.cli.arguments import UsageError


class Console:
    """Standard output for results, standard error for everything about them."""

    def __init__(self, quiet: bool = False) -> None:
        self.quiet = quiet
        self.began = time.monotonic()
        self.drawn = False
        self.said: list[str] = []  # what was warned of and told since `fresh`, for who shows it elsewhere
        self.files: list[Path] = []  # what was written since then

    def fresh(self) -> None:
        """Begin anew: an empty terminal, if there is one, and nothing said or written yet."""
        self.began = time.monotonic()
        self.said.clear()
        self.files.clear()
        if self.watched and sys.stdout.isatty():
            print("\x1b[2J\x1b[H", end="", flush=True)

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
        print(text)

    def tell(self, text: str) -> None:
        """Something about it; silent if quiet."""
        self.said.append(text)
        if not self.quiet:
            self.clear()
            print(text, file=sys.stderr)

    def warn(self, text: str) -> None:
        """What went wrong; never silent."""
        self.said.append(text)
        self.clear()
        print(self.emphasised(text), file=sys.stderr)

    def emphasised(self, text: str) -> str:
        """The first line in bold on a terminal, unless NO_COLOR is set."""
        if not sys.stderr.isatty() or "NO_COLOR" in os.environ:
            return text
        first, _, rest = text.partition("\n")
        return f"\x1b[1m{first}\x1b[0m" + (f"\n{rest}" if rest else "")

    def progress(self, what: str, done: int, whole: int) -> None:
        """A line that counts up, once the work has taken a second."""
        if self.watched and time.monotonic() - self.began > 1 and whole:
            print(f"\r{what} {done} of {whole}", end="", file=sys.stderr, flush=True)
            self.drawn = True

    def clear(self) -> None:
        """Take the progress line away."""
        if self.drawn:
            print("\r\x1b[K", end="", file=sys.stderr, flush=True)
            self.drawn = False

    def ask(self, question: str, option: str) -> str:
        """Ask by hand for what an option would give; `UsageError` where nobody is there to answer."""
        missing = UsageError(f"{question} is missing; give it with {option}")
        if not sys.stdin.isatty():
            raise missing
        self.clear()
        print(f"{question}: ", end="", file=sys.stderr, flush=True)
        answer = sys.stdin.readline().strip()
        if not answer:
            raise missing
        return answer
