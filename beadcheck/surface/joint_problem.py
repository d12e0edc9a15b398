"""Residuals of several photos of one target over what they share and what is each one's own."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from beadcheck.surface.edge_rest import edge_rest_px
from beadcheck.surface.fit import CUT_IN_MADS, SMALLEST_CUT_PX
from beadcheck.surface.model import CENTRE, EDGE, FOCAL, K1, SHIFT_POSE, TURN_POSE, Model
from beadcheck.surface.prior import Prior
from beadcheck.target.find import EdgeSamples

Floats = NDArray[np.float64]

U_REFOCUS: Final = 0.01
"""Relative: how far one camera's focal length moves between two photos (accuracy study, 1.2)."""
U_RECENTRE_OF_FOCAL: Final = 0.006
"""How far a stabiliser moves the centre between two photos, in focal lengths (an estimate)."""
U_K1_AGAIN: Final = 0.002
"""How far one lens's first term moves as it refocuses (an estimate)."""
U_EDGE_AGAIN_MM: Final = 0.01
"""How far light and tone curve move the edges of one print from photo to photo (an estimate)."""
FROM_HERE_LESS: Final = 4.0
"""Misfit, in standard uncertainties, from which a sample pulls less and less."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointSide:
    """One view's part of the joint problem."""

    model: Model
    edges: EdgeSamples
    part: NDArray[np.intp]
    start: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointProblem:
    """Residuals of all views over one vector: what is shared, then what is each view's own."""

    sides: tuple[JointSide, ...]
    prior: Prior
    count: int

    @classmethod
    def of(cls, sides: Sequence[JointSide], shared: Prior, apart: Sequence[int]) -> "JointProblem":
        """The problem in which the parameters `apart` are not shared by the views."""
        common, own = shared.u.copy(), np.zeros(shared.u.size)
        common[TURN_POSE] = common[SHIFT_POSE] = 0.0
        own[TURN_POSE] = own[SHIFT_POSE] = np.inf
        own[EDGE], own[FOCAL], own[K1] = U_EDGE_AGAIN_MM, U_REFOCUS, U_K1_AGAIN
        own[CENTRE] = U_RECENTRE_OF_FOCAL * sides[0].model.camera.focal_px
        for place in apart:
            common[place], own[place] = 0.0, shared.u[place]
        return cls(
            sides=tuple(sides),
            prior=Prior(u=np.concatenate([common, *(own for _ in sides)])),
            count=shared.u.size,
        )

    def start(self) -> Floats:
        """Every part where the first view that shows it puts it; poses as guessed."""
        value = np.zeros(self.prior.u.size)
        for side in reversed(self.sides):
            for number in np.unique(side.part):
                place = side.model.part_slice(int(number))
                value[place] = side.start[place]
        return value

    def of_view(self, value: Floats, view: int) -> Floats:
        """The view's own parameter vector."""
        first = self.count * (view + 1)
        return np.asarray(value[: self.count] + value[first : first + self.count])

    def residuals(self, value: Floats) -> tuple[Floats, Floats]:
        """Whitened residuals of all edge samples and their (N, F) derivatives."""
        free = self.prior.free
        rests, jacobians = [], []
        for view, side in enumerate(self.sides):
            rest = edge_rest_px(side.model, side.edges, side.part)
            own, by_own = rest.derivatives(self.of_view(value, view), np.arange(self.count))
            wide = np.zeros((own.size, value.size))
            wide[:, : self.count] = by_own
            wide[:, self.count * (view + 1) : self.count * (view + 2)] = by_own
            rests.append(own / side.edges.u_px)
            jacobians.append(wide[:, free] / side.edges.u_px[:, None])
        return np.concatenate(rests), np.concatenate(jacobians)

    def solved(self, start: Floats) -> Floats:
        """Least squares: once with a bounded pull of each sample, then without the stray ones."""
        count = sum(side.edges.u_px.size for side in self.sides)
        value = self._minimum(start, np.ones(count, dtype=np.bool_), loss="soft_l1")
        for _ in range(2):
            kept = self._kept(self.residuals(value)[0])
            value = self._minimum(value, kept, loss="linear")
        return value

    def _kept(self, rest: Floats) -> NDArray[np.bool_]:
        """(N,) the samples that are not astray."""
        rest_px = np.abs(rest * np.concatenate([side.edges.u_px for side in self.sides]))
        spread = 1.4826 * float(np.median(rest_px))
        return np.asarray(rest_px <= max(CUT_IN_MADS * spread, SMALLEST_CUT_PX))

    def _minimum(self, start: Floats, kept: NDArray[np.bool_], loss: str) -> Floats:
        free = self.prior.free
        known = np.sqrt(self.prior.information)

        def full(reduced: Floats) -> Floats:
            value = start.copy()
            value[free] = reduced
            return value

        def residuals(reduced: Floats) -> Floats:
            return np.concatenate([self.residuals(full(reduced))[0] * kept, known * reduced])

        def jacobian(reduced: Floats) -> Floats:
            own = self.residuals(full(reduced))[1]
            return np.concatenate([own * kept[:, None], np.diag(known)])

        found = least_squares(
            residuals, start[free], jac=jacobian, loss=loss, f_scale=FROM_HERE_LESS, x_scale="jac"
        )
        return full(np.asarray(found.x))

    def covariance(self, value: Floats) -> Floats:
        """(F, F), widened where the samples scatter more than they should."""
        rest, jacobian = self.residuals(value)
        kept = self._kept(rest)
        jacobian = jacobian[kept]
        matrix, known = jacobian.T @ jacobian, np.diag(self.prior.information)
        solved_count = float(np.trace(np.linalg.solve(matrix + known, matrix)))
        spare = max(kept.sum() - solved_count, 0.25 * kept.sum())
        excess = max(1.0, float(rest[kept] @ rest[kept]) / spare)
        return np.asarray(np.linalg.inv(matrix / excess + known))
