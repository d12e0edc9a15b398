"""What is not known of a side-on profile: what every height, and every distance, has in common."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.profiles.side_on.expected import U_FORM_MM, by_view
from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.quantity import Component, Scope
from beadcheck.surface.model import RADIUS
from beadcheck.surface.solved import U_PAPER

Floats = NDArray[np.float64]

PROBE_HEIGHT_MM: Final = 2.0
PROBE_LENGTH_MM: Final = 10.0
"""A usual weld's height and half width: relative uncertainties hardly hang on them."""
EDGE_PX: Final = 0.25
"""Half width, rectangular, of what the edge of a bright part moves against that of a dark one: the
rest of a tone curve, and light that is not even on either side (renders: 0.12 px rms)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideOnBudget:
    """Budgets of a `Profile` (see there), and the standard uncertainty of the sight's angle."""

    gain: tuple[Component, ...]
    across: tuple[Component, ...]
    form: tuple[Component, ...]
    u_oblique_rad: float


def side_on_budget(view: LimbView, *, along_mm: float, px_per_mm: float) -> SideOnBudget:
    """Budgets of the profile of a weld whose middle is at this place along the pipe.

    Pixels are fixed by the photo: how much height, length and angle change with each parameter of
    pose, lens and pipe is computed for a probe of usual size.
    """
    surface = view.surface
    foot, head = view.pixels(np.full(2, along_mm), np.array([0.0, PROBE_HEIGHT_MM]))
    ends = view.pixels(along_mm + PROBE_LENGTH_MM * np.array([-0.5, 0.5]), np.zeros(2))
    probe_px = np.stack([foot, head, *ends])

    def measured(parameters: Floats) -> Floats:
        seen = view.seen_with(parameters)
        places = seen.sighted(probe_px)
        base, top = places.height_mm[:2]
        height_mm = height_over(seen.radius_mm, top, base)
        length_mm = places.touching_mm[3, 1] - places.touching_mm[2, 1]
        return np.array([height_mm, length_mm, places.oblique_rad[1]])

    pipe, rest = _parted(view, measured)
    scale = surface.scale.u_ratio / surface.scale.ratio
    uneven_mm = surface.pattern_px / surface.px_per_mm
    return SideOnBudget(
        gain=(
            _photo("outside diameter of the pipe", pipe[0] / PROBE_HEIGHT_MM),
            _photo("pose of the pipe and lens", rest[0] / PROBE_HEIGHT_MM),
        ),
        across=(
            Component(
                source="print scale of the target",
                standard_uncertainty=math.hypot(scale, U_PAPER),
                scope=Scope.PRINT,
            ),
            _photo("pose of the pipe and lens", math.hypot(pipe[1], rest[1]) / PROBE_LENGTH_MM),
            _photo("lie of the target", uneven_mm / PROBE_LENGTH_MM),
        ),
        form=(
            _photo("pipe out of round", U_FORM_MM),
            _photo("edges of bright and dark metal", EDGE_PX / math.sqrt(3.0) / px_per_mm),
        ),
        u_oblique_rad=math.hypot(pipe[2], rest[2]),
    )


def height_over(radius_mm: float, top_mm: Floats, base_mm: Floats) -> Floats:
    """True height of what is seen at D - R = `top_mm` over a bare limb seen at `base_mm`.

    h = R (D1 / D0 - 1): the bare limb is known to lie one radius from the axis, so the ratio takes
    out what focal length and pose have wrong.
    """
    return np.asarray(radius_mm * ((radius_mm + top_mm) / (radius_mm + base_mm) - 1.0))


def _photo(source: str, u: float) -> Component:
    return Component(source=source, standard_uncertainty=u, scope=Scope.PHOTO)


def _parted(view: LimbView, measured: Callable[[Floats], Floats]) -> tuple[Floats, Floats]:
    """Standard uncertainties of measured values from the pipe's diameter, and from the rest."""
    surface = view.surface
    free = surface.free
    covariance = surface.covariance[np.ix_(free, free)]
    _, derivatives = by_view(measured, surface)
    place = int(np.flatnonzero(free == RADIUS)[0])
    of_pipe = derivatives @ covariance[:, place] / math.sqrt(covariance[place, place])
    whole = np.einsum("ij,jk,ik->i", derivatives, covariance, derivatives)
    return np.abs(of_pipe), np.sqrt(np.maximum(whole - of_pipe**2, 0.0))
