"""The plane of the light in space, and the points where lines of sight meet it."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.surface import Points, SolvedSurface

Floats = NDArray[np.float64]

STEP_MM: Final = 1e-3
SEATINGS: Final = 2
"""Rounds in which a step finds the place on a pipe that it stands on."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Frame:
    """Right-angled axes in space at a place on the metal: along, across and out of it.

    Attributes
    ----------
    origin_mm
        (3,) in the surface's space frame.
    axes
        (3, 3), a row each: along the weld's axis, across it, out of the metal.
    """

    origin_mm: Floats
    axes: Floats

    @classmethod
    def at(cls, surface: SolvedSurface, axis: Axis, place_mm: Points) -> "Frame":
        """Axes at one place, (1, 2), of the surface."""
        steps = STEP_MM * np.array([(0.0, 0.0), axis.direction, axis.across])
        origin, ahead, right = surface.in_space(place_mm + steps, 0.0)
        out = surface.outward(place_mm)[0]
        along = _square_part(ahead - origin, out)
        across = _square_part(_square_part(right - origin, out), along)
        return cls(origin_mm=origin, axes=np.stack([along, across, out]))

    def local(self, space_mm: Floats) -> Floats:
        """(N, 3) along, across and out of (N, 3) points in space."""
        return np.asarray((space_mm - self.origin_mm) @ self.axes.T, dtype=np.float64)

    def space(self, local: Floats) -> Floats:
        """(N, 3) points in space of (N, 3) local ones."""
        return np.asarray(self.origin_mm + local @ self.axes, dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheet:
    """The plane along = offset + turn x across + slant x out, in a local frame."""

    frame: Frame
    offset_mm: float
    turn: float
    slant: float

    def met(self, surface: SolvedSurface, points_px: Points) -> Floats:
        """(N, 3) points in space where the lines of sight of (N, 2) pixels meet the plane."""
        normal = np.array([1.0, -self.turn, -self.slant]) @ self.frame.axes
        eye = surface.eye_mm
        sight = surface.sight_lines(points_px)
        reach = (self.offset_mm - (eye - self.frame.origin_mm) @ normal) / (sight @ normal)
        return np.asarray(eye + reach[:, None] * sight, dtype=np.float64)

    def point(self, across_mm: float, out_mm: float) -> Floats:
        """(1, 3) point in space, on the plane."""
        along = self.offset_mm + self.turn * across_mm + self.slant * out_mm
        return self.frame.space(np.array([[along, across_mm, out_mm]]))

    def shift_per_height(self, surface: SolvedSurface) -> float:
        """K: how far a height of 1 mm moves the light on the base metal, square to the line."""
        sight = self.frame.axes @ (self.point(0.0, 0.0)[0] - surface.eye_mm)
        along, across, _ = sight / sight[2]
        return float((self.slant - along + self.turn * across) / np.hypot(1.0, self.turn))


def _square_part(vector: Floats, other: Floats) -> Floats:
    """The part of a vector that is square to a unit vector, as a unit vector."""
    part = vector - other * (vector @ other)
    return np.asarray(part / math.sqrt(part @ part))


def on_metal(surface: SolvedSurface, points_px: Points) -> Floats:
    """(N, 3) points in space of (N, 2) pixels that show bare metal."""
    return surface.in_space(surface.to_mm(points_px), 0.0)


def on_step(surface: SolvedSurface, points_px: Points, height_mm: float) -> Floats:
    """(N, 3) points in space of (N, 2) pixels that show the flat top of a step on the metal.

    On a pipe the step touches under the middle of the light on it.
    """
    eye = surface.eye_mm
    sight = surface.sight_lines(points_px)
    seat_mm = surface.to_mm(points_px).mean(axis=0, keepdims=True)
    on_plate = surface.outside_diameter_mm is None
    for _ in range(1 if on_plate else SEATINGS):
        out = surface.outward(seat_mm)[0]
        seat = surface.in_space(seat_mm, 0.0)[0]
        reach = (height_mm + (seat - eye) @ out) / (sight @ out)
        top = eye + reach[:, None] * sight
        seat_mm = surface.over_surface(top.mean(axis=0, keepdims=True))[0]
    return np.asarray(top, dtype=np.float64)
