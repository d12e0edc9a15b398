"""Perspective of raised points: how far they seem shifted on the base metal."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.surface import Surface

ASIDE_MM: Final = 15.0
"""Distance across the weld at which the line of sight is compared with that at its middle."""


def lean_along(surface: Surface, axis: Axis, s_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far along the weld a point raised by 1 mm seems shifted, in mm: (C,).

    The tangent of the line of sight's angle to the normal has a part along the weld and a part
    across it, and the part across vanishes where the camera stands straight above. Squared, it is a
    parabola across the weld, exactly so on plates and round pipes, so that three angles give the
    part along.
    """
    squared = [
        np.tan(np.radians(90.0 - surface.seen_at_deg(axis.to_surface(s_mm, np.full(1, aside)))))
        ** 2
        for aside in (-ASIDE_MM, 0.0, ASIDE_MM)
    ]
    bend = 0.5 * (squared[0] + squared[2]) - squared[1]
    slope = 0.5 * (squared[2] - squared[0])
    along_squared = squared[1] - slope**2 / (4.0 * np.maximum(bend, 1.0e-12))
    size = np.sqrt(np.clip(np.nan_to_num(along_squared), 0.0, None))
    nearest = int(np.argmin(size))
    away = np.where(np.arange(s_mm.size) < nearest, -1.0, 1.0)
    if nearest == 0 or nearest == s_mm.size - 1:
        away = np.full(s_mm.size, 1.0 if nearest == 0 else -1.0)
    return np.asarray(size * away)


def lean_across(
    surface: Surface, axis: Axis, s_mm: NDArray[np.float64], across_mm: NDArray[np.float64]
) -> NDArray[np.float64]:
    """How far to the right a point raised by 1 mm seems shifted, in mm, at (C,) places: (C,).

    It grows evenly across the weld from where the camera stands above; see `lean_along`.
    """
    squared = [
        np.tan(np.radians(90.0 - surface.seen_at_deg(axis.to_surface(s_mm, across_mm + aside_mm))))
        ** 2
        for aside_mm in (-ASIDE_MM, 0.0, ASIDE_MM)
    ]
    bend = np.maximum(0.5 * (squared[0] + squared[2]) - squared[1], 1.0e-12)
    slope = 0.5 * (squared[2] - squared[0])
    return np.asarray(np.nan_to_num(0.5 * slope / np.sqrt(bend)))


def turning_deg(surface: Surface, axis: Axis, s_mm: NDArray[np.float64]) -> float:
    """By how much the surface turns between the ends of (C,) places along the weld; 0 on plate."""
    first, last = surface.clock_deg(axis.to_surface(s_mm[[0, -1]], np.zeros(1)))
    turn = abs((last - first + 180.0) % 360.0 - 180.0)
    return float(turn) if np.isfinite(turn) else 0.0
