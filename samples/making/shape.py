"""Where the metal's frame (s, t, z) lies in space: a flat plate, or round a pipe."""

from dataclasses import dataclass

import numpy as np

from samples.making.noise import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A plate (`radius_mm` None), or a pipe whose axis is t: its outside, or its inside.

    Of the inside the radius is negative, and z grows towards the axis.
    """

    radius_mm: float | None = None

    def xyz_mm(self, stz_mm: Floats) -> Floats:
        """Points in space from points (..., 3) in the metal's frame."""
        if self.radius_mm is None:
            return np.asarray(stz_mm, dtype=np.float64)
        s, t, z = np.moveaxis(np.asarray(stz_mm, dtype=np.float64), -1, 0)
        angle, r = s / self.radius_mm, self.radius_mm + z
        return np.stack([r * np.sin(angle), t, r * np.cos(angle) - self.radius_mm], axis=-1)

    def stz_mm(self, xyz_mm: Floats) -> Floats:
        """Points in the metal's frame from points (..., 3) in space; s within half a turn of 0."""
        if self.radius_mm is None:
            return np.asarray(xyz_mm, dtype=np.float64)
        x, y, up = np.moveaxis(np.asarray(xyz_mm, dtype=np.float64), -1, 0)
        side = np.sign(self.radius_mm)
        from_axis = up + self.radius_mm
        angle, r = np.arctan2(side * x, side * from_axis), side * np.hypot(x, from_axis)
        return np.stack([angle * self.radius_mm, y, r - self.radius_mm], axis=-1)

    def turn(self, s_mm: Floats, vectors: Floats) -> Floats:
        """Directions in space from directions (..., 3) in the metal's frame at s."""
        if self.radius_mm is None:
            return np.asarray(vectors, dtype=np.float64)
        angle = np.asarray(s_mm) / self.radius_mm
        along, across, out = np.moveaxis(np.asarray(vectors, dtype=np.float64), -1, 0)
        cos, sin = np.cos(angle), np.sin(angle)
        return np.stack([cos * along + sin * out, across, cos * out - sin * along], axis=-1)

    def normal(self, s_mm: Floats) -> Floats:
        """Outward normal (..., 3) at s."""
        out = np.zeros((*np.shape(s_mm), 3))
        out[..., 2] = 1
        return self.turn(s_mm, out)
