"""What is known of a layer of beads side by side in one photo."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadcheck.quantity import Quantity
from beadcheck.surface import Points

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Valley:
    """The line along which two beads meet, at N stations.

    Attributes
    ----------
    seen_mm
        (N, 2) surface points at which it is seen.
    under_mm
        (N, 2) points of the base metal under it, its height's perspective taken out.
    u_mm
        (N,) standard uncertainty across the weld, of each station's own.
    shift_u_mm
        (N,) by how much it would lie further right if it were higher by its height's standard
        uncertainty: alike for all valleys, so that it hardly tells on a bead between two.
    clear
        (N,) bool: it is seen here.
    """

    seen_mm: Points
    under_mm: Points
    u_mm: Floats
    shift_u_mm: Floats
    clear: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BeadWidth:
    """The visible width of one bead: from toe or valley to the next valley or toe.

    What lies under a neighbour is not seen and not counted.

    Attributes
    ----------
    width_mm, u_mm
        (N,) at the stations, and the standard uncertainty, scale left out.
    used
        (N,) bool: both its edges are clear.
    quantities
        Mean, least and greatest over the used stations; empty where too few are.
    """

    width_mm: Floats
    u_mm: Floats
    used: NDArray[np.bool_]
    quantities: tuple[Quantity, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layer:
    """Two or more beads side by side.

    Attributes
    ----------
    s_mm
        (N,) stations of the steady weld.
    seen_count
        How many beads the photo shows of itself, whatever was entered.
    valleys
        From left to right, facing growing s.
    beads
        Likewise, one more.
    """

    s_mm: Floats
    seen_count: int
    valleys: tuple[Valley, ...]
    beads: tuple[BeadWidth, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoLayer:
    """Beads side by side were entered, and why they cannot be told apart."""

    reason: str
    how_to: str
