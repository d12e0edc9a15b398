"""Spread within one weld: along it, and round the clock."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

CLOCK_SECTORS: Final = 12
"""One each hour of the clock, the hour in its middle: 12 o'clock spans 345 to 15 degrees."""
FEWEST_STATIONS: Final = 3
"""Stations that a stretch needs for a mean and a spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What the stations of one stretch of a weld give, in the values' unit.

    Attributes
    ----------
    middle
        Middle of the stretch: degrees from 12 o'clock, or mm along the weld.
    count
        Stations in it.
    mean, sd
        NaN where fewer than `FEWEST_STATIONS` stations lie in it.
    """

    middle: float
    count: int
    mean: float
    sd: float


def by_clock(
    clock_deg: ArrayLike, values: ArrayLike, *, sectors: int = CLOCK_SECTORS
) -> tuple[Stretch, ...]:
    """Return the sectors round the clock, from the one at 12 o'clock on.

    Examples
    --------
    >>> around = by_clock([350.0, 5.0, 10.0, 90.0], [7.0, 8.0, 9.0, 6.0])
    >>> around[0].mean, around[0].count, around[3].count
    (8.0, 3, 1)
    """
    width = 360.0 / sectors
    at = np.floor(np.mod(np.asarray(clock_deg, dtype=np.float64) + 0.5 * width, 360.0) / width)
    return _stretches(at, values, width * np.arange(sectors))


def along(s_mm: ArrayLike, values: ArrayLike, *, stretch_mm: float) -> tuple[Stretch, ...]:
    """Return stretches of `stretch_mm` along the weld, from its first station on."""
    at_mm = np.asarray(s_mm, dtype=np.float64)
    if at_mm.size == 0:
        return ()
    first = float(at_mm.min())
    number = np.floor((at_mm - first) / stretch_mm)
    middles = first + stretch_mm * (np.arange(int(number.max()) + 1) + 0.5)
    return _stretches(number, values, middles)


def _stretches(at: np.ndarray, values: ArrayLike, middles: np.ndarray) -> tuple[Stretch, ...]:
    readings = np.asarray(values, dtype=np.float64)
    known = np.isfinite(readings)
    found = []
    for number, middle in enumerate(middles):
        inside = readings[known & (at == number)]
        enough = inside.size >= FEWEST_STATIONS
        found.append(
            Stretch(
                middle=float(middle),
                count=int(inside.size),
                mean=float(inside.mean()) if enough else float("nan"),
                sd=float(inside.std(ddof=1)) if enough else float("nan"),
            )
        )
    return tuple(found)
