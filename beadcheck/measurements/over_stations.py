"""A length that stations of a weld gave, whichever length it is."""

import numpy as np
from numpy.typing import NDArray

from beadcheck.quantity import Component, Quantity, QuantityName, Side, Statistic
from beadcheck.units import Unit


def over_stations(
    name: QuantityName,
    statistic: Statistic,
    *,
    value_mm: float,
    s_mm: NDArray[np.float64],
    budget: tuple[Component, ...],
    side: Side | None = None,
) -> Quantity:
    """Length over N stations, with how many they are and how far they reach.

    Parameters
    ----------
    s_mm
        (N,) places of the stations that count, growing along the weld.
    """
    return Quantity(
        name=name,
        statistic=statistic,
        value=value_mm,
        unit=Unit.MM,
        count=int(s_mm.size),
        budget=budget,
        s_range_mm=(float(s_mm[0]), float(s_mm[-1])),
        side=side,
    )
