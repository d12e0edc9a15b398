"""The phone's camera: pinhole with radial distortion, in OpenCV's conventions."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from samples.making.noise import Floats
from samples.making.shape import Shape

FULL_FRAME_DIAGONAL_MM = 43.2666  # 36 mm by 24 mm: the base of "35 mm equivalent"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Camera:
    """A camera in its place.

    Attributes
    ----------
    rotation, translation_mm
        x_cam = rotation @ x + translation_mm.
    k1, k2
        OpenCV's radial distortion.
    """

    width_px: int
    height_px: int
    focal_equiv_mm: float
    rotation: Floats
    translation_mm: Floats
    k1: float = 0.0
    k2: float = 0.0
    centre_shift_px: tuple[float, float] = (0.0, 0.0)

    @property
    def focal_px(self) -> float:
        """Focal length in pixels."""
        diagonal = float(np.hypot(self.width_px, self.height_px))
        return self.focal_equiv_mm / FULL_FRAME_DIAGONAL_MM * diagonal

    @property
    def centre_px(self) -> tuple[float, float]:
        """Principal point."""
        return (
            (self.width_px - 1) / 2 + self.centre_shift_px[0],
            (self.height_px - 1) / 2 + self.centre_shift_px[1],
        )

    @property
    def eye_mm(self) -> Floats:
        """The centre of projection in space."""
        return -self.rotation.T @ self.translation_mm

    def project(self, xyz_mm: Floats) -> Floats:
        """Pixels (..., 2) of points (..., 3); NaN behind the camera."""
        seen = np.asarray(xyz_mm) @ self.rotation.T + self.translation_mm
        depth = np.where(seen[..., 2] > 1e-6, seen[..., 2], np.nan)
        x, y = seen[..., 0] / depth, seen[..., 1] / depth
        r2 = x * x + y * y
        gain = 1 + self.k1 * r2 + self.k2 * r2 * r2
        cx, cy = self.centre_px
        return np.stack([cx + self.focal_px * gain * x, cy + self.focal_px * gain * y], axis=-1)

    def inside(self, px: Floats) -> NDArray[np.bool_]:
        """Whether pixels (..., 2) lie in the picture."""
        x, y = px[..., 0], px[..., 1]
        with np.errstate(invalid="ignore"):
            return (
                (x >= -0.5) & (y >= -0.5) & (x < self.width_px - 0.5) & (y < self.height_px - 0.5)
            )


def aim(
    shape: Shape,
    *,
    at_st_mm: tuple[float, float],
    distance_mm: float,
    tilt_deg: float,
    tilt_towards_deg: float,
    roll_deg: float,
    roll_of: str = "s",
    turned_deg: tuple[float, float] = (0.0, 0.0),
) -> tuple[Floats, Floats]:
    """Rotation and translation of a camera that looks at a point of the metal.

    Parameters
    ----------
    tilt_deg
        Between the viewing line and the metal's normal.
    tilt_towards_deg
        Direction on the metal, from s towards t, to which the camera leans.
    roll_deg
        Direction of s (or t, if `roll_of` says so) in the picture: 0 along +x, growing clockwise
        as seen.
    turned_deg
        How far the camera is then turned left and up, so that the point leaves the middle.
    """
    s, t = at_st_mm
    point = shape.xyz_mm(np.array([s, t, 0.0]))
    tilt, towards, roll = np.radians([tilt_deg, tilt_towards_deg, roll_deg])
    lean = np.array([np.sin(tilt) * np.cos(towards), np.sin(tilt) * np.sin(towards), np.cos(tilt)])
    back = shape.turn(np.array(s), lean)
    forward = -back
    unit = np.array([1.0, 0.0, 0.0] if roll_of == "s" else [0.0, 1.0, 0.0])
    along = shape.turn(np.array(s), unit)
    flat = along - forward * (along @ forward)
    flat /= np.linalg.norm(flat)
    down = np.cross(forward, flat)
    right = np.cos(roll) * flat - np.sin(roll) * down
    low = np.cos(roll) * down + np.sin(roll) * flat
    left, up = np.radians(turned_deg)
    rotation = _about_x(up) @ _about_y(left) @ np.stack([right, low, forward])
    eye = point + distance_mm * back
    return rotation, -rotation @ eye


def _about_x(angle: float) -> Floats:
    """Moves what the camera sees down by an angle."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[1.0, 0.0, 0.0], [0.0, c, s], [0.0, -s, c]])


def _about_y(angle: float) -> Floats:
    """Moves what the camera sees right by an angle."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])
