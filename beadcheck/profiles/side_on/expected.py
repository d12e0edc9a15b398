"""Where the target puts the bare limb, and how far from there it may be."""

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.surface import SolvedSurface
from beadcheck.surface.fit import numeric_jacobian
from beadcheck.surface.model import EDGE, RADIUS

Floats = NDArray[np.float64]

ROUND_MM: Final = 0.05
"""Half width of what a pipe is out of round over the sight's few degrees; rectangular."""
U_FORM_MM: Final = ROUND_MM / 3.0**0.5
SURE_OF_PIPE: Final = 4.0
"""Standard uncertainties of where the target puts the outline that it may be off."""
LEAST_LIMIT_MM: Final = 1.0
PROBES: Final = 5


def by_view(function: Callable[[Floats], Floats], surface: SolvedSurface) -> tuple[Floats, Floats]:
    """Value and derivatives, (M,) and (M, free), of what lies where the photo shows it.

    How the target lies on the pipe has no part in that.
    """
    free = surface.free
    telling = np.flatnonzero((free < EDGE) | (free == RADIUS))
    value, some = numeric_jacobian(function, surface.parameters, free[telling])
    derivatives = np.zeros((value.size, free.size))
    derivatives[:, telling] = some
    return value, derivatives


def farthest_off_mm(view: LimbView, along_mm: Floats) -> Floats:
    """(W,) how far over or under the solved pipe its real limb may be seen, at places along it."""
    probe_mm = np.linspace(along_mm[0], along_mm[-1], PROBES)
    probe_px = view.pixels(probe_mm, np.zeros(PROBES))
    surface = view.surface

    def heights(parameters: Floats) -> Floats:
        return view.seen_with(parameters).heights_mm(probe_px)

    _, derivatives = by_view(heights, surface)
    covariance = surface.covariance[np.ix_(surface.free, surface.free)]
    variance = np.einsum("ij,jk,ik->i", derivatives, covariance, derivatives)
    u_mm = np.sqrt(np.maximum(variance, 0.0) + U_FORM_MM**2)
    limit_mm = np.maximum(SURE_OF_PIPE * u_mm, LEAST_LIMIT_MM)
    return np.asarray(np.interp(along_mm, probe_mm, limit_mm))
