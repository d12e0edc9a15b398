"""How a welder's scatter compares with what a limit leaves room for."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import chi2, norm

FEWEST_VALUES: Final = 5
FIRM_VALUES: Final = 50
"""Large enough for indices to be valid (NIST/SEMATECH e-Handbook, 6.1.6)."""
CONFIDENCE: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """Capability indices of a set of values against one or two limits.

    Attributes
    ----------
    count, mean, sd
        Of the values; mean and sd in their unit.
    cp
        Width between the limits over six standard deviations; None with one limit.
    cp_range
        Its confidence interval at `CONFIDENCE`; None with one limit.
    cpk
        Distance of the mean from the nearer limit over three standard deviations.
    cpk_range
        Its confidence interval at `CONFIDENCE`, by Bissell's approximation.
    """

    count: int
    mean: float
    sd: float
    cp: float | None
    cp_range: tuple[float, float] | None
    cpk: float
    cpk_range: tuple[float, float]

    @property
    def firm(self) -> bool:
        """Whether enough values stand behind it."""
        return self.count >= FIRM_VALUES


def capability(
    values: ArrayLike, *, lowest: float | None = None, highest: float | None = None
) -> Capability:
    """Return the indices of values against a lower limit, an upper one, or both.

    Formulae as in the NIST/SEMATECH e-Handbook, 6.1.6; the interval of Cpk is Bissell's, of
    Cp that of a variance.

    Raises
    ------
    ValueError
        No limit, limits in the wrong order, too few values, or values without any scatter.
    """
    readings = np.asarray(values, dtype=np.float64)
    if readings.size < FEWEST_VALUES:
        msg = f"capability wants {FEWEST_VALUES} values or more, not {readings.size}"
        raise ValueError(msg)
    return capability_of(
        mean=float(readings.mean()),
        sd=float(readings.std(ddof=1)),
        count=readings.size,
        lowest=lowest,
        highest=highest,
    )


def capability_of(
    *,
    mean: float,
    sd: float,
    count: int,
    lowest: float | None = None,
    highest: float | None = None,
) -> Capability:
    """Return the same from mean, standard deviation and count.

    Raises
    ------
    ValueError
        No limit, limits in the wrong order, or no scatter.
    """
    if not sd > 0.0:
        msg = "values without scatter have no capability index"
        raise ValueError(msg)
    margins = [
        margin
        for margin in (
            None if highest is None else highest - mean,
            None if lowest is None else mean - lowest,
        )
        if margin is not None
    ]
    if not margins:
        msg = "capability wants a limit"
        raise ValueError(msg)
    cp: float | None = None
    cp_range: tuple[float, float] | None = None
    free = count - 1
    if lowest is not None and highest is not None:
        if highest <= lowest:
            msg = f"the upper limit {highest} lies below the lower one {lowest}"
            raise ValueError(msg)
        cp = (highest - lowest) / (6.0 * sd)
        tails = chi2.ppf([0.5 * (1 - CONFIDENCE), 0.5 * (1 + CONFIDENCE)], free)
        low, high = cp * np.sqrt(tails / free)
        cp_range = (float(low), float(high))
    cpk = min(margins) / (3.0 * sd)
    reach = float(norm.ppf(0.5 * (1 + CONFIDENCE))) * float(
        np.sqrt(1.0 / (9.0 * count) + cpk * cpk / (2.0 * free))
    )
    return Capability(
        count=count,
        mean=mean,
        sd=sd,
        cp=cp,
        cp_range=cp_range,
        cpk=cpk,
        cpk_range=(cpk - reach, cpk + reach),
    )
