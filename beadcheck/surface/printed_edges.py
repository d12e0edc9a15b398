"""Where the printed edges lie in space, and how that changes with each parameter."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.model import BOWS, EDGE, LIFT, RADIUS, STRIP_TURN, Model
from beadcheck.target.find import EdgeSamples

Floats = NDArray[np.float64]
BOW_STEP_MM: Final = 1e-4
"""How near to flat a bow counts as going both ways."""
Placed = tuple[Floats, Floats, Floats]
"""(N,) each: by x, y and height of what is laid on the metal."""


class EdgePoints(Protocol):
    """N points of edges, by parameters of which a model's lead.

    What moves the camera alone does not move them.
    """

    def placed_mm(self, parameters: Floats, /) -> Floats:
        """(N, 3) surface x and y, and height above the metal."""

    def changes(
        self, parameters: Floats, placed_mm: Floats, by_space: Floats, /
    ) -> Mapping[int, Floats]:
        """(N,) how what changes by (N, 3) `by_space` with points in space changes with parameters.

        `placed_mm` is what the same parameters give.
        """


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PrintedEdges:
    """Edges that lie on the surface; `part` is the (N,) rigid part of each sample."""

    model: Model
    edges: EdgeSamples
    part: NDArray[np.intp]

    def placed_mm(self, parameters: Floats) -> Floats:
        """(N, 3) surface x and y, and height above the metal."""
        printed = self.edges.edge_mm + parameters[EDGE] * self.edges.outward_mm
        return self.model.laid(parameters, printed, self.part)

    def changes(self, parameters: Floats, placed_mm: Floats, by_space: Floats) -> dict[int, Floats]:
        """(N,) changes, as `Model.laid` and `Model.space` lead from parameters to points."""
        if self.model.radius_mm is None:
            by_placed = (by_space[:, 0], by_space[:, 1], -by_space[:, 2])
            found = {LIFT: by_placed[2]}
        else:
            found, by_placed = self._pipe_changes(parameters, placed_mm, by_space)
        found[EDGE] = np.zeros(len(placed_mm))
        for number in range(len(self.model.parts)):
            self._part_changes(number, parameters, by_placed, found)
        return found

    def _pipe_changes(
        self, parameters: Floats, placed_mm: Floats, by_space: Floats
    ) -> tuple[dict[int, Floats], Placed]:
        """What lift, radius and the strip's turn change, and what changes with a laid print."""
        model = self.model
        x, y, height_mm = placed_mm.T
        radius_mm = model.radius_of(parameters)
        thickness_mm = model.thickness_mm + parameters[LIFT]
        # The neutral layer, at half the paper's thickness, keeps its length.
        neutral_mm = radius_mm + 0.5 * thickness_mm
        angle = (x - model.pivot_mm[0]) / radius_mm
        sin, cos = np.sin(angle), np.cos(angle)
        by_height = by_space[:, 0] * sin - by_space[:, 2] * cos
        by_angle = (radius_mm + height_mm) * (by_space[:, 0] * cos + by_space[:, 2] * sin)
        by_x, by_y = by_angle / neutral_mm, by_space[:, 1]
        turned_x = x * neutral_mm / radius_mm - model.pivot_mm[0]
        found = {
            LIFT: by_height - 0.5 * by_angle * x / (neutral_mm * radius_mm),
            RADIUS: radius_mm * (by_height + by_space[:, 2])
            + by_angle * (0.5 * thickness_mm * x / (neutral_mm * radius_mm) - angle),
            STRIP_TURN: by_y * turned_x - by_x * (y - model.pivot_mm[1]),
        }
        return found, (*_turned_back(by_x, by_y, parameters[STRIP_TURN]), by_height)

    def _part_changes(
        self,
        number: int,
        parameters: Floats,
        by_placed: Placed,
        found: dict[int, Floats],
    ) -> None:
        """Add what one rigid part's own parameters change, and what the edge shift does there."""
        shape, first = self.model.parts[number], self.model.part_slice(number).start
        _, _, turn, *bows_mm = parameters[self.model.part_slice(number)]
        own = self.part == number
        by_x, by_y, by_height = (np.where(own, by, 0.0) for by in by_placed)
        outward = self.edges.outward_mm
        local = self.edges.edge_mm + parameters[EDGE] * outward - shape.middle_mm
        by_local = _turned_back(by_x, by_y, turn)
        found[first], found[first + 1] = by_x, by_y
        found[first + 2] = by_local[1] * local[:, 0] - by_local[0] * local[:, 1]
        for axis, bow_mm in enumerate(bows_mm):
            half_mm = shape.half_span_mm[axis]
            rise = (local[:, axis] / half_mm) ** 2
            # A bulging card stands on its ends: from flat on, its middle rises, and all within a
            # short move of flat sees a part of that, so that a fit does not turn back for ever.
            stands = min(max(bow_mm / BOW_STEP_MM + 1.0, 0.0), 1.0)
            found[first + BOWS.start + axis] = by_height * (stands - rise)
            moved = by_local[axis] - by_height * 2.0 * bow_mm * local[:, axis] / half_mm**2
            found[EDGE] += moved * outward[:, axis]


def _turned_back(by_x: Floats, by_y: Floats, angle: float) -> tuple[Floats, Floats]:
    """(N,) changes with x and y, from those with x and y after a turn."""
    cosine, sine = np.cos(angle), np.sin(angle)
    return cosine * by_x + sine * by_y, cosine * by_y - sine * by_x
