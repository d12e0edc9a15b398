"""Runs and outliers on a control chart that chance alone rarely makes.

The rules are those of the Western Electric Statistical Quality Control Handbook (1956), as printed
in the NIST/SEMATECH e-Handbook, 6.3.2 ("WECO rules"), with its two trend rules.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.consistency.control_chart import ControlChart

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]

SOURCE: Final = "Western Electric Handbook (1956), NIST/SEMATECH e-Handbook 6.3.2"


class RunRule(StrEnum):
    """What the points do; the values are said to people."""

    BEYOND_LIMIT = "a point beyond three sigma"
    TWO_OF_THREE = "two of three points beyond two sigma on one side"
    FOUR_OF_FIVE = "four of five points beyond one sigma on one side"
    EIGHT_ON_A_SIDE = "eight points in a row on one side of the centre"
    SIX_TRENDING = "six points in a row rising or falling"
    FOURTEEN_ALTERNATING = "fourteen points in a row going up and down in turn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Signal:
    """Points that a rule picks out: indices of the first and the last of them."""

    rule: RunRule
    first: int
    last: int


def signals(chart: ControlChart) -> tuple[Signal, ...]:
    """Return every run that a rule picks out, in the order in which they end.

    A chart without scatter (all values alike) has none.
    """
    if chart.sigma <= 0.0:
        return ()
    z = (chart.values - chart.centre) / chart.sigma
    # On a chart of ranges the limits are not symmetric: beyond is what lies beyond them.
    beyond = (chart.values > chart.upper) | (chart.values < chart.lower)
    found = [
        Signal(rule=RunRule.BEYOND_LIMIT, first=k, last=k) for k in np.flatnonzero(beyond).tolist()
    ]
    for rule, length, needed, above in (
        (RunRule.TWO_OF_THREE, 3, 2, 2.0),
        (RunRule.FOUR_OF_FIVE, 5, 4, 1.0),
        (RunRule.EIGHT_ON_A_SIDE, 8, 8, 0.0),
    ):
        for side in (z, -z):
            found += _windows(rule, side > above, length, needed)
    steps = np.sign(np.diff(z))
    for way in (1.0, -1.0):
        found += _runs(RunRule.SIX_TRENDING, steps == way, 6)
    found += _runs(RunRule.FOURTEEN_ALTERNATING, steps[1:] * steps[:-1] < 0, 14, spans=2)
    return tuple(sorted(found, key=lambda signal: (signal.last, signal.first, signal.rule)))


def _windows(rule: RunRule, beyond: Mask, length: int, needed: int) -> list[Signal]:
    """Windows of `length` points with `needed` beyond, the last one among them; runs are joined."""
    if beyond.size < length:
        return []
    counts = np.convolve(beyond, np.ones(length, dtype=np.intp), mode="valid")
    ends = np.flatnonzero((counts >= needed) & beyond[length - 1 :]) + length - 1
    return _joined(rule, ends, lambda end: end - length + 1)


def _runs(rule: RunRule, alike: Mask, points: int, *, spans: int = 1) -> list[Signal]:
    """Runs of `points` points whose steps (or pairs of steps, `spans` 2) are all alike."""
    length = points - spans
    if alike.size < length:
        return []
    counts = np.convolve(alike, np.ones(length, dtype=np.intp), mode="valid")
    ends = np.flatnonzero(counts == length) + points - 1
    return _joined(rule, ends, lambda end: end - points + 1)


def _joined(rule: RunRule, ends: NDArray[np.intp], first_of: Callable[[int], int]) -> list[Signal]:
    """One signal for windows that end at neighbouring points."""
    joined: list[Signal] = []
    for end in (int(e) for e in ends):
        if joined and joined[-1].last == end - 1:
            joined[-1] = Signal(rule=rule, first=joined[-1].first, last=end)
        else:
            joined.append(Signal(rule=rule, first=first_of(end), last=end))
    return joined
