"""What a solved camera must fulfil to be of use."""

import math
from typing import Final

import numpy as np

from beadcheck.camera.bundle import Bundle
from beadcheck.errors.camera import BoardUnevenError, CameraUnclearError

MOST_U_FOCAL: Final = 0.02
"""Relative: less than half of what the focal length stated in a photo's file is good for."""
MOST_U_CENTRE_OF_DIAGONAL: Final = 0.0075
"""Half of what is known of any phone's centre beforehand."""
MOST_U_K1: Final = 0.025
"""Likewise of the first term of distortion."""
UNEVEN_PX: Final = 0.7
UNEVEN_OF_DIAGONAL: Final = 0.00025
"""1.3 px of a 12 megapixel photo: 0.1 mm of unevenness seen at 30 degrees from 150 mm."""


def spread_deg(solved: Bundle) -> float:
    """Widest angle between two of the directions from which the board was seen."""
    normals = np.array([pose.rotation[:, 2] for pose in solved.poses])
    cosines = np.clip(normals @ normals.T, -1.0, 1.0)
    return float(np.degrees(np.arccos(cosines.min())))


def require_held(solved: Bundle, size_px: tuple[int, int]) -> None:
    """Refuse a camera that the photos hold too loosely, or a board that no plane explains.

    Raises
    ------
    BoardUnevenError, CameraUnclearError
    """
    diagonal_px = math.hypot(*size_px)
    residual_px = float(np.sqrt((solved.residual_px**2).mean()))
    limit_px = max(UNEVEN_PX, UNEVEN_OF_DIAGONAL * diagonal_px)
    if residual_px > limit_px:
        raise BoardUnevenError(residual_px, limit_px)
    u_focal, u_x, u_y, u_k1, _ = np.sqrt(np.diag(solved.covariance)).tolist()
    u_centre = max(u_x, u_y) / diagonal_px
    if u_focal > MOST_U_FOCAL:
        raise CameraUnclearError(
            "focal length", f"± {200.0 * u_focal:.1f} %", f"± {200.0 * MOST_U_FOCAL:.1f} %"
        )
    if u_centre > MOST_U_CENTRE_OF_DIAGONAL:
        limit = f"± {2.0 * MOST_U_CENTRE_OF_DIAGONAL * diagonal_px:.0f} px"
        raise CameraUnclearError(
            "centre of the picture", f"± {2.0 * u_centre * diagonal_px:.0f} px", limit
        )
    if u_k1 > MOST_U_K1:
        raise CameraUnclearError(
            "lens distortion (k1)", f"± {2.0 * u_k1:.3f}", f"± {2.0 * MOST_U_K1:.3f}"
        )
