"""A photo without a target: no scale and no pose, only the picture, laid level along the weld."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import make_smoothing_spline
from scipy.spatial import KDTree

from beadcheck.coupon import Shape
from beadcheck.quantity import Component
from beadcheck.surface.contract import Points, SurfaceWarning

UNIT_WIDTHS: Final = 8.0
"""Units to one weld width: a usual bead's millimetres, so that all that is judged in mm on a photo
with a target is judged here by the same share of the weld width."""
LEAST_PX_PER_UNIT: Final = 10.0
"""A narrow weld is enlarged to this, to be as wide as the toe placer knows welds."""
BLUR_PX: Final = 1.0
"""Blur of a phone photo that is in focus (accuracy study); nothing here measures it."""
STIFFNESS: Final = 50.0
"""Smoothing of a weld's line, in cubed weld widths: waves shorter than about 14 widths are no part
of it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class UnscaledSurface:
    """The picture as a surface: x along the weld's line from its first end, y across it.

    Lengths that a solved surface has in mm count here in units of `px_per_unit` pixels, an eighth
    of the weld's width. Nothing about perspective or curvature is known or corrected.

    Attributes
    ----------
    line_px, normal_px
        (N, 2) places 1 px apart along the line, and unit vectors to its right.
    first_px
        Distance along the line at which x is 0.
    """

    line_px: Points
    normal_px: Points
    first_px: float
    px_per_unit: float

    @property
    def shape(self) -> Shape:
        """Always laid flat."""
        return Shape.PLATE

    @property
    def px_per_mm(self) -> float:
        """Pixels per unit of the maps: the photo's own, or more where the weld is narrow."""
        return max(self.px_per_unit, LEAST_PX_PER_UNIT)

    @property
    def tilt_deg(self) -> float:
        """Not known."""
        return math.nan

    @property
    def distance_mm(self) -> float:
        """Not known."""
        return math.nan

    @property
    def residual_px(self) -> float:
        """Nothing was fitted."""
        return math.nan

    @property
    def blur_px(self) -> float:
        """Blur that is assumed, in pixels of the maps."""
        return BLUR_PX * self.px_per_mm / self.px_per_unit

    @property
    def calibration(self) -> str | None:
        """Of no use here."""
        return None

    @property
    def warnings(self) -> tuple[SurfaceWarning, ...]:
        """None: there is no target to warn of."""
        return ()

    @property
    def outside_diameter_mm(self) -> float | None:
        """Not known."""
        return None

    def to_px(self, points_mm: Points) -> Points:
        """Photo pixels of points in units."""
        along = self.first_px + points_mm[:, 0] * self.px_per_unit
        at = np.arange(self.line_px.shape[0], dtype=np.float64)
        foot, normal = (
            np.stack([np.interp(along, at, values[:, i]) for i in (0, 1)], axis=1)
            for values in (self.line_px, self.normal_px)
        )
        return np.asarray(foot + points_mm[:, 1:] * self.px_per_unit * normal)

    def to_mm(self, points_px: Points) -> Points:
        """Points in units of photo pixels, by the nearest place on the line."""
        _, nearest = KDTree(self.line_px).query(points_px)
        away = points_px - self.line_px[nearest]
        normal = self.normal_px[nearest]
        along = np.stack([normal[:, 1], -normal[:, 0]], axis=1)
        s_px = nearest + (away * along).sum(axis=1) - self.first_px
        return np.stack([s_px, (away * normal).sum(axis=1)], axis=1) / self.px_per_unit

    def seen_at_deg(self, points_mm: Points) -> NDArray[np.float64]:
        """Taken as square on everywhere: nothing tells otherwise."""
        return np.full(points_mm.shape[0], 90.0)

    def clock_deg(self, points_mm: Points) -> NDArray[np.float64]:
        """Not known."""
        return np.full(points_mm.shape[0], math.nan)

    def distance_components(self, start_mm: Points, end_mm: Points) -> tuple[Component, ...]:  # noqa: ARG002  # there is no scale to be unsure of
        """None: pixels are pixels."""
        return ()

    def target_outline_mm(self) -> tuple[Points, ...]:
        """No paper lies in view."""
        return ()


def unscaled_surface(
    middle_px: Points, weights: NDArray[np.float64], width_px: float, reach_px: float
) -> UnscaledSurface:
    """Lay the picture along the smooth line through a weld's middle.

    The line grows along the photo's +x, or +y where the weld runs nearer to vertical.

    Parameters
    ----------
    middle_px, weights
        (N, 2) places of the weld's middle or of its face, and (N,) how much each counts.
    width_px
        Rough weld width.
    reach_px
        How far the line runs on, straight, past the first and the last place.
    """
    centre = middle_px.mean(axis=0)
    along = np.linalg.eigh(np.cov((middle_px - centre).T, aweights=weights))[1][:, 1]
    lead = along[0] if abs(along[0]) >= abs(along[1]) else along[1]
    along = along if lead > 0 else -along
    across = np.array([-along[1], along[0]])
    places, offsets = ((middle_px - centre) @ way / width_px for way in (along, across))
    knots, heights, mass = _slices(places, offsets, weights)
    spline = (
        make_smoothing_spline(knots, heights, w=mass / mass.max(), lam=STIFFNESS)
        if knots.size >= 5
        else np.poly1d(np.polyfit(knots, heights, min(1, knots.size - 1)))
    )
    first, last = float(places.min()), float(places.max())
    extra = reach_px / width_px
    x = np.linspace(first - extra, last + extra, 4 * math.ceil((last - first + 2 * extra) * 8))
    line = centre + width_px * (
        x[:, None] * along + _straight_beyond(spline, x, first, last) * across
    )
    lengths = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    even = np.arange(0.0, lengths[-1], 1.0)
    even_line = np.stack([np.interp(even, lengths, line[:, i]) for i in (0, 1)], axis=1)
    ahead = np.gradient(even_line, axis=0)
    ahead /= np.hypot(*ahead.T)[:, None]
    return UnscaledSurface(
        line_px=even_line,
        normal_px=np.stack([-ahead[:, 1], ahead[:, 0]], axis=1),
        first_px=float(np.interp(first, x, lengths)),
        px_per_unit=width_px / UNIT_WIDTHS,
    )


def _slices(
    places: NDArray[np.float64], offsets: NDArray[np.float64], weights: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Weighted middles of slices half a width long: places, offsets and weights."""
    slices = np.floor((places - places.min()) * 2.0).astype(int)
    mass = np.bincount(slices, weights)
    filled = mass > 0.1 * np.median(mass[mass > 0])
    knots = np.bincount(slices, weights * places)[filled] / mass[filled]
    heights = np.bincount(slices, weights * offsets)[filled] / mass[filled]
    return knots, heights, np.asarray(mass[filled], dtype=np.float64)


def _straight_beyond(
    spline: Callable[[NDArray[np.float64]], NDArray[np.float64]],
    x: NDArray[np.float64],
    first: float,
    last: float,
) -> NDArray[np.float64]:
    """(N, 1) the spline, and its tangent beyond its ends."""
    inside = np.clip(x, first, last)
    ends, step = np.array([first, last]), 1e-3
    slopes = (spline(ends + step) - spline(ends - step)) / (2.0 * step)
    beyond = np.where(x < first, slopes[0], slopes[1]) * (x - inside)
    return np.asarray(spline(inside) + beyond)[:, None]
