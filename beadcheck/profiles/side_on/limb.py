"""How a camera sees the outline of a pipe: the geometry of lines of sight that graze it."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface import Points, SolvedSurface

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sighted:
    """How N lines of sight pass a pipe.

    Attributes
    ----------
    height_mm
        (N,) D - R over the bare pipe.
    touching_mm
        (N, 2) surface places, arc and along the axis, where they come nearest to the axis.
    oblique_rad
        (N,) signed angles to the pipe's normal section.
    """

    height_mm: Floats
    touching_mm: Points
    oblique_rad: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LimbView:
    """One of the two limbs of a pipe, seen by the camera.

    Everything follows from one distance: D, of a line of sight from the pipe's axis. A line of
    sight that grazes a cylinder of radius R + h has D = R + h, wherever the camera stands (accuracy
    study, section 2.3).

    Attributes
    ----------
    side
        +1 for the limb at growing arc, -1 for the other.
    """

    surface: SolvedSurface
    side: int

    @property
    def radius_mm(self) -> float:
        """Radius of the bare pipe."""
        return self.surface.model.radius_of(self.surface.parameters)

    def seen_with(self, parameters: Floats) -> "LimbView":
        """The same limb, with other parameters of pose, lens and pipe."""
        return replace(self, surface=replace(self.surface, parameters=parameters.copy()))

    def sighted(self, points_px: Points) -> "Sighted":
        """Where the lines of sight through (N, 2) pixels pass the pipe."""
        from_axis, sight = self._from_axis(), self.surface.sight_lines(points_px)
        section = sight[:, [0, 2]]
        square = (section * section).sum(axis=1)
        moment = self.side * (sight[:, 2] * from_axis[0] - sight[:, 0] * from_axis[1])
        reach = -(section @ from_axis) / square
        nearest = from_axis + reach[:, None] * section
        angle = np.arctan2(nearest[:, 0], -nearest[:, 1])
        along_mm = self.surface.eye_mm[1] + reach * sight[:, 1]
        places = np.stack([self.radius_mm * angle, along_mm], axis=1)
        return Sighted(
            height_mm=np.asarray(moment / np.sqrt(square) - self.radius_mm),
            touching_mm=np.asarray(places + self.surface.model.pivot_mm, dtype=np.float64),
            oblique_rad=np.arctan2(sight[:, 1], np.sqrt(square)),
        )

    def heights_mm(self, points_px: Points) -> Floats:
        """(N,) heights D - R over the bare pipe of the lines of sight through (N, 2) pixels."""
        return self.sighted(points_px).height_mm

    def touching_mm(self, points_px: Points) -> Points:
        """(N, 2) surface places, arc and along the axis, where those lines come nearest to it."""
        return self.sighted(points_px).touching_mm

    def oblique_rad(self, points_px: Points) -> Floats:
        """(N,) signed angles between those lines of sight and the pipe's normal section."""
        return self.sighted(points_px).oblique_rad

    def pixels(self, along_mm: Floats, height_mm: Floats) -> Points:
        """(N, 2) pixels at which cylinders of (N,) heights over the pipe show their limb.

        `along_mm` is the surface's y; NaN where the lens does not show the place.
        """
        model, parameters = self.surface.model, self.surface.parameters
        from_axis = self._from_axis()
        axis_mm = float(np.hypot(*from_axis))
        towards = from_axis / axis_mm
        across = self.side * np.array([-towards[1], towards[0]])
        out_mm = self.radius_mm + height_mm
        cosine = out_mm / axis_mm
        sine = np.sqrt(np.maximum(1.0 - cosine * cosine, 0.0))
        section = out_mm[:, None] * (cosine[:, None] * towards + sine[:, None] * across)
        space = np.stack(
            [section[:, 0], along_mm - model.pivot_mm[1], section[:, 1] + self.radius_mm], axis=1
        )
        camera_mm = model.to_camera(parameters, space)
        camera_mm[~model.within_lens(parameters, camera_mm)] = np.nan
        return model.pixels(parameters, camera_mm)

    def _from_axis(self) -> Floats:
        """(2,) the lens, from the pipe's axis, in the normal section: x and z in space."""
        eye_mm = self.surface.eye_mm
        return np.array([eye_mm[0], eye_mm[2] - self.radius_mm])
