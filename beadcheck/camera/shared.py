"""What all photos of one board by one camera share, and what one of them shows then."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.camera.lens import seen_directions
from beadcheck.camera.view import BoardView

Floats = NDArray[np.float64]

FOCAL: Final = 0
CENTRE: Final = slice(1, 3)
K1: Final = 3
K2: Final = 4
EDGE: Final = 5
STRETCH: Final = 6
BOWS: Final = slice(7, 9)
SHARED_COUNT: Final = 9
POSE_COUNT: Final = 6

U_EDGE_MM: Final = 0.05
"""Ink spreads and toner shrinks edges by some hundredths of a millimetre."""
U_STRETCH: Final = 0.003 / np.sqrt(3.0)
"""Relative: a printer that scales x and y more than 0.3 % apart is not to be used; rectangular."""
U_BOW_MM: Final = 0.15
"""Of a board pressed flat, over 100 mm; a given curvature bows it with the square of its length."""
BOW_SPAN_MM: Final = 50.0
_STEPS: Final = np.array([1e-6, 1e-3, 1e-3, 1e-6, 1e-6, 1e-5, 1e-6, 1e-4, 1e-4])
_POSE_STEPS: Final = np.array([1e-6, 1e-6, 1e-6, 1e-4, 1e-4, 1e-4])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pose:
    """Where the board lies before the camera: camera = rotation (3, 3) board + shift_mm (3,)."""

    rotation: Floats
    shift_mm: Floats

    def moved(self, step: Floats) -> "Pose":
        """Turned by (3,) radians and moved by (3,) mm, in the camera's frame."""
        turn, _ = cv2.Rodrigues(np.asarray(step[:3], dtype=np.float64))
        return Pose(
            rotation=np.asarray(turn @ self.rotation, dtype=np.float64),
            shift_mm=self.shift_mm + step[3:],
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shared:
    """The shared parameters: what they are measured from, and what is known of them beforehand.

    Parameters, (SHARED_COUNT,): natural logarithm of the focal length over `focal_px`, centre from
    `centre_px` (px), k1, k2, shift of inked edges (mm), stretch of the print along x over y
    (relative), bow of the board along x and along y (mm).

    Attributes
    ----------
    middle_mm, half_span_mm
        (2,) middle and half extent of the board.
    u
        Standard uncertainties beforehand: infinite for all of the camera, 0 fixes a parameter.
    """

    focal_px: float
    centre_px: Floats
    middle_mm: Floats
    half_span_mm: Floats
    u: Floats

    @classmethod
    def of(cls, views: Sequence[BoardView], focal_px: float, centre_px: Floats) -> "Shared":
        """What is known of the camera and the board of these views."""
        places = np.concatenate([view.board_mm for view in views])
        half_span_mm = 0.5 * np.ptp(places, axis=0)
        u = np.full(SHARED_COUNT, np.inf)
        u[EDGE] = U_EDGE_MM if any(view.outward_mm.any() for view in views) else 0.0
        u[STRETCH] = U_STRETCH
        u[BOWS] = U_BOW_MM * (half_span_mm / BOW_SPAN_MM) ** 2
        return cls(
            focal_px=focal_px,
            centre_px=centre_px,
            middle_mm=0.5 * (places.min(axis=0) + places.max(axis=0)),
            half_span_mm=half_span_mm,
            u=u,
        )

    @property
    def free(self) -> NDArray[np.intp]:
        """Places of the parameters to solve."""
        return np.flatnonzero(self.u > 0.0)

    @property
    def information(self) -> Floats:
        """(F,) inverse variances of the free parameters."""
        return np.asarray(1.0 / self.u[self.free] ** 2)

    def rest_px(self, parameters: Floats, pose: Pose, view: BoardView) -> Floats:
        """(N,) distance of each place from where it should be seen, along its normal."""
        local = view.board_mm + parameters[EDGE] * view.outward_mm - self.middle_mm
        rise = ((local / self.half_span_mm) ** 2) @ parameters[BOWS]
        flat = local * np.exp(parameters[STRETCH] * np.array([0.5, -0.5]))
        before = np.column_stack([flat, rise]) @ pose.rotation.T + pose.shift_mm
        seen = seen_directions(before[:, :2] / before[:, 2:], parameters[K1], parameters[K2])
        focal_px = self.focal_px * np.exp(parameters[FOCAL])
        missed = view.points_px - seen * focal_px - self.centre_px - parameters[CENTRE]
        return np.asarray((missed * view.normals_px).sum(axis=1))

    def jacobians(
        self, parameters: Floats, pose: Pose, view: BoardView
    ) -> tuple[Floats, Floats, Floats]:
        """Rest (N,), and its forward differences by pose (N, 6) and free parameters (N, F)."""
        rest = self.rest_px(parameters, pose, view)
        by_pose = [
            (self.rest_px(parameters, pose.moved(step), view) - rest) / step.max()
            for step in np.diag(_POSE_STEPS)
        ]
        by_shared = [
            (self.rest_px(parameters + step, pose, view) - rest) / step.max()
            for step in np.diag(_STEPS)[self.free]
        ]
        return rest, np.stack(by_pose, axis=1), np.stack(by_shared, axis=1)
