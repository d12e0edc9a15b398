"""What an unknown view adds: without a target nothing tells how slanted or bent the surface is."""

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.quantity import Component, Quantity, Scope, Statistic

SOURCE: Final = "slant and bend of the surface, not known without a target"
UNKNOWN_TILT_DEG: Final = 30.0
"""A phone held square on by eye is off by less than this (our estimate, no published source)."""
TREND_DEGREE: Final = 2
"""A slanted plate shrinks lengths steadily along the weld, a pipe towards both ends of its view."""


def trend_effect(
    places: NDArray[np.float64], readings: NDArray[np.float64], statistic: Statistic
) -> Component:
    """Return what the view may have added to a spread or an extreme, in the unit of the readings.

    At most all of the readings' slow trend along the weld is the view's; how much of it is not
    known (rectangular).

    Parameters
    ----------
    places, readings
        (N,) places along the weld, and what was read there.
    """
    trend = np.zeros_like(readings)
    if readings.size > TREND_DEGREE + 1:
        centred = places - places.mean()
        trend = np.polyval(np.polyfit(centred, readings, TREND_DEGREE), centred)
        trend -= trend.mean()
    if statistic is Statistic.SD:
        most = float(trend.std())
    else:
        at = int(readings.argmin() if statistic is Statistic.MIN else readings.argmax())
        most = abs(float(trend[at]))
    return Component(source=SOURCE, standard_uncertainty=most / math.sqrt(3.0), scope=Scope.PHOTO)


def overlap_effect(overlap: Quantity) -> Component:
    """Return what the view may have changed in a pulse overlap.

    A slant along the weld shortens the spacing, one across it the spot: either way by the cosine.
    """
    ratio = 1.0 - overlap.value
    most = ratio * (1.0 - math.cos(math.radians(UNKNOWN_TILT_DEG)))
    return Component(source=SOURCE, standard_uncertainty=most / math.sqrt(3.0), scope=Scope.PHOTO)
