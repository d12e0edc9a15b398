"""How far the photo's edge samples lie from the modelled edges, and how that changes."""

from collections.abc import Callable
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
    space_mm
        (N, 3) points of the printed edges in the surface's space frame, as a function of all
        parameters; the model's own come first.
    """

    model: Model
    edges: EdgeSamples
    space_mm: Callable[[Floats], Floats]

    def __call__(self, parameters: Floats) -> Floats:
        """(N,) distances."""
        return self._at(parameters, self.space_mm(parameters))

    def derivatives(self, parameters: Floats, places: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """(N,) distances, and (N, len(places)) derivatives by some of the parameters.

        What moves points in space is moved a little, what moves the camera is differentiated: the
        solve's time goes here.
        """
        space_mm = self.space_mm(parameters)
        by_camera, by_space = self._by_camera(parameters, space_mm)
        jacobian = np.empty((len(space_mm), places.size))
        for column, place in enumerate(places):
            if int(place) in by_camera:
                jacobian[:, column] = by_camera[int(place)]
                continue
            moved, step = parameters.copy(), step_of(int(place))
            moved[place] += step
            change = (self.space_mm(moved) - space_mm) / step
            jacobian[:, column] = (by_space * change).sum(axis=1)
        return self._at(parameters, space_mm), jacobian

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

    def space_mm(parameters: Floats) -> Floats:
        printed = edges.edge_mm + parameters[EDGE] * edges.outward_mm
        placed = model.laid(parameters, printed, part)
        return model.space(parameters, placed[:, :2], placed[:, 2])

    return EdgeRest(model=model, edges=edges, space_mm=space_mm)
