"""The near end: one process that works on what it is given, and can be stopped at any moment."""

import contextlib
import os
import pickle
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from typing import Any, BinaryIO, Final, TypeVar

from beadcheck.errors.work import ProcessNotStartedError, WorkDiedError, WorkTooLongError
from beadcheck.stoppable import frames
from beadcheck.stoppable.child import Begun, Ended, Stepped

Given = TypeVar("Given")
Done = TypeVar("Done")

START_LIMIT_S: Final = 180.0
"""Loading the libraries takes a second or two, and far longer where many do so at once."""
_START: Final = (
    "import sys; folder = sys.argv[1]; sys.path[:] = sys.argv[2:];"
    "from beadcheck.stoppable.child import serve; serve(folder)"
)
_FOLDER_VARIABLES: Final = ("TMPDIR", "TEMP", "TMP")
_THREAD_VARIABLES: Final = ("OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM")
_QUIET: Final = getattr(subprocess, "CREATE_NO_WINDOW", 0)  # Windows alone opens windows


class StoppableProcess:
    """A process to work in; it starts with the first piece, and again after it was stopped.

    One piece at a time, from one thread; `stop` and `close` may be called from any. Ctrl-C in a
    terminal does not reach the process: whoever started it decides. It ends by itself once that
    one is gone, however that came.

    Parameters
    ----------
    threads
        How many threads OpenCV and NumPy may use in it.
    """

    def __init__(self, *, threads: int = 1) -> None:
        self._threads = threads
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._closed = False
        self._changing = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._late = False

    def do(self, work: Callable[[Given], Done], given: Given, *, limit_s: float) -> Done:
        """Let the process call `work`, a function of a module, and return what it returns.

        Parameters
        ----------
        limit_s
            For the work alone, in seconds; starting the process does not count.

        Raises
        ------
        BeadcheckError
            As `follow` raises it.
        """
        done: Done = self._done((work, given, False), limit_s, _nothing)
        return done

    def follow(
        self,
        work: Callable[[Given, Callable[[], None]], Done],
        given: Given,
        *,
        limit_s: float,
        on_step: Callable[[], None],
    ) -> Done:
        """Do the same with work that tells of its steps, by a function that it is given as well.

        Parameters
        ----------
        limit_s
            From one step to the next, in seconds; before the first and after the last one too.
        on_step
            Called here at each step. What it raises stops the process, and goes on to the caller.

        Raises
        ------
        WorkTooLongError, WorkDiedError, WorkFaultError
            Only this piece is lost; the next one gets a new process.
        ProcessNotStartedError
        BeadcheckError
            As `work` raised it.
        """
        done: Done = self._done((work, given, True), limit_s, on_step)
        return done

    def _done(self, piece: object, limit_s: float, on_step: Callable[[], None]) -> Any:
        packed = pickle.dumps(piece, pickle.HIGHEST_PROTOCOL)
        try:
            process, begun = self._begun(packed)
            ended = self._answer(process, limit_s) if isinstance(begun, Begun) else begun
            while isinstance(ended, Stepped):
                on_step()
                ended = self._answer(process, limit_s)
        except BaseException:
            self.stop()
            raise
        if ended is None:
            self.stop()
            if self._late:
                raise WorkTooLongError(limit_s)
            raise WorkDiedError(_how(process.returncode))
        if ended.refusal is not None:
            raise ended.refusal
        return ended.value

    def stop(self) -> None:
        """End the process, whatever it is at, and remove what it left in its temporary folder."""
        with self._changing:
            self._stop()

    def close(self) -> None:
        """End the process, and never start another."""
        with self._changing:
            self._closed = True
            self._stop()

    def _stop(self) -> None:
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            process.wait()
            for pipe in (process.stdin, process.stdout):
                with contextlib.suppress(OSError):  # what could not be sent any more
                    _open(pipe).close()
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None

    def _begun(self, packed: bytes) -> "tuple[subprocess.Popen[bytes], Begun | Ended]":
        """Have the process begin; one that died since its last piece is started once more."""
        for _ in range(2):
            process = self._running()
            begun = self._answer(process, START_LIMIT_S, packed)
            if begun is not None:
                return process, begun
            self.stop()
        raise ProcessNotStartedError(_how(process.returncode))

    def _running(self) -> "subprocess.Popen[bytes]":
        with self._changing:
            if self._process is None or self._process.poll() is not None:
                self._stop()
                if self._closed:
                    how = "closed"
                    raise ProcessNotStartedError(how)
                self._process = self._started()
            return self._process

    def _started(self) -> "subprocess.Popen[bytes]":
        self._folder = tempfile.TemporaryDirectory(prefix="beadcheck-", ignore_cleanup_errors=True)
        environment = os.environ | dict.fromkeys(_THREAD_VARIABLES, str(self._threads))
        environment |= dict.fromkeys(_FOLDER_VARIABLES, self._folder.name)
        try:
            return subprocess.Popen(  # noqa: S603  # this Python, and code of ours
                [sys.executable, "-P", "-c", _START, self._folder.name, *sys.path],
                env=environment,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
                creationflags=_QUIET,
            )
        except OSError as error:
            how = (error.strerror or "the system refuses").lower()
            raise ProcessNotStartedError(how) from error

    def _answer(
        self, process: "subprocess.Popen[bytes]", limit_s: float, packed: bytes | None = None
    ) -> Any:  # what the child sends
        """Next answer, after something to work on was sent; None where the process is gone."""
        self._late = False
        timer = threading.Timer(limit_s, self._too_late, [process])
        timer.start()
        try:
            if packed is not None:
                frames.write(_open(process.stdin), packed)
            return frames.receive(_open(process.stdout))
        except (OSError, ValueError):  # ended, or its pipes closed by `stop` meanwhile
            return None
        finally:
            timer.cancel()

    def _too_late(self, process: "subprocess.Popen[bytes]") -> None:
        self._late = True
        process.kill()


def _nothing() -> None:
    """What happens at a step of work that has none."""


def _open(pipe: Any) -> BinaryIO:  # Popen knows its pipes as possibly missing
    opened: BinaryIO = pipe
    return opened


def _how(code: int | None) -> str:
    """How a process ended, in words.

    Examples
    --------
    >>> _how(3)
    'exit code 3'
    """
    if code is not None and code < 0:
        with contextlib.suppress(ValueError):
            return f"ended by {signal.Signals(-code).name}"
    return f"exit code {code}"
