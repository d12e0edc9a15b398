"""How one piece of a target stands over the plane of the others, where one plane does not do."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.edge_rest import EdgeRest
from beadcheck.surface.fit import solved
from beadcheck.surface.model import Model
from beadcheck.surface.printed_edges import PrintedEdges
from beadcheck.surface.prior import Prior
from beadcheck.target.find import EdgeSamples

Floats = NDArray[np.float64]

U_STAND: Final = (5.0, 0.1, 0.1)
"""Height (mm) and rise along x and y: whatever a strip is laid on, wide enough to leave the photo
free to tell."""
SURE: Final = 3.0
"""Standard uncertainties that a height must exceed to count."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """How one piece stands over the plane of the others.

    Attributes
    ----------
    height_mm, u_height_mm
        Height of its middle, with its standard uncertainty.
    rise_mm, u_rise_mm
        Height of its highest end or edge over the opposite one, likewise.
    tilt_deg
        Angle between both planes.
    """

    height_mm: float
    u_height_mm: float
    rise_mm: float
    u_rise_mm: float
    tilt_deg: float

    @property
    def gap_mm(self) -> float:
        """The greater of height and rise that is clear beyond its uncertainty; 0 where none is."""
        parts = ((self.height_mm, self.u_height_mm), (self.rise_mm, self.u_rise_mm))
        return max((abs(value) for value, u in parts if abs(value) > SURE * u), default=0.0)


def stand_of(
    model: Model,
    edges: EdgeSamples,
    part: NDArray[np.intp],
    prior: Prior,
    start: Floats,
    *,
    other: int,
) -> Stand:
    """Let one part of a plate's target leave the plane of all the others.

    Parameters
    ----------
    part
        (N,) the rigid part of each edge sample.
    prior, start
        Of the model's parameters; the prior is that of usual, nearly flat paper.
    other
        The part that may stand higher, or aslant.
    """
    free = Prior(u=np.concatenate([prior.u, U_STAND]))
    rest = standing_rest_px(model, edges, part, other)
    fit = solved(rest, edges.u_px, free, np.concatenate([start, np.zeros(len(U_STAND))]))
    height_mm, rise_x, rise_y = fit.parameters[-len(U_STAND) :]
    u = np.sqrt(np.diag(fit.covariance)[-len(U_STAND) :])
    extent_mm = 2.0 * model.parts[other].half_span_mm
    rises_mm = np.abs([rise_x, rise_y]) * extent_mm
    steepest = int(rises_mm.argmax())
    return Stand(
        height_mm=float(height_mm),
        u_height_mm=float(u[0]),
        rise_mm=float(rises_mm[steepest]),
        u_rise_mm=float(u[1 + steepest] * extent_mm[steepest]),
        tilt_deg=math.degrees(math.hypot(rise_x, rise_y)),
    )


def standing_rest_px(
    model: Model, edges: EdgeSamples, part: NDArray[np.intp], other: int
) -> EdgeRest:
    """Distance of each sample from the modelled edge; the last parameters are the stand's."""
    printed = PrintedEdges(model=model, edges=edges, part=part)
    own = part == other
    local_mm = np.where(own[:, None], edges.edge_mm - model.parts[other].middle_mm, 0.0)
    raised = np.column_stack([own, local_mm]).astype(np.float64)
    return EdgeRest(model=model, edges=edges, points=_StandingEdges(printed=printed, raised=raised))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _StandingEdges:
    """Edges of which one part stands over a plate.

    Attributes
    ----------
    raised
        (N, 3) by how much the stand's own parameters raise each sample.
    """

    printed: PrintedEdges
    raised: Floats

    def placed_mm(self, parameters: Floats) -> Floats:
        """(N, 3) surface x and y, and height above the plate."""
        usual, stand = np.split(parameters, [-len(U_STAND)])
        placed_mm = self.printed.placed_mm(usual)
        placed_mm[:, 2] += self.raised @ stand
        return placed_mm

    def changes(self, parameters: Floats, placed_mm: Floats, by_space: Floats) -> dict[int, Floats]:
        """(N,) changes with the model's parameters, which come first, and the stand's."""
        usual, _ = np.split(parameters, [-len(U_STAND)])
        own = -by_space[:, 2:] * self.raised
        stand = {len(usual) + number: column for number, column in enumerate(own.T)}
        return {**self.printed.changes(usual, placed_mm, by_space), **stand}
