"""Photo against hand gauge, at the same places."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
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
    """

    places: int
    mean_difference: float
    u_mean_difference: float
    lower: float
    upper: float

    @property
    def differs(self) -> bool:
        """Whether photo and gauge differ by more than chance."""
        return abs(self.mean_difference) > self.u_mean_difference


def against_gauge(readings: Sequence[StudyReading]) -> Agreement | None:
    """Compare each part's mean by photo with its mean by gauge; None with fewer than three parts.

    Limits of agreement after Bland and Altman (Lancet 327, 1986, 307).
    """
    photo: dict[str, list[float]] = {}
    gauge: dict[str, list[float]] = {}
    for reading in readings:
        if reading.gauge is not None:
            photo.setdefault(reading.part, []).append(reading.value)
            gauge.setdefault(reading.part, []).append(reading.gauge)
    if len(photo) < FEWEST_PLACES:
        return None
    differences = np.array([np.mean(photo[part]) - np.mean(gauge[part]) for part in photo])
    mean, sd = float(differences.mean()), float(differences.std(ddof=1))
    reach = float(t.ppf(0.5 * (1.0 + CONFIDENCE), differences.size - 1))
    return Agreement(
        places=differences.size,
        mean_difference=mean,
        u_mean_difference=reach * sd / float(np.sqrt(differences.size)),
        lower=mean - NORMAL_95 * sd,
        upper=mean + NORMAL_95 * sd,
    )
