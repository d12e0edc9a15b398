"""How often a wrong code may be tried: after a few, each one costs a longer wait."""

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

MOST_KNOWN: Final = 1000
"""Who is remembered at once; the one who failed longest ago is forgotten for the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """How much is borne.

    Attributes
    ----------
    free
        Wrong codes that cost nothing.
    first_wait_s, longest_wait_s
        What the next one costs; each further one costs twice as much, up to the longest.
    forget_s
        All is forgotten once nothing wrong came for so long after the last wait.
    """

    free: int
    first_wait_s: float
    longest_wait_s: float
    forget_s: float


OF_ONE: Final = Measure(free=4, first_wait_s=10.0, longest_wait_s=600.0, forget_s=3600.0)
OF_ALL: Final = Measure(free=40, first_wait_s=2.0, longest_wait_s=60.0, forget_s=600.0)
"""Whoever changes addresses gets one try a minute in the end: in a day of eight hours fewer than
600 of the million codes of six digits."""


@dataclass(slots=True)
class _Failures:
    count: int
    last_s: float


class Patience:
    """Counts wrong codes by who sent them; what is refused during a wait is not counted."""

    def __init__(
        self,
        measure: Measure,
        *,
        most: int = MOST_KNOWN,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._measure, self._most, self._clock = measure, most, clock
        self._failures: OrderedDict[str, _Failures] = OrderedDict()

    def wait_s(self, who: str) -> float:
        """Seconds until the next try; 0 where it may come now."""
        failures = self._failures.get(who)
        if failures is None:
            return 0.0
        left_s = failures.last_s + self._cost_s(failures.count) - self._clock()
        if left_s < -self._measure.forget_s:
            del self._failures[who]
        return max(0.0, left_s)

    def failed(self, who: str) -> None:
        """Count one more wrong code."""
        before = self._failures.pop(who, _Failures(count=0, last_s=0.0))
        self._failures[who] = _Failures(count=before.count + 1, last_s=self._clock())
        while len(self._failures) > self._most:
            self._failures.popitem(last=False)

    def _cost_s(self, count: int) -> float:
        beyond = count - self._measure.free
        if beyond <= 0:
            return 0.0
        doublings = min(beyond - 1, 60)  # no float is large enough for all
        return min(self._measure.first_wait_s * 2.0**doublings, self._measure.longest_wait_s)
