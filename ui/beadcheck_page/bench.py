"""One measurement after another, away from the connections that asked for them."""

import logging
import secrets
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Final

from beadcheck.errors import BeadcheckError
from beadcheck_page.faults import fault_sentence
from beadcheck_page.orders import Order, Outcome, Phase, Progress
from beadcheck_page.refusals import TooManyWaitingError

_LOG: Final = logging.getLogger(__name__)

MOST_WAITING: Final = 40
"""Orders: a class of thirty and some who press again. The last then waits for minutes."""

Work = Callable[[str, Order, Path, Callable[[], None]], Outcome]
"""Key, order, an existing empty folder, and what to call after each photo."""


class DroppedError(Exception):
    """Nobody waits for this measurement any more."""


class Bench:
    """Carries out orders one at a time, in turn, and knows where each stands."""

    def __init__(self, work: Work) -> None:
        self._work = work
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="bench")
        self._lock = threading.Lock()
        self._progress: dict[str, Progress] = {}

    def submit(self, order: Order, folder: Path) -> str:
        """Queue an order, whose files go to a new folder in `folder`, and return its key.

        Raises
        ------
        TooManyWaitingError
            So many wait already that another one would only be forgotten.
        """
        key = secrets.token_urlsafe(16)
        with self._lock:
            if sum(each.running for each in self._progress.values()) >= MOST_WAITING:
                raise TooManyWaitingError(MOST_WAITING)
            self._progress[key] = Progress(key=key, phase=Phase.WAITING, total=len(order.photos))
        self._pool.submit(self._carry_out, key, order, folder / f"result-{key}")
        return key

    def progress(self, key: str) -> Progress | None:
        """Where an order stands, or None where there is none of that key."""
        with self._lock:
            found = self._progress.get(key)
            if found is None or found.phase is not Phase.WAITING:
                return found
            ahead = 0
            for other in self._progress.values():
                if other.key == key:
                    break
                ahead += other.running
            return replace(found, ahead=ahead)

    def drop(self, key: str) -> None:
        """Forget an order; if it is running, it ends after the photo in hand."""
        with self._lock:
            self._progress.pop(key, None)

    def close(self) -> None:
        """Forget every order, and wait for the photo in hand."""
        with self._lock:
            self._progress.clear()
        self._pool.shutdown(wait=True, cancel_futures=True)

    def _carry_out(self, key: str, order: Order, folder: Path) -> None:
        try:
            self._change(key, phase=Phase.MEASURING)
            folder.mkdir(mode=0o700)
            outcome = self._work(key, order, folder, lambda: self._count(key))
            self._change(key, phase=Phase.DONE, outcome=outcome)
        except DroppedError:
            return
        except BeadcheckError as refusal:
            self._fail(key, str(refusal))
        except Exception as error:  # the last face before a person
            if self.progress(key) is not None:  # else its folder was swept under its feet
                self._fail(key, fault_sentence(_LOG, error))

    def _fail(self, key: str, sentence: str) -> None:
        try:
            self._change(key, phase=Phase.FAILED, sentence=sentence)
        except DroppedError:
            return

    def _count(self, key: str) -> None:
        with self._lock:
            measured = self._progress[key].measured if key in self._progress else 0
        self._change(key, measured=measured + 1)

    def _change(self, key: str, **changes: object) -> None:
        with self._lock:
            if key not in self._progress:
                raise DroppedError
            self._progress[key] = replace(self._progress[key], **changes)  # type: ignore[arg-type]
