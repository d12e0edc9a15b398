"""How far the photo's edge samples lie from the modelled edges, and how that changes."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.model import (
    CENTRE,
    EDGE,
    FOCAL,
    K1,
    K2,
    LIFT,
    PART_COUNT,
    RADIUS,
    SHIFT_POSE,
    STRIP_TURN,
    TURN_POSE,
    Model,
)
from beadcheck.surface.printed_edges import EdgePoints, PrintedEdges
from beadcheck.target.find import EdgeSamples

Floats = NDArray[np.float64]


def step_of(place: int) -> float:
    """How far a parameter is moved to see what changes with it."""
    return _STEP_OF.get(place, _PART_STEPS[(place - STRIP_TURN - 1) % PART_COUNT])


_STEP_OF: Final = {
    **dict.fromkeys(range(TURN_POSE.start, TURN_POSE.stop), 1e-6),
    **dict.fromkeys(range(SHIFT_POSE.start, SHIFT_POSE.stop), 1e-4),
    FOCAL: 1e-6,
    **dict.fromkeys(range(CENTRE.start, CENTRE.stop), 1e-3),
    K1: 1e-6,
    K2: 1e-6,
    EDGE: 1e-5,
    LIFT: 1e-5,
    RADIUS: 1e-6,
    STRIP_TURN: 1e-6,
}
_PART_STEPS: Final = (1e-4, 1e-4, 1e-6, 1e-4, 1e-4)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EdgeRest:
    """Distance of each of N samples from the modelled edge, along its normal, in px.

    Attributes
    ----------
    points
        The printed edges on the surface.
    """

    model: Model
    edges: EdgeSamples
    points: EdgePoints

    def __call__(self, parameters: Floats) -> Floats:
        """(N,) distances."""
        return self._at(parameters, self._space_mm(parameters, self.points.placed_mm(parameters)))

    def derivatives(self, parameters: Floats, places: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """(N,) distances, and (N, len(places)) derivatives by some of the parameters."""
        placed_mm = self.points.placed_mm(parameters)
        space_mm = self._space_mm(parameters, placed_mm)
        by_camera, by_space = self._by_camera(parameters, space_mm)
        by = {**self.points.changes(parameters, placed_mm, by_space), **by_camera}
        jacobian = np.stack([by[int(place)] for place in places], axis=1)
        return self._at(parameters, space_mm), jacobian

    def _space_mm(self, parameters: Floats, placed_mm: Floats) -> Floats:
        """(N, 3) points in the surface's space frame."""
        return self.model.space(parameters, placed_mm[:, :2], placed_mm[:, 2])

    def _at(self, parameters: Floats, space_mm: Floats) -> Floats:
        seen = self.model.pixels(parameters, self.model.to_camera(parameters, space_mm))
        return np.asarray(((self.edges.points_px - seen) * self.edges.normals_px).sum(axis=1))

    def _by_camera(self, parameters: Floats, space_mm: Floats) -> tuple[dict[int, Floats], Floats]:
        """(N,) derivatives by pose and lens, by place, and (N, 3) by the points in space."""
        model, normals = self.model, self.edges.normals_px
        camera_mm = model.to_camera(parameters, space_mm)
        depth = camera_mm[:, 2]
        x, y = (camera_mm[:, :2] / depth[:, None]).T
        focal_px = model.focal_of(parameters)
        k1, k2 = model.camera.k1 + parameters[K1], model.camera.k2 + parameters[K2]
        r2 = x * x + y * y
        # Along the normal: the straight direction, and what distortion makes of a change of it.
        along = focal_px * (normals[:, 0] * x + normals[:, 1] * y)
        growth = focal_px * (1.0 + r2 * (k1 + r2 * k2))
        bend = along * (2.0 * k1 + 4.0 * k2 * r2)
        by_x, by_y = growth * normals[:, 0] + bend * x, growth * normals[:, 1] + bend * y
        by_point = np.stack([by_x, by_y, -(by_x * x + by_y * y)], axis=1) / -depth[:, None]
        rotation = model.rotation_of(parameters)
        by = {
            SHIFT_POSE.start + 0: by_point[:, 0],
            SHIFT_POSE.start + 1: by_point[:, 1],
            SHIFT_POSE.start + 2: by_point[:, 2],
            FOCAL: -along * (1.0 + r2 * (k1 + r2 * k2)),
            CENTRE.start: -normals[:, 0],
            CENTRE.start + 1: -normals[:, 1],
            K1: -along * r2,
            K2: -along * r2 * r2,
        }
        for place in range(TURN_POSE.start, TURN_POSE.stop):
            moved, step = parameters.copy(), step_of(place)
            moved[place] += step
            turn = (model.rotation_of(moved) - rotation) / step
            by[place] = (by_point * (space_mm @ turn.T)).sum(axis=1)
        return by, by_point @ rotation


def edge_rest_px(model: Model, edges: EdgeSamples, part: NDArray[np.intp]) -> EdgeRest:
    """Rest of edges that lie on the surface; `part` is the (N,) rigid part of each sample."""
    return EdgeRest(
        model=model, edges=edges, points=PrintedEdges(model=model, edges=edges, part=part)
    )
