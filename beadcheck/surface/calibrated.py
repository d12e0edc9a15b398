"""Whether what was known beforehand, a stored calibration above all, is what the photo shows."""

import math
from typing import Final

import numpy as np

from beadcheck.camera import Camera
from beadcheck.surface.contract import SurfaceWarning
from beadcheck.surface.model import CENTRE, FOCAL, K1, K2
from beadcheck.surface.solved import SolvedSurface

SURE_OF_CAMERA: Final = 4.0
"""Standard uncertainties. A card that is not quite flat looks a little like another lens."""


def by_photo_alone(surface: SolvedSurface, place: int, u_before: float) -> tuple[float, float]:
    """A parameter and its standard uncertainty with what was known beforehand taken out again.

    Parameters
    ----------
    u_before
        Standard uncertainty of the parameter before the photo.
    """
    after = 1.0 / float(surface.covariance[place, place])
    before = 1.0 / u_before**2
    own = max(after - before, 1e-3 * before)
    return float(surface.parameters[place]) * after / own, 1.0 / float(np.sqrt(own))


def contradicts(surface: SolvedSurface) -> bool:
    """Whether the photo shows another focal length, centre or distortion than were known."""
    camera = surface.model.camera
    known = {
        FOCAL: camera.u_focal_px / camera.focal_px,
        CENTRE.start: camera.u_centre_px,
        CENTRE.stop - 1: camera.u_centre_px,
        K1: camera.u_k1,
        K2: camera.u_k2,
    }
    for place, u_before in known.items():
        shift, u_shift = by_photo_alone(surface, place, u_before)
        if abs(shift) > SURE_OF_CAMERA * math.hypot(u_shift, u_before):
            return True
    return False


def not_fitting(camera: Camera) -> SurfaceWarning:
    """What to tell where a stored calibration was not used."""
    return SurfaceWarning(
        code="camera_not_fitting",
        message=f"The stored calibration of the camera ({camera.calibration}) does not fit this "
        "photo and was not used: give the photo as the camera took it, with no crop or zoom, or "
        "calibrate the camera again.",
    )
