"""What is known of every parameter before the markers are looked at."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.model import (
    BOWS,
    CENTRE,
    EDGE,
    FOCAL,
    K1,
    K2,
    LIFT,
    PLACE,
    RADIUS,
    SHIFT_POSE,
    STRIP_TURN,
    TURN_POSE,
    Model,
)

Floats = NDArray[np.float64]

U_EDGE_MM: Final = 0.05
"""Ink spreads and toner shrinks edges by some hundredths of a millimetre."""
U_LIFT_MM: Final = 0.1 / math.sqrt(3.0)
"""Paper and card lie within 0.1 mm of their nominal height; rectangular."""
U_STRIP_TURN_RAD: Final = math.radians(2.0)
"""A strip pulled tight round a pipe closes on itself within a few millimetres."""
U_BOW_MM: Final = 0.15
"""Bow of a card over 100 mm; a given curvature bows it with the square of its length."""
BOW_SPAN_MM: Final = 50.0


class Tie(Enum):
    """How a rigid part hangs on the reference: (3,) along x and y, in mm, and turn, in rad."""

    SAME = (0.0, 0.0, 0.0)
    GLUED = (0.2, 0.2, 0.005)
    SEAM = (math.inf, 1.0, 0.02)
    """Where a strip closes on itself shows the pipe's girth, which is not known well enough."""
    FREE = (math.inf, math.inf, math.inf)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prior:
    """(P,) standard uncertainties of the parameters about 0; 0 fixes one, infinity frees it."""

    u: Floats

    @property
    def free(self) -> NDArray[np.intp]:
        """Places of the parameters to solve."""
        return np.flatnonzero(self.u > 0.0)

    @property
    def information(self) -> Floats:
        """(F,) inverse variances of the free parameters."""
        return np.asarray(1.0 / self.u[self.free] ** 2)


def u_radius(model: Model, u_ratio: float) -> float:
    """Relative standard uncertainty of a pipe's radius by the print's scale, before any photo."""
    return math.hypot(model.u_radius_ratio, u_ratio)


def prior_of(
    model: Model,
    *,
    seen: Collection[int],
    ties: Sequence[Tie],
    u_ratio: float,
) -> Prior:
    """Prior of a model.

    Parameters
    ----------
    seen
        Parts of which markers were found.
    ties
        Of every part to the one whose frame is the surface's frame.
    u_ratio
        Standard uncertainty of the print scale: a pipe measured with a wrong scale looks as much
        too thick or thin.
    """
    camera = model.camera
    u = np.zeros(model.parameter_count)
    u[TURN_POSE] = u[SHIFT_POSE] = np.inf
    u[FOCAL] = camera.u_focal_px / camera.focal_px
    u[CENTRE] = camera.u_centre_px
    u[K1], u[K2], u[EDGE], u[LIFT] = camera.u_k1, camera.u_k2, U_EDGE_MM, U_LIFT_MM
    if model.radius_mm is not None:
        u[RADIUS] = u_radius(model, u_ratio)
        u[STRIP_TURN] = U_STRIP_TURN_RAD
    for number in seen:
        of_part = u[model.part_slice(number)]
        of_part[PLACE] = ties[number].value
        if model.radius_mm is None:
            of_part[BOWS] = U_BOW_MM * (model.parts[number].half_span_mm / BOW_SPAN_MM) ** 2
    return Prior(u=u)


def widened_by_bow(prior: Prior, model: Model, parameters: Floats) -> Prior | None:
    """The prior of a card that turned out bowed, or None of one that lies flat.

    Where a bent card touches the metal is a guess, good to half its bow (rectangular); and what
    is known of usual cards must not pull an unusual one flat.
    """
    bows = np.concatenate([parameters[model.part_slice(n)][BOWS] for n in range(len(model.parts))])
    bow_mm = float(np.abs(bows).max())
    if bow_mm <= U_LIFT_MM:
        return None
    u = prior.u.copy()
    u[LIFT] = math.hypot(U_LIFT_MM, 0.5 * bow_mm / math.sqrt(3.0))
    for number in range(len(model.parts)):
        of_part = u[model.part_slice(number)]
        known = of_part[BOWS] > 0.0
        own = np.abs(parameters[model.part_slice(number)][BOWS])
        of_part[BOWS] = np.where(known, np.maximum(of_part[BOWS], own), 0.0)
    return Prior(u=u)
