"""A smooth surface through heights that are known better here than there."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import BSpline
from scipy.linalg import solveh_banded

Floats = NDArray[np.float64]

DEGREE: Final = 3
ROUNDS: Final = 4
TINY: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SmoothSurface:
    """Cubic splines across and along, held stiff (P-splines after Eilers and Marx, 1996).

    Each overlaps `DEGREE` neighbours to either side, so that the normal equations are a band: its
    unknowns run across first, then along.

    Attributes
    ----------
    across, along
        (R, K) and (C, L) splines at the rows and columns.
    stiffness
        (D, L K) diagonal and lower diagonals of what bending costs.
    """

    across: Floats
    along: Floats
    stiffness: Floats

    def through(self, heights_mm: Floats, weight: Floats) -> Floats:
        """(R, C) surface nearest to heights of these weights, in 1/mm²."""
        count = self.across.shape[1]
        band = self.stiffness.copy()
        for ahead in range(DEGREE + 1):
            of_rows = _products(self.along, ahead).T @ weight.T
            for aside in range(-DEGREE, DEGREE + 1):
                diagonal = ahead * count + aside
                if diagonal >= 0:
                    band[diagonal] += (of_rows @ _products(self.across, aside)).ravel()
        right = self.along.T @ (weight * heights_mm).T @ self.across
        found = solveh_banded(band, right.ravel(), lower=True).reshape(right.shape)
        return np.asarray(self.across @ found.T @ self.along.T, dtype=np.float64)

    def robustly_through(self, heights_mm: Floats, weight: Floats, spread_mm: float) -> Floats:
        """The same, with heights that stand off it by more than this counting less and less."""
        surface = self.through(heights_mm, weight)
        for _ in range(ROUNDS):
            off = (heights_mm - surface) / spread_mm
            surface = self.through(heights_mm, weight / (1.0 + off * off) ** 2)
        return surface


def smooth_surface(
    across_mm: Floats, along_mm: Floats, *, knots_mm: tuple[float, float], stiffness: float
) -> SmoothSurface:
    """Splines over a grid, with knots this far apart across and along."""
    across, along = (
        _splines(places, knot_mm)
        for places, knot_mm in zip((across_mm, along_mm), knots_mm, strict=True)
    )
    count = across.shape[1]
    band = np.zeros((DEGREE * (count + 1) + 1, along.shape[1], count))
    band[0] = TINY
    for far in range(DEGREE):
        band[far] += stiffness * _bending(count, far)
        band[far * count] += stiffness * _bending(along.shape[1], far)[:, None]
    return SmoothSurface(across=across, along=along, stiffness=band.reshape(len(band), -1))


def _splines(places_mm: Floats, knot_mm: float) -> Floats:
    count = max(1, round(float(np.ptp(places_mm)) / knot_mm))
    step = float(np.ptp(places_mm)) / count
    knots = places_mm[0] + step * np.arange(-DEGREE, count + DEGREE + 1)
    inside = np.clip(places_mm, places_mm[0], places_mm[-1] - 1e-9)
    return np.asarray(BSpline.design_matrix(inside, knots, DEGREE).toarray(), dtype=np.float64)


def _bending(count: int, far: int) -> Floats:
    """(K,) what a bend costs of every unknown with the one that stands so far after it."""
    second = np.diff(np.eye(count), 2, axis=0)
    return np.pad(np.diag(second.T @ second, -far), (0, far))


def _products(splines: Floats, far: int) -> Floats:
    """(N, K) every spline times the one that stands so far after it; 0 past the ends."""
    count = splines.shape[1]
    other = np.zeros_like(splines)
    first, last = max(0, -far), min(count, count - far)
    other[:, first:last] = splines[:, first + far : last + far]
    return splines * other
