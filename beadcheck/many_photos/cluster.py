"""Who carries orders out: the workers of a Dask cluster.

Photos go to them by their bytes and the files come back likewise, so that no disk is shared. Each
worker measures in processes of its own beside it, as this machine would: its threads do not share
a network, a photo that hangs is stopped, and one that crashes leaves the worker alone.
"""

import queue
import secrets
import threading
import time
from collections.abc import Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from functools import partial
from importlib.metadata import version
from typing import Any, Final, cast

import dask.config
import distributed
from distributed.diagnostics.plugin import WorkerPlugin

from beadcheck.errors import BeadcheckError
from beadcheck.errors.cluster import (
    ClusterDaskVersionError,
    ClusterNotReachedError,
    ClusterVersionError,
    NoClusterWorkerError,
    WorkersLostError,
)
from beadcheck.many_photos.one import Made, Order, carry_out
from beadcheck.many_photos.workers import Workers
from beadcheck.stoppable import StoppableProcess

REACHED_WITHIN_S: Final = 15.0
WITHOUT_WORKER_S: Final = 60.0


class WorkerProcesses(WorkerPlugin):
    """Processes beside a worker, one for each of its threads that is busy.

    Parameters
    ----------
    ours
        Version of beadcheck that asks: a worker may join later, with another one.
    """

    def __init__(self, ours: str) -> None:
        # Several people may use one cluster, each with processes of their own.
        self.name = f"beadcheck-{secrets.token_hex(8)}"
        self._ours = ours

    def setup(self, worker: Any) -> None:  # noqa: ARG002  # Dask calls it so
        """Start with none: each is started when it is needed."""
        self._all: list[StoppableProcess] = []
        self._idle: queue.SimpleQueue[StoppableProcess] = queue.SimpleQueue()

    def teardown(self, worker: Any) -> None:  # noqa: ARG002  # Dask calls it so
        """End them all."""
        for process in self._all:
            process.close()

    def carry_out(self, order: Order, limit_s: float) -> Made:
        """Have an order carried out by a process that nobody else uses.

        Raises
        ------
        ClusterVersionError
        BeadcheckError
            As `StoppableProcess.do` raises it.
        """
        _require_same(installed_version(), self._ours)
        try:
            process = self._idle.get_nowait()
        except queue.Empty:
            process = StoppableProcess()
            self._all.append(process)
        try:
            return process.do(carry_out, order, limit_s=limit_s)
        finally:
            self._idle.put(process)


def carry_out_beside_worker(order: Order, limit_s: float, plugin: str) -> Made:
    """Task of a worker: have its processes carry an order out."""
    processes = distributed.get_worker().plugins[plugin]
    made: Made = cast("WorkerProcesses", processes).carry_out(order, limit_s)
    return made


def installed_version() -> str:
    """Version of beadcheck where this runs."""
    return version("beadcheck")


class ClusterWorkers:
    """The workers of a cluster, however many there are at any time.

    Parameters
    ----------
    plugin
        Name under which the workers know their processes.
    limit_s
        How long one photo may take, in seconds.
    """

    def __init__(self, client: distributed.Client, plugin: str, *, limit_s: float) -> None:
        self._client = client
        self._plugin = plugin
        self._limit_s = limit_s
        # A photo asked for twice is a new task each time: results are kept here, not there.
        self._executor = client.get_executor(pure=False)
        self._seen_s = time.monotonic()

    @property
    def at_once(self) -> int:
        """Twice as many as there are threads, so that no worker waits for its next photo."""
        threads: int = sum(self._client.nthreads().values())
        return max(2, 2 * threads)

    def submit(self, order: Order) -> "Future[Made]":
        """Have an order carried out by any worker; another one takes over where it is lost."""
        self._seen_s = time.monotonic()
        coming: Future[Made] = Future()
        asked = (order, self._limit_s, self._plugin)
        task = self._executor.submit(carry_out_beside_worker, *asked)
        task.add_done_callback(partial(_hand_over, coming))
        return coming

    def check(self) -> None:
        """Give up where there has been no worker for a while.

        Raises
        ------
        NoClusterWorkerError
        """
        if self._client.nthreads():
            self._seen_s = time.monotonic()
        elif time.monotonic() - self._seen_s > WITHOUT_WORKER_S:
            raise NoClusterWorkerError(WITHOUT_WORKER_S)

    def close(self) -> None:
        """Take back what is not done yet, and end the workers' processes."""
        self._executor.shutdown(wait=False)
        self._client.unregister_worker_plugin(self._plugin)


@contextmanager
def cluster_workers(address: str, *, limit_s: float) -> Iterator[Workers]:
    """Workers of the cluster whose scheduler has this address.

    Raises
    ------
    ClusterNotReachedError, ClusterDaskVersionError, ClusterVersionError, NoClusterWorkerError
    """
    # A photo of tens of megabytes is one task: there is nothing to mend about its size.
    quiet = {"distributed.admin.large-graph-warning-threshold": "1 GB"}
    with dask.config.set(quiet), _reached(address) as client:
        ours = installed_version()
        _require_workers(client, ours)
        processes = WorkerProcesses(ours)
        client.register_plugin(processes)
        workers = ClusterWorkers(client, processes.name, limit_s=limit_s)
        try:
            yield workers
        finally:
            workers.close()


def _reached(address: str) -> distributed.Client:
    """Client of the scheduler there; Dask itself waits without end for one that says nothing."""
    coming: Future[distributed.Client] = Future()

    def reach() -> None:
        try:
            client = distributed.Client(address, timeout=REACHED_WITHIN_S, set_as_default=False)
        except Exception as error:  # told to whoever waits
            coming.set_exception(error)
        else:
            coming.set_result(client)

    threading.Thread(target=reach, name="scheduler", daemon=True).start()
    try:
        return coming.result(2.0 * REACHED_WITHIN_S)
    except ImportError as error:
        raise ClusterDaskVersionError(address) from error
    except Exception as error:  # of a web server's answer Dask takes the first bytes for a length
        raise ClusterNotReachedError(address) from error


def _require_workers(client: distributed.Client, ours: str) -> None:
    try:
        client.wait_for_workers(1, timeout=REACHED_WITHIN_S)
    except TimeoutError as error:
        raise NoClusterWorkerError(REACHED_WITHIN_S) from error
    try:
        versions = client.run(installed_version).values()
    except ImportError as error:
        raise ClusterVersionError("no beadcheck", ours) from error
    for theirs in versions:
        _require_same(theirs, ours)


def _require_same(theirs: str, ours: str) -> None:
    if theirs != ours:
        raise ClusterVersionError(f"beadcheck {theirs}", ours)


def _hand_over(coming: "Future[Made]", task: "Future[Made]") -> None:
    """Pass on what came of a task; what is Dask's alone becomes a refusal of ours."""
    if task.cancelled():
        coming.set_exception(WorkersLostError("cancelled"))
        return
    error = task.exception()
    if error is None:
        coming.set_result(task.result())
    elif isinstance(error, BeadcheckError):
        coming.set_exception(error)
    else:
        coming.set_exception(WorkersLostError(type(error).__name__))
