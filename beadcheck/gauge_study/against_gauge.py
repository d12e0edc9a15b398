"""Photo against hand gauge, at the same places."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t

from beadcheck.gauge_study.readings import StudyReading

FEWEST_PLACES: Final = 3
CONFIDENCE: Final = 0.95
NORMAL_95: Final = 1.96
"""Bland and Altman's limits of agreement span this many standard deviations (Lancet 327, 1986)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """How photo and gauge differ, in the study's unit.

    Attributes
    ----------
    places
        Parts at which both were read.
    mean_difference
        Photo less gauge, averaged over the places.
    u_mean_difference
        Half-width of its 95 % confidence interval.
    lower, upper
        Limits of agreement: 95 % of differences at one place lie between them.
    u_limits
        Half-width of either limit's own 95 % confidence interval: large where places are few.
    """

    places: int
    mean_difference: float
    u_mean_difference: float
    lower: float
    upper: float
    u_limits: float

    @property
    def differs(self) -> bool:
        """Whether photo and gauge differ by more than chance."""
        return abs(self.mean_difference) > self.u_mean_difference


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GaugedPlaces:
    """What photo and gauge read at each place, in the study's unit: (N,) means of a part."""

    parts: tuple[str, ...]
    photo: NDArray[np.float64]
    gauge: NDArray[np.float64]


def gauged_places(readings: Sequence[StudyReading]) -> GaugedPlaces:
    """Return the means of each part at which a gauge was laid on, in the order of the readings."""
    photo: dict[str, list[float]] = {}
    gauge: dict[str, list[float]] = {}
    for reading in readings:
        if reading.gauge is not None:
            photo.setdefault(reading.part, []).append(reading.value)
            gauge.setdefault(reading.part, []).append(reading.gauge)
    return GaugedPlaces(
        parts=tuple(photo),
        photo=np.array([np.mean(values) for values in photo.values()], dtype=np.float64),
        gauge=np.array([np.mean(values) for values in gauge.values()], dtype=np.float64),
    )


def against_gauge(readings: Sequence[StudyReading]) -> Agreement | None:
    """Compare each part's mean by photo with its mean by gauge; None with fewer than three parts.

    Limits of agreement, and how sure they are, after Bland and Altman (Lancet 327, 1986, 307).
    """
    places = gauged_places(readings)
    count = len(places.parts)
    if count < FEWEST_PLACES:
        return None
    differences = places.photo - places.gauge
    mean, sd = float(differences.mean()), float(differences.std(ddof=1))
    reach = float(t.ppf(0.5 * (1.0 + CONFIDENCE), count - 1))
    return Agreement(
        places=count,
        mean_difference=mean,
        u_mean_difference=reach * sd / float(np.sqrt(count)),
        lower=mean - NORMAL_95 * sd,
        upper=mean + NORMAL_95 * sd,
        u_limits=reach * sd * float(np.sqrt(3.0 / count)),
    )
