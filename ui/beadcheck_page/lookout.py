"""A quick look at every photo as it arrives: would it do, before anybody presses Measure."""

import logging
import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.errors import BeadcheckError
from beadcheck.photo_advice import PhotoAdvice, refusal_as_advice
from beadcheck.pipeline import Request, look_at
from beadcheck_page.faults import fault_sentence
from beadcheck_page.intake import StoredPhoto

_LOG: Final = logging.getLogger(__name__)

MOST_KEPT: Final = 2000
"""Looks at photos; the longest unasked are forgotten."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a photo is looked at for: the settings on which its target hangs."""

    coupon: Coupon
    without_target: bool = False


class LookState(StrEnum):
    """How far the look at a photo is."""

    UNSETTLED = "unsettled"
    """The form does not say yet which target to look for."""
    LOOKING = "looking"
    DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A look at one photo; `advice` is empty where nothing is wrong with it."""

    state: LookState
    advice: tuple[PhotoAdvice, ...] = ()


UNSETTLED: Final = Look(state=LookState.UNSETTLED)
LOOKING: Final = Look(state=LookState.LOOKING)

Work = Callable[[Path, Wanted], tuple[PhotoAdvice, ...]]


def looked_at(path: Path, wanted: Wanted) -> tuple[PhotoAdvice, ...]:
    """Advice on one stored photo."""
    request = Request(photos=(path,), coupon=wanted.coupon, without_target=wanted.without_target)
    return look_at(path, request)


class Lookout:
    """Looks at photos one after another, each once for the same settings.

    It does not stand in the queue of measurements: a look takes a part of a second, and whoever has
    just taken a photo waits for it with the phone still in hand.
    """

    def __init__(self, work: Work = looked_at) -> None:
        self._work = work
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="lookout")
        self._lock = threading.Lock()
        self._looks: OrderedDict[tuple[str, Wanted], Look] = OrderedDict()

    def looks(self, photos: Sequence[StoredPhoto], wanted: Wanted | None) -> Mapping[str, Look]:
        """How far the looks are, by the photos' keys; one that was never asked for is begun."""
        if wanted is None:
            return {photo.key: UNSETTLED for photo in photos}
        return {photo.key: self._look(photo, wanted) for photo in photos}

    def close(self) -> None:
        """Begin no more looks, and wait for the one in hand."""
        self._pool.shutdown(wait=True, cancel_futures=True)

    def _look(self, photo: StoredPhoto, wanted: Wanted) -> Look:
        with self._lock:
            found = self._looks.get((photo.key, wanted))
            self._looks[photo.key, wanted] = found or LOOKING
            self._looks.move_to_end((photo.key, wanted))
            while len(self._looks) > MOST_KEPT:
                self._looks.popitem(last=False)
        if found is None:
            self._pool.submit(self._carry_out, photo, wanted)
        return found or LOOKING

    def _carry_out(self, photo: StoredPhoto, wanted: Wanted) -> None:
        try:
            advice = self._work(photo.path, wanted)
        except BeadcheckError as refusal:
            advice = (refusal_as_advice(refusal),)
        except Exception as error:  # the last face before a person
            advice = (PhotoAdvice(code="fault", message=fault_sentence(_LOG, error)),)
        with self._lock:
            self._looks[photo.key, wanted] = Look(state=LookState.DONE, advice=advice)
