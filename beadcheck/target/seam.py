"""Where a strip that goes once round a pipe closes on itself."""

import math

import numpy as np
from numpy.typing import NDArray

from beadcheck.target.design import Marker, TargetDesign, WrapAxis

Floats = NDArray[np.float64]


def turn_mm(design: TargetDesign) -> float | None:
    """Printed length of one turn, or None for a target that is not made for one pipe.

    Paper bends about its middle, so one turn is as long as a circle through it.
    """
    if design.bore_mm is not None:
        return math.pi * (design.bore_mm - design.thickness_mm)
    if design.outside_diameter_mm is None:
        return None
    return math.pi * (design.outside_diameter_mm + design.thickness_mm)


def along_wrap(design: TargetDesign, length_mm: float) -> Floats:
    """(2,) vector of a length along the wrapped axis of the target's frame."""
    return np.array([length_mm, 0.0] if design.wraps is WrapAxis.X else [0.0, length_mm])


def place_along_wrap_mm(design: TargetDesign, marker: Marker) -> float:
    """Middle of a marker along the wrapped axis."""
    return float(marker.corners_mm[:, 0 if design.wraps is WrapAxis.X else 1].mean())


def turn_of(design: TargetDesign, marker: Marker) -> int:
    """How many turns beyond the strip's own places a marker was moved (see `Reading`)."""
    length_mm = turn_mm(design)
    if length_mm is None:
        return 0
    return math.floor(place_along_wrap_mm(design, marker) / length_mm)
