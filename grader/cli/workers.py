"""Work on several cores: in processes that end with this one, however it ends."""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Generator, Iterator
from contextlib import contextmanager
from itertools import islice
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from concurrent.futures import Future, ProcessPoolExecutor

_Made = TypeVar("_Made")
_AHEAD = 3  # pieces of work that are handed out for each process; what waits to be taken is held in memory
ENDED = "the process that worked on it was ended from outside, perhaps for want of memory; try it with --jobs 1"
_WORK: list[Callable[[int], object]] = []  # of a worker process, which inherits it


def worked(work: Callable[[int], _Made], count: int, jobs: int) -> Generator[_Made | None]:
    """`work(0)` to `work(count - 1)`, in order, on `jobs` cores; what is raised there is raised here.

    None stands for a piece whose process was ended from outside, for want of memory mostly, even while it was at work
    on that piece alone. Close it, or take all of it: then no process is left. The processes are forked, because a
    pattern holds formulas, which can't be sent to one; where the system can't fork, or for one job, all is done here.
    """
    import multiprocessing

    jobs = min(jobs, count)
    if jobs < 2 or "fork" not in multiprocessing.get_all_start_methods():
        yield from map(work, range(count))
        return
    done = 0
    while done < count:
        done += yield from _together(work, range(done, count), jobs)
        for place in range(done, min(count, done + jobs * _AHEAD)):  # one of these it was that ended them all
            alone = yield from _together(work, range(place, place + 1), 1)
            if not alone:
                yield None
            done += 1


def _together(work: Callable[[int], _Made], places: range, jobs: int) -> Generator[_Made, None, int]:
    """As `worked`, until a process is ended from outside; how many pieces were done until then."""
    from concurrent.futures.process import BrokenProcessPool

    done = 0
    at_work: deque[Future[_Made]] = deque()
    waiting = iter(places)
    with _pool(work, jobs) as pool:
        try:
            while done < len(places):
                with _uninterrupted():
                    at_work += (pool.submit(_do, place) for place in islice(waiting, jobs * _AHEAD - len(at_work)))
                made = at_work.popleft().result()
                done += 1
                yield made
        except BrokenProcessPool:
            pass
    return done


@contextmanager
def _pool(work: Callable[[int], object], jobs: int) -> Iterator[ProcessPoolExecutor]:
    """Processes that are gone at the end; at once, where it comes by a mistake or an interruption."""
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor

    before = frozenset(multiprocessing.active_children())
    pool = ProcessPoolExecutor(jobs, multiprocessing.get_context("fork"), initializer=_begin, initargs=(work,))
    try:
        yield pool
    except BaseException:  # somebody waits no longer: the work at hand needn't be finished
        for process in set(multiprocessing.active_children()) - before:
            process.terminate()
        raise
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


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
