"""A sheet of light (or of shadow) in space."""

from dataclasses import dataclass

import numpy as np

from samples.making.noise import Floats
from samples.making.recipe import Light
from samples.making.shape import Shape


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LightSheet:
    """Plane through `point_mm` and the source.

    Attributes
    ----------
    along, towards
        Unit vectors in the plane: along its line on the base metal, and towards the source.
    beside
        Unit vector along the base metal, square to `along`; a sheet that leans leans this way.
    """

    point_mm: Floats
    along: Floats
    towards: Floats
    beside: Floats
    source_mm: Floats

    @property
    def normal(self) -> Floats:
        """Unit normal of the plane."""
        normal = np.cross(self.along, self.towards)
        return np.asarray(normal / np.linalg.norm(normal), dtype=np.float64)

    def off_mm(self, xyz_mm: Floats) -> Floats:
        """Signed distance of points (..., 3) from the plane."""
        return np.asarray((np.asarray(xyz_mm) - self.point_mm) @ self.normal, dtype=np.float64)


def sheet_of(light: Light, shape: Shape) -> LightSheet:
    """Where a light's sheet stands."""
    azimuth, lean = np.radians([light.azimuth_deg, light.angle_deg])
    s = np.array(light.s_mm)
    along = shape.turn(s, np.array([np.sin(azimuth), np.cos(azimuth), 0.0]))
    beside = shape.turn(s, np.array([np.cos(azimuth), -np.sin(azimuth), 0.0]))
    towards = np.cos(lean) * shape.normal(s) + np.sin(lean) * beside
    point = shape.xyz_mm(np.array([light.s_mm, light.t_mm, 0.0]))
    return LightSheet(
        point_mm=point,
        along=along,
        towards=towards,
        beside=beside,
        source_mm=point + light.reach_mm * towards,
    )
