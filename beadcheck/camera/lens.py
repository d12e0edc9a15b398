"""A pinhole with radial distortion: how a camera maps directions, and how well that is known."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

WIDEST_DIRECTION: Final = 2.0
"""Tangent of the widest angle to the axis that is believed: 63 degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """A pinhole with radial distortion, and how well each figure is known (standard uncertainties).

    Distortion is OpenCV's: a direction (x, y, 1) at r² = x² + y² appears at
    (x, y) (1 + k1 r² + k2 r⁴).

    Attributes
    ----------
    calibration
        Name and date of the stored calibration that it comes from; None where there is none.
    """

    focal_px: float
    centre_px: tuple[float, float]
    k1: float
    k2: float
    u_focal_px: float
    u_centre_px: float
    u_k1: float
    u_k2: float
    calibration: str | None = None


def seen_directions(directions: Floats, k1: float, k2: float) -> Floats:
    """Distorted (N, 2) image coordinates, in focal lengths, of straight (N, 2) ones."""
    r2 = (directions * directions).sum(axis=1, keepdims=True)
    return np.asarray(directions * (1.0 + r2 * (k1 + r2 * k2)), dtype=np.float64)


def straight_directions(seen: Floats, k1: float, k2: float) -> Floats:
    """Inverse of `seen_directions`, by Newton's method on the radius; NaN where there is none."""
    radius_seen = np.hypot(*seen.T)
    radius = radius_seen.copy()
    for _ in range(6):
        r2 = radius * radius
        slope = 1.0 + r2 * (3.0 * k1 + 5.0 * k2 * r2)
        miss = radius * (1.0 + r2 * (k1 + k2 * r2)) - radius_seen
        radius = np.clip(radius - miss / np.maximum(slope, 0.1), 0.0, WIDEST_DIRECTION)
    radius = np.where(np.abs(miss) < 1e-6, radius, np.nan)
    factor = np.divide(radius, radius_seen, out=np.ones_like(radius), where=radius_seen > 0.0)
    return np.asarray(seen * factor[:, None], dtype=np.float64)


def within_lens(directions: Floats, k1: float, k2: float) -> NDArray[np.bool_]:
    """Which (N, 2) directions a lens shows once: far out, the two terms would fold the picture."""
    r2 = (directions * directions).sum(axis=1)
    slope = 1.0 + r2 * (3.0 * k1 + 5.0 * k2 * r2)
    return np.asarray((slope > 0.1) & (r2 < WIDEST_DIRECTION**2))
