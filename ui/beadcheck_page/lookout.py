"""A quick look at every photo as it arrives: would it do, before anybody presses Measure."""

import logging
import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final

from beadcheck.coupon import Coupon
from beadcheck.errors import BeadcheckError
from beadcheck.photo import PhotoKind
from beadcheck.photo_advice import PhotoAdvice, refusal_as_advice
from beadcheck.pipeline import Request, Take, look_at
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle
from beadcheck_page.faults import fault_sentence
from beadcheck_page.intake import StoredPhoto

_LOG: Final = logging.getLogger(__name__)

MOST_KEPT: Final = 2000
"""Looks at photos; the longest unasked are forgotten."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a photo is looked at for: its kind, and the settings on which its target hangs.

    Attributes
    ----------
    first_view
        File of the photo to which a second view belongs.
    step, light_angle
        What tells the height in a photo with a line of light, where it was entered.
    """

    coupon: Coupon
    without_target: bool = False
    kind: PhotoKind = PhotoKind.FACE
    first_view: Path | None = None
    step: KnownStep | None = None
    light_angle: LightAngle | None = None


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
    beside = () if wanted.first_view is None else (wanted.first_view,)
    request = Request(
        takes=(Take(kind=wanted.kind, photos=(*beside, path)),),
        coupon=wanted.coupon,
        without_target=wanted.without_target,
        step=wanted.step,
        light_angle=wanted.light_angle,
    )
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

    def look(self, photo: StoredPhoto, wanted: Wanted | None) -> Look:
        """How far the look at a photo is; one that was never asked for is begun.

        None stands for a form that does not say yet what to look for.
        """
        if wanted is None:
            return UNSETTLED
        with self._lock:
            found = self._looks.get((photo.key, wanted))
            self._looks[photo.key, wanted] = found or LOOKING
            self._looks.move_to_end((photo.key, wanted))
            while len(self._looks) > MOST_KEPT:
                self._looks.popitem(last=False)
        if found is None:
            self._pool.submit(self._carry_out, photo, wanted)
        return found or LOOKING

    def close(self) -> None:
        """Begin no more looks, and wait for the one in hand."""
        self._pool.shutdown(wait=True, cancel_futures=True)

    def _carry_out(self, photo: StoredPhoto, wanted: Wanted) -> None:
        with self._lock:
            if (photo.key, wanted) not in self._looks:  # forgotten while it waited
                return
        try:
            advice = self._work(photo.path, wanted)
        except BeadcheckError as refusal:
            advice = (refusal_as_advice(refusal),)
        except Exception as error:  # the last face before a person
            advice = (PhotoAdvice(code="fault", message=fault_sentence(_LOG, error)),)
        with self._lock:
            self._looks[photo.key, wanted] = Look(state=LookState.DONE, advice=advice)
