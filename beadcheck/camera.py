"""The camera that a photo was taken with: what is known beforehand, and how it maps directions."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo

Floats = NDArray[np.float64]

FILM_DIAGONAL_MM: Final = math.hypot(24.0, 36.0)
USUAL_FOCAL_35MM_MM: Final = 26.0
"""The usual main lens of a phone (common practice, no published source)."""
TRUSTED_FOCAL_35MM_MM: Final = (10.0, 200.0)
U_STATED_FOCAL: Final = 0.05
"""Relative: stated in whole mm, and shorter focus distances lengthen it by a few percent."""
U_USUAL_FOCAL: Final = 0.15
U_CENTRE_OF_DIAGONAL: Final = 0.015
"""Where the axis meets the sensor: 75 px of a 12 megapixel photo; stabilisers need room."""
U_K1: Final = 0.05
"""Main lenses of phones, partly straightened by their own software (an estimate)."""
U_K2: Final = 0.10
WIDEST_DIRECTION: Final = 2.0
"""Tangent of the widest angle to the axis that is believed: 63 degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """A pinhole with radial distortion, and how well each figure is known (standard uncertainties).

    Distortion is OpenCV's: a direction (x, y, 1) at r² = x² + y² appears at
    (x, y) (1 + k1 r² + k2 r⁴).
    """

    focal_px: float
    centre_px: tuple[float, float]
    k1: float
    k2: float
    u_focal_px: float
    u_centre_px: float
    u_k1: float
    u_k2: float


def camera_of(photo: Photo) -> Camera:
    """What the photo's file and the trade tell of its camera before any target is seen.

    A stated focal length out of 10 to 200 mm is taken for a mistake and not used.
    """
    stated = photo.lens.focal_35mm_mm
    trusted = stated is not None and (
        TRUSTED_FOCAL_35MM_MM[0] <= stated <= TRUSTED_FOCAL_35MM_MM[1]
    )
    focal_35mm_mm = stated if trusted and stated is not None else USUAL_FOCAL_35MM_MM
    diagonal_px = math.hypot(photo.width_px, photo.height_px)
    focal_px = focal_35mm_mm * diagonal_px / FILM_DIAGONAL_MM
    return Camera(
        focal_px=focal_px,
        centre_px=(0.5 * (photo.width_px - 1), 0.5 * (photo.height_px - 1)),
        k1=0.0,
        k2=0.0,
        u_focal_px=focal_px * (U_STATED_FOCAL if trusted else U_USUAL_FOCAL),
        u_centre_px=U_CENTRE_OF_DIAGONAL * diagonal_px,
        u_k1=U_K1,
        u_k2=U_K2,
    )


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
