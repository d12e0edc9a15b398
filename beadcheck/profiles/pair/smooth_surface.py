"""A smooth surface through heights that are known better here than there."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import BSpline
from scipy.linalg import cho_factor, cho_solve

Floats = NDArray[np.float64]

DEGREE: Final = 3
ROUNDS: Final = 4
TINY: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SmoothSurface:
    """Cubic splines across and along, held stiff (P-splines after Eilers and Marx, 1996).

    Attributes
    ----------
    across, along
        (R, K) and (C, L) splines at the rows and columns.
    stiffness
        (K L, K L) what bending costs.
    """

    across: Floats
    along: Floats
    stiffness: Floats

    def through(self, heights_mm: Floats, weight: Floats) -> Floats:
        """(R, C) surface nearest to heights of these weights, in 1/mm²."""
        count = self.across.shape[1], self.along.shape[1]
        row_pairs = _pairs(self.across)
        column_pairs = _pairs(self.along)
        normal = (row_pairs.T @ weight @ column_pairs).reshape(*2 * (count[0],), *2 * (count[1],))
        matrix = normal.transpose(0, 2, 1, 3).reshape(self.stiffness.shape) + self.stiffness
        right = (self.across.T @ (weight * heights_mm) @ self.along).reshape(-1)
        found = cho_solve(cho_factor(matrix), right).reshape(count)
        return np.asarray(self.across @ found @ self.along.T, dtype=np.float64)

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
    bends = [_bending(splines.shape[1]) for splines in (across, along)]
    identities = [np.eye(splines.shape[1]) for splines in (across, along)]
    cost = stiffness * (np.kron(bends[0], identities[1]) + np.kron(identities[0], bends[1]))
    return SmoothSurface(across=across, along=along, stiffness=cost + TINY * np.eye(len(cost)))


def _splines(places_mm: Floats, knot_mm: float) -> Floats:
    count = max(1, round(float(np.ptp(places_mm)) / knot_mm))
    step = float(np.ptp(places_mm)) / count
    knots = places_mm[0] + step * np.arange(-DEGREE, count + DEGREE + 1)
    inside = np.clip(places_mm, places_mm[0], places_mm[-1] - 1e-9)
    return np.asarray(BSpline.design_matrix(inside, knots, DEGREE).toarray(), dtype=np.float64)


def _bending(count: int) -> Floats:
    second = np.diff(np.eye(count), 2, axis=0)
    return np.asarray(second.T @ second, dtype=np.float64)


def _pairs(splines: Floats) -> Floats:
    return np.asarray((splines[:, :, None] * splines[:, None, :]).reshape(len(splines), -1))
