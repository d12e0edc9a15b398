"""The crossed gauge study: how far the same places read alike, by analysis of variance."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import f as f_distribution

Floats = NDArray[np.float64]

POOLING_P: Final = 0.25
"""Above this p the interaction is taken for repeatability (AIAG MSA, 4th edition, and common
practice)."""
STUDY_SIGMAS: Final = 6.0
"""Standard deviations that study variation spans (AIAG MSA, 4th edition)."""
CATEGORIES: Final = float(np.sqrt(2.0))
"""Distinct categories per ratio of part to gauge spread; AIAG rounds it to 1.41."""


class UnbalancedStudyError(ValueError):
    """Not every person (or phone) read every place equally often, or too few of them did."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One line of the table of variance."""

    source: str
    degrees_of_freedom: int
    sum_of_squares: float
    f_ratio: float | None
    p_value: float | None

    @property
    def mean_square(self) -> float:
        """Sum of squares for each degree of freedom."""
        return self.sum_of_squares / self.degrees_of_freedom


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeStudy:
    """What a crossed study says of a gauge. Standard deviations are in the readings' unit.

    Attributes
    ----------
    effects
        Table of variance: parts, appraisers, interaction, equipment, total.
    pooled
        Whether the interaction was taken for repeatability.
    equipment_variation, appraiser_variation, interaction
        Repeatability; reproducibility of the appraisers; of their handling of different parts.
    gauge
        Repeatability and reproducibility together.
    part_variation, total_variation
        Of the parts themselves, and of all.
    tolerance
        Width between the limits, where there are two; None otherwise.
    """

    effects: tuple[Effect, ...]
    pooled: bool
    equipment_variation: float
    appraiser_variation: float
    interaction: float
    gauge: float
    part_variation: float
    total_variation: float
    tolerance: float | None

    @property
    def reproducibility(self) -> float:
        """Appraisers and interaction together."""
        return float(np.hypot(self.appraiser_variation, self.interaction))

    @property
    def percent_of_study(self) -> float:
        """Gauge spread in percent of the total spread."""
        return 100.0 * self.gauge / self.total_variation

    @property
    def percent_of_tolerance(self) -> float | None:
        """Six gauge standard deviations in percent of the tolerance; None without one."""
        if self.tolerance is None:
            return None
        return 100.0 * STUDY_SIGMAS * self.gauge / self.tolerance

    @property
    def distinct_categories(self) -> int | None:
        """How many groups of parts the gauge tells apart; None where the gauge has no spread."""
        if self.gauge <= 0.0:
            return None
        return max(1, int(CATEGORIES * self.part_variation / self.gauge))


def crossed_study(readings: ArrayLike, *, tolerance: float | None = None) -> GaugeStudy:
    """Analyse a balanced study.

    Parameters
    ----------
    readings
        (P, A, T) parts, appraisers (persons or phones) and trials, in one unit.
    tolerance
        Width between the two limits, in the same unit.

    Raises
    ------
    UnbalancedStudyError
        Fewer than two parts, appraisers or trials, or a reading is missing (NaN).
    ValueError
        The tolerance is not above 0.
    """
    if tolerance is not None and not tolerance > 0.0:
        msg = f"a tolerance of {tolerance} is no width between two limits"
        raise ValueError(msg)
    x = np.asarray(readings, dtype=np.float64)
    if x.ndim != 3 or min(x.shape) < 2:
        msg = "a crossed study wants two parts, two appraisers and two trials at least"
        raise UnbalancedStudyError(msg)
    if not np.isfinite(x).all():
        msg = "a crossed study wants every appraiser to read every part equally often"
        raise UnbalancedStudyError(msg)
    parts, appraisers, trials = x.shape
    squares, free = _sums_of_squares(x)
    mean = squares / free
    ratio, p_interaction = _tested(mean[2], free[2], mean[3], free[3])
    pooled = p_interaction is None or p_interaction > POOLING_P
    error, against, free_against = float(mean[3]), float(mean[2]), int(free[2])
    if pooled:
        free_against = int(free[2] + free[3])
        error = against = float(squares[2] + squares[3]) / free_against
    interaction = 0.0 if pooled else max(0.0, (mean[2] - mean[3]) / trials)
    appraiser = max(0.0, (mean[1] - against) / (parts * trials))
    part = max(0.0, (mean[0] - against) / (appraisers * trials))
    gauge = error + appraiser + interaction
    return GaugeStudy(
        effects=(
            _effect("parts", squares[0], free[0], _tested(mean[0], free[0], against, free_against)),
            _effect(
                "appraisers", squares[1], free[1], _tested(mean[1], free[1], against, free_against)
            ),
            _effect("interaction", squares[2], free[2], (ratio, p_interaction)),
            _effect("equipment", squares[3], free[3], (None, None)),
            _effect("total", squares.sum(), free.sum(), (None, None)),
        ),
        pooled=pooled,
        equipment_variation=float(np.sqrt(error)),
        appraiser_variation=float(np.sqrt(appraiser)),
        interaction=float(np.sqrt(interaction)),
        gauge=float(np.sqrt(gauge)),
        part_variation=float(np.sqrt(part)),
        total_variation=float(np.sqrt(gauge + part)),
        tolerance=tolerance,
    )


def _sums_of_squares(x: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """Of parts, appraisers, interaction and equipment, with their degrees of freedom."""
    parts, appraisers, trials = x.shape
    grand = x.mean()
    of_parts, of_appraisers = x.mean(axis=(1, 2)), x.mean(axis=(0, 2))
    cells = x.mean(axis=2)
    mixed = cells - of_parts[:, None] - of_appraisers[None, :] + grand
    squares = np.array(
        [
            appraisers * trials * np.square(of_parts - grand).sum(),
            parts * trials * np.square(of_appraisers - grand).sum(),
            trials * np.square(mixed).sum(),
            np.square(x - cells[..., None]).sum(),
        ]
    )
    free = np.array(
        [
            parts - 1,
            appraisers - 1,
            (parts - 1) * (appraisers - 1),
            parts * appraisers * (trials - 1),
        ]
    )
    return squares, free


def _tested(
    mean_square: float, free: int, against: float, free_against: int
) -> tuple[float | None, float | None]:
    """F ratio and its p value; None where there is nothing to test against."""
    if not against > 0.0:
        return None, None
    ratio = float(mean_square / against)
    return ratio, float(f_distribution.sf(ratio, free, free_against))


def _effect(
    source: str, squares: float, free: int, tested: tuple[float | None, float | None]
) -> Effect:
    return Effect(
        source=source,
        degrees_of_freedom=int(free),
        sum_of_squares=float(squares),
        f_ratio=tested[0],
        p_value=tested[1],
    )
