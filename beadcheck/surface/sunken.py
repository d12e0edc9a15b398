"""The metal's surface, and what lies at one depth below it, as in a groove."""

from dataclasses import dataclass, fields, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.quantity import Component, Scope
from beadcheck.surface.contract import Points
from beadcheck.surface.solved import SolvedSurface

DEPTH_STEP_MM: Final = 0.01
DEPTH: Final = "depth in the groove"
"""Source of what a depth that is off does to a distance, by scale and by parallax."""
APART: Final = "one toe deeper than the other"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunkenSurface(SolvedSurface):
    """A solved surface whose pixels show what lies `below_mm` under it.

    Lines of sight are led on to a plane as much lower, or to a pipe as much thinner. Places stay
    those of the surface, straight above what is seen, so that widths and stations are what they
    are without a groove.

    Attributes
    ----------
    u_below_mm
        Standard uncertainty of the depth.
    u_apart_mm
        Standard uncertainty of how much deeper one of two points lies than the other.
    """

    u_below_mm: float
    u_apart_mm: float

    def target_outline_mm(self) -> tuple[Points, ...]:
        """Corners of each patch of the target's paper, as places that they hide."""
        on_metal = (self._on_metal(corners, part) for part, corners in self.outlines_mm)
        return tuple(self._behind(corners) for corners in on_metal)

    def distance_components(self, start_mm: Points, end_mm: Points) -> tuple[Component, ...]:
        """Budget, in mm, of the mean distance between N pairs of points: the depth is in it.

        A depth that is off changes the scale, and where the view is oblique it shifts points
        (parallax); two points at different depths shift apart.
        """
        start_mm = np.asarray(start_mm, dtype=np.float64).reshape(-1, 2)
        end_mm = np.asarray(end_mm, dtype=np.float64).reshape(-1, 2)
        run = end_mm - start_mm
        along = run / np.maximum(np.hypot(*run.T), 1e-9)[:, None]
        start, end = (
            float((self._per_depth(points_mm) * along).sum(axis=1).mean())
            for points_mm in (start_mm, end_mm)
        )
        # The plain `super()` knows nothing of a class that its slots made anew.
        return (
            *SolvedSurface.distance_components(self, start_mm, end_mm),
            Component(
                source=DEPTH,
                standard_uncertainty=abs(end - start) * self.u_below_mm,
                scope=Scope.PHOTO,
            ),
            Component(
                source=APART,
                standard_uncertainty=0.5 * abs(end + start) * self.u_apart_mm,
                scope=Scope.PHOTO,
            ),
        )

    def toward(self, points_mm: Points, direction: Points) -> NDArray[np.float64]:
        """(N,) tangent of how far the line of sight leans from the normal along a direction.

        Parameters
        ----------
        points_mm
            (N, 2) places.
        direction
            (N, 2) or (2,) unit direction on the surface; positive where the camera stands there.
        """
        points_mm = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
        place = self.model.space(self.parameters, points_mm, -self.below_mm)
        ahead = self.model.space(
            self.parameters, points_mm + DEPTH_STEP_MM * direction, -self.below_mm
        )
        way = ahead - place
        way /= np.linalg.norm(way, axis=1, keepdims=True)
        sight = self.model.eye_mm(self.parameters) - place
        out = self.model.outward(self.parameters, points_mm)
        return np.asarray((sight * way).sum(axis=1) / (sight * out).sum(axis=1))

    def _per_depth(self, points_mm: Points) -> Points:
        """(N, 2) by how much places at fixed pixels move for each mm of more depth."""
        pixels = self.to_px(points_mm)
        deeper = replace(self, below_mm=self.below_mm + DEPTH_STEP_MM)
        return np.asarray((deeper.to_mm(pixels) - points_mm) / DEPTH_STEP_MM)

    def _behind(self, corners_mm: Points) -> Points:
        """Places behind points of the surface; the points themselves where sight misses all."""
        behind = self.to_mm(self.model.surface_pixels(self.parameters, corners_mm))
        return np.where(np.isfinite(behind), behind, corners_mm)


def sunken(
    surface: SolvedSurface, *, below_mm: float, u_below_mm: float, u_apart_mm: float
) -> SunkenSurface:
    """Surface whose pixels show what lies at a depth below it."""
    return SunkenSurface(
        **{**_fields_of(surface), "below_mm": below_mm},
        u_below_mm=u_below_mm,
        u_apart_mm=u_apart_mm,
    )


def of_bare_metal(surface: SolvedSurface) -> SolvedSurface:
    """Surface whose pixels show the bare metal itself."""
    return SolvedSurface(**{**_fields_of(surface), "below_mm": 0.0})


def _fields_of(surface: SolvedSurface) -> dict[str, Any]:
    return {each.name: getattr(surface, each.name) for each in fields(SolvedSurface)}
