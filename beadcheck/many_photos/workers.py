"""Who carries orders out: processes of this machine, each with one thread of OpenCV."""

import os
import queue
from concurrent.futures import Future, ThreadPoolExecutor
from types import TracebackType
from typing import Protocol, Self

from beadcheck.many_photos.one import Made, Order, carry_out
from beadcheck.stoppable import StoppableProcess


class Workers(Protocol):
    """Whoever carries orders out, in whatever order suits."""

    @property
    def at_once(self) -> int:
        """How many orders keep everybody busy."""

    def submit(self, order: Order) -> "Future[Made]":
        """Have an order carried out; a refusal is the future's exception."""

    def check(self) -> None:
        """Look after them while nothing comes back.

        Raises
        ------
        BeadcheckError
            Nobody is left to work.
        """


class LocalWorkers:
    """Processes of this machine; one that dies or hangs costs its photo alone.

    Parameters
    ----------
    jobs
        How many photos are measured at once.
    limit_s
        How long one photo may take, in seconds.
    """

    def __init__(self, jobs: int, *, limit_s: float) -> None:
        self._limit_s = limit_s
        self._processes = [StoppableProcess() for _ in range(jobs)]
        self._idle: queue.SimpleQueue[StoppableProcess] = queue.SimpleQueue()
        for process in self._processes:
            self._idle.put(process)
        self._pool = ThreadPoolExecutor(jobs, thread_name_prefix="photos")

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._pool.shutdown(wait=False, cancel_futures=True)
        for process in self._processes:
            process.close()
        self._pool.shutdown()

    @property
    def at_once(self) -> int:
        """One more than there are processes, so that none waits for its next photo to be read."""
        return len(self._processes) + 1

    def submit(self, order: Order) -> "Future[Made]":
        """Have an order carried out by whichever process is free first."""
        return self._pool.submit(self._carry_out, order)

    def check(self) -> None:
        """Do nothing: a process that died is started again with its next order."""

    def _carry_out(self, order: Order) -> Made:
        process = self._idle.get()
        try:
            return process.do(carry_out, order, limit_s=self._limit_s)
        finally:
            self._idle.put(process)


def usable_cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
