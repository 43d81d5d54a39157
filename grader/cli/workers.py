"""Work on several cores: in processes that end with this one, however it ends."""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Generator, Iterator
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

from grader.cli.arguments import UsageError

if TYPE_CHECKING:
    from concurrent.futures import Future

_Made = TypeVar("_Made")
_AHEAD = 3  # pieces of work that are handed out for each process; what waits to be taken is held in memory
_WORK: list[Callable[[int], object]] = []  # of a worker process, which inherits it


def worked(work: Callable[[int], _Made], count: int, jobs: int) -> Generator[_Made]:
    """`work(0)` to `work(count - 1)`, in order, on `jobs` cores; what is raised there is raised here.

    Close it, or take all of it: then no process is left. The processes are forked, because a pattern holds formulas,
    which can't be sent to one; where the system can't fork, or for one job, all is done here.
    """
    import multiprocessing

    jobs = min(jobs, count)
    if jobs < 2 or "fork" not in multiprocessing.get_all_start_methods():
        yield from map(work, range(count))
        return
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    with ExitStack() as ending:
        before = frozenset(multiprocessing.active_children())
        pool = ProcessPoolExecutor(jobs, multiprocessing.get_context("fork"), initializer=_begin, initargs=(work,))
        ending.callback(pool.shutdown, wait=True, cancel_futures=True)

        @ending.push
        def _end(kind: type[BaseException] | None, *_about: object) -> None:
            if kind is not None:  # somebody waits no longer: the work at hand needn't be finished
                for process in set(multiprocessing.active_children()) - before:
                    process.terminate()

        at_work: deque[Future[_Made]] = deque()
        handed = 0
        try:
            while handed < count or at_work:
                with _uninterrupted():
                    while handed < count and len(at_work) < jobs * _AHEAD:
                        at_work.append(pool.submit(_do, handed))
                        handed += 1
                yield at_work.popleft().result()
        except BrokenProcessPool:
            gone = "a process that was at work was ended from outside; nothing more was written (try it with --jobs 1)"
            raise UsageError(gone) from None


_ENDING = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Hold signals back while processes are forked, which let them through once they know what to do (`_begin`)."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, _ENDING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin(work: Callable[[int], object]) -> None:
    """What a process does first: leave interruptions to the one that began it, and end when that is gone.

    Each pipe by which a process sees the first one end is held open by those that were forked after it as well, so the
    last ends first, then the one before it, and so on.
    """
    import multiprocessing

    _WORK[:] = [work]
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for each in _ENDING[1:]:
        signal.signal(each, signal.SIG_DFL)
    signal.pthread_sigmask(signal.SIG_UNBLOCK, _ENDING)
    parent = multiprocessing.parent_process()

    def follow() -> None:
        if parent is not None:
            parent.join()
            os._exit(1)

    threading.Thread(target=follow, daemon=True).start()


def _do(place: int) -> Any:
    return _WORK[0](place)
