"""Residuals of several photos of one target over what they share and what is each one's own."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.surface.edge_rest import edge_rest_px
from beadcheck.surface.fit import Fit, solved
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

    def solved(self, start: Floats) -> Fit:
        """Least squares over all views, robust to stray samples."""
        u_px = np.concatenate([side.edges.u_px for side in self.sides])
        return solved(self, u_px, self.prior, start)

    def of_view(self, value: Floats, view: int) -> Floats:
        """The view's own parameter vector."""
        first = self.count * (view + 1)
        return np.asarray(value[: self.count] + value[first : first + self.count])

    def __call__(self, value: Floats) -> Floats:
        """(N,) distances of all views' edge samples from the modelled edges, in px."""
        return np.concatenate(
            [
                edge_rest_px(side.model, side.edges, side.part)(self.of_view(value, view))
                for view, side in enumerate(self.sides)
            ]
        )

    def derivatives(self, value: Floats, places: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """(N,) distances, and (N, len(places)) derivatives by some of the parameters."""
        owner, place = np.divmod(places, self.count)
        rests, jacobians = [], []
        for view, side in enumerate(self.sides):
            mine = (owner == 0) | (owner == view + 1)
            wanted, column = np.unique(place[mine], return_inverse=True)
            rest = edge_rest_px(side.model, side.edges, side.part)
            own, by_own = rest.derivatives(self.of_view(value, view), wanted)
            wide = np.zeros((own.size, places.size))
            wide[:, mine] = by_own[:, column]
            rests.append(own)
            jacobians.append(wide)
        return np.concatenate(rests), np.concatenate(jacobians)
