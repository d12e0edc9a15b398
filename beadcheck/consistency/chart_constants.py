"""Constants of control charts: the mean range of n normal readings, and its spread."""

from functools import cache
from typing import Final

import numpy as np
from scipy.integrate import quad
from scipy.stats import norm

FARTHEST: Final = 9.0
"""Standard deviations beyond which a normal reading adds nothing to these integrals."""
MOST_READINGS: Final = 25
"""Printed tables end here; a range says little of so many readings."""


@cache
def mean_range(readings: int) -> float:
    """Mean range of `readings` normal readings with standard deviation 1: the constant d2.

    Computed from its definition (Tippett, Biometrika 17, 1925), not taken from a table.

    Raises
    ------
    ValueError
        Fewer than two readings have no range.

    Examples
    --------
    >>> round(mean_range(2), 3)
    1.128
    """
    _check(readings)

    def beyond(x: float) -> float:
        below = float(norm.cdf(x))
        return 1.0 - (1.0 - below) ** readings - below**readings

    return float(quad(beyond, -FARTHEST, FARTHEST)[0])


@cache
def range_spread(readings: int) -> float:
    """Standard deviation of that range: the constant d3.

    Raises
    ------
    ValueError
        Fewer than two readings have no range.

    Examples
    --------
    >>> round(range_spread(5), 3)
    0.864
    """
    _check(readings)
    # E(R^2) as a double integral over x < y; on an even grid both tails have died away.
    at, step = np.linspace(-FARTHEST, FARTHEST, 2401, retstep=True)
    below = norm.cdf(at)
    low, high = below[:, None], below[None, :]
    inside = 1.0 - high**readings - (1.0 - low) ** readings + np.abs(high - low) ** readings
    inside[np.tril_indices(at.size)] = 0.0
    square = 2.0 * float(inside.sum()) * step * step
    # The open diagonal's halves: half a cell each, where the integrand is that of d2.
    square += step * mean_range(readings)
    return float(np.sqrt(square - mean_range(readings) ** 2))


def _check(readings: int) -> None:
    if not 2 <= readings <= MOST_READINGS:
        msg = f"a range wants 2 to {MOST_READINGS} readings, not {readings}"
        raise ValueError(msg)
