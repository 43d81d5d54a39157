"""The outermost guard: a command that goes on and on is ended, whatever it is at. No stage reads a clock."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from grader.vocabulary.budget import allowed, too_much


class OutOfTime(KeyboardInterrupt):
    """More processor time than any work of ours takes; what was begun is tidied away as for an interruption."""

    def __init__(self) -> None:
        super().__init__("; ".join(too_much("seconds")))


@contextmanager
def in_time() -> Iterator[None]:
    """Within it `OutOfTime` is raised once the process has taken its seconds; never where there is no such clock.

    Processes that it forks have their own time. It is left as it is where somebody else has set that clock.
    """
    mine = threading.current_thread() is threading.main_thread() and hasattr(signal, "SIGPROF")
    if not mine or signal.getsignal(signal.SIGPROF) is not signal.SIG_DFL:
        yield
        return
    signal.signal(signal.SIGPROF, _stop)
    signal.setitimer(signal.ITIMER_PROF, allowed("seconds"))
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, signal.SIG_DFL)


def _stop(_number: int, _frame: FrameType | None) -> None:
    raise OutOfTime
