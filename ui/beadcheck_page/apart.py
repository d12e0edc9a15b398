"""Work on photos, apart from the page: what crashes or never ends there leaves the page alone."""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import accumulate
from pathlib import Path
from typing import Final

from beadcheck.camera.book import CameraBook
from beadcheck.errors.work import WorkDiedError, WorkFaultError, WorkTooLongError
from beadcheck.photo_advice import PhotoAdvice
from beadcheck.stoppable import StoppableProcess
from beadcheck_page.intake import StoredPhoto, store_photo
from beadcheck_page.lookout import Wanted, looked_at
from beadcheck_page.orders import Order, Outcome
from beadcheck_page.photo_refusals import PhotoBrokeOffError, PhotoTookTooLongError
from beadcheck_page.work import carry_out

MEASURE_S: Final = 120.0
"""For each photo that is measured together with others; the largest take a sixth of it."""

LOOK_S: Final = 60.0
"""For opening a photo, or for a look at one."""


class MeasuredApart:
    """Carries out orders in another process, as the bench asks for it.

    Parameters
    ----------
    at_once
        How many takes are measured at once in it.
    """

    def __init__(
        self, process: StoppableProcess, *, measure_s: float = MEASURE_S, at_once: int = 1
    ) -> None:
        self._process, self._measure_s, self._at_once = process, measure_s, at_once

    def __call__(
        self, key: str, order: Order, folder: Path, photo_done: Callable[[], None]
    ) -> Outcome:
        """Measure an order; `photo_done` may raise to end it.

        Raises
        ------
        PhotoTookTooLongError, PhotoBrokeOffError
            The process did not survive one of the photos, which is named.
        BeadcheckError
            The order cannot be carried out.
        """
        done = 0

        def step() -> None:
            nonlocal done
            done += 1
            photo_done()

        limit_s = self._measure_s * max((len(take.photos) for take in order.takes), default=1)
        with _told_of(lambda: _in_hand(order, done, self._at_once)):
            return self._process.follow(
                _carried_out, (key, order, folder), limit_s=limit_s, on_step=step
            )


class LookedApart:
    """Opens what is sent, and looks at it, in another process; one photo after another."""

    def __init__(self, process: StoppableProcess, *, look_s: float = LOOK_S) -> None:
        self._process, self._look_s = process, look_s
        self._one_at_a_time = threading.Lock()

    def store(self, sent: Path, *, name: str, home: Path, cameras: CameraBook) -> StoredPhoto:
        """Open and keep a sent file, as `store_photo` does.

        Raises
        ------
        PhotoError
            The file is no photo that can be used, or the process did not survive it.
        """
        with self._one_at_a_time, _told_of(lambda: name):
            return self._process.do(_stored, (sent, name, home, cameras), limit_s=self._look_s)

    def look(self, path: Path, wanted: Wanted) -> tuple[PhotoAdvice, ...]:
        """Advice on one stored photo, as `looked_at` gives it.

        Raises
        ------
        BeadcheckError
            The photo cannot be looked at, or the process did not survive it.
        """
        with self._one_at_a_time, _told_of(lambda: path.name):
            return self._process.do(_looked_at, (path, wanted), limit_s=self._look_s)


class Apart:
    """The two processes: one measures, so that the other can open and look at what comes in.

    Parameters
    ----------
    threads
        How many OpenCV uses in each.
    """

    def __init__(self, *, threads: int) -> None:
        self._measuring = StoppableProcess(threads=threads)
        self._looking = StoppableProcess(threads=threads)
        self.measured = MeasuredApart(self._measuring, at_once=threads)
        self.looked = LookedApart(self._looking)

    def close(self) -> None:
        """End both, whatever they are at, and start no others."""
        self._measuring.close()
        self._looking.close()


def _carried_out(given: tuple[str, Order, Path], photo_done: Callable[[], None]) -> Outcome:
    key, order, folder = given
    return carry_out(key, order, folder, photo_done)


def _stored(given: tuple[Path, str, Path, CameraBook]) -> StoredPhoto:
    sent, name, home, cameras = given
    return store_photo(sent, name=name, home=home, cameras=cameras)


def _looked_at(given: tuple[Path, Wanted]) -> tuple[PhotoAdvice, ...]:
    return looked_at(*given)


@contextmanager
def _told_of(names: Callable[[], str]) -> Iterator[None]:
    """Name the photos in hand where their process ended, and log faults as the page's own."""
    try:
        yield
    except WorkTooLongError as error:
        raise PhotoTookTooLongError(names(), error.limit_s) from None
    except WorkDiedError:
        raise PhotoBrokeOffError(names()) from None
    except WorkFaultError as fault:
        *_, where, _, said = ["", "", *fault.details.splitlines()]
        elsewhere = RuntimeError(f"{said}, {where.strip()}")
        elsewhere.add_note(fault.details)
        raise elsewhere from None


def _in_hand(order: Order, done: int, at_once: int) -> str:
    """Names of the photos that were being measured after so many were done."""
    ends = accumulate(len(take.photos) for take in order.takes)
    takes = [take for take, end in zip(order.takes, ends, strict=True) if done < end][:at_once]
    names = [" and ".join(photo.name for photo in take.photos) for take in takes]
    return " or ".join(names) or "the whole weld"
