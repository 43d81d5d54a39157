"""A program that is told to end, by Ctrl-C or from outside, tidies up first."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType


class Stopped(KeyboardInterrupt):
    """The system told the program to end; `code` is what a shell gives for it."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.code = 128 + number


@contextmanager
def stoppable() -> Iterator[None]:
    """Within it a request to end raises `Stopped`, so that files and processes are tidied away on the way out."""
    names = [name for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    if threading.current_thread() is not threading.main_thread():
        names = []  # signals come to the main thread alone
    before = {name: signal.signal(getattr(signal, name), _stop) for name in names if _is_usual(name)}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)


def _is_usual(name: str) -> bool:
    """True where nobody asked that the signal be ignored, as `nohup` does."""
    return signal.getsignal(getattr(signal, name)) is signal.SIG_DFL


def _stop(number: int, _frame: FrameType | None) -> None:
    raise Stopped(number)
