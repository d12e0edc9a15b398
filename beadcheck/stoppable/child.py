"""The far end: does the work that it is sent, piece after piece, until nobody is there any more."""

import os
import pickle
import queue
import shutil
import sys
import threading
import traceback
from dataclasses import dataclass
from functools import partial
from typing import Any, BinaryIO

from beadcheck.errors import BeadcheckError
from beadcheck.errors.work import WorkFaultError
from beadcheck.stoppable import frames


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """Everything that the work needs is loaded, and it begins."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stepped:
    """A part of the work is done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """What came out, or the refusal."""

    value: Any = None
    refusal: BeadcheckError | None = None


def serve(folder: str) -> None:
    """Work until whoever started this process is gone.

    Parameters
    ----------
    folder
        Of this process alone, for temporary files.
    """
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not get among the answers
    pieces: queue.SimpleQueue[bytes] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(sys.stdin.buffer, pieces, folder), daemon=True).start()
    while True:
        _work(pieces.get(), answers)


def _listen(pipe: BinaryIO, pieces: "queue.SimpleQueue[bytes]", folder: str) -> None:
    """Take pieces in; with nobody left to work for, end at once, whatever is in hand."""
    while (packed := frames.read(pipe)) is not None:
        pieces.put(packed)
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(0)


def _work(packed: bytes, answers: BinaryIO) -> None:
    try:
        work, argument, in_steps = pickle.loads(packed)  # noqa: S301  # whoever started us wrote it
        frames.send(answers, Begun())
        step = (partial(frames.send, answers, Stepped()),) if in_steps else ()
        ended = Ended(value=work(argument, *step))
    except BeadcheckError as refusal:
        ended = Ended(refusal=refusal)
    except Exception as error:  # the last face before another process
        details = "".join(traceback.format_exception(error))
        ended = Ended(refusal=WorkFaultError(type(error).__name__, details))
    try:
        frames.send(answers, ended)
    except BrokenPipeError:
        os._exit(0)
