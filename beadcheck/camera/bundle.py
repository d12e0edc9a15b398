"""All photos of a board solved together: one camera, one board, a pose for each photo."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student_t

from beadcheck.camera.shared import CENTRE, K1, K2, POSE_COUNT, SHARED_COUNT, Pose, Shared
from beadcheck.camera.view import BoardView

Floats = NDArray[np.float64]

START_FLAGS: Final = (
    cv2.CALIB_USE_INTRINSIC_GUESS
    | cv2.CALIB_FIX_ASPECT_RATIO
    | cv2.CALIB_ZERO_TANGENT_DIST
    | cv2.CALIB_FIX_K3
)
MOST_ROUNDS: Final = 40
MOST_HALVINGS: Final = 12
STRAY: Final = 5.0
"""Usual misfits of a photo beyond which one of its places does not count."""
SMALL: Final = 1e-4
"""A step of less than this part of the uncertainty changes nothing."""
COVERAGE: Final = 0.9545
"""What twice a standard uncertainty covers of a normal distribution (JCGM 100, table G.1)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bundle:
    """A solved camera.

    Attributes
    ----------
    focal_px, centre_px, k1, k2
        In the sensor's picture.
    covariance
        (5, 5) of ln(focal), centre, k1, k2: the larger of what the places' scatter leaves, and
        of what leaving out one photo after another changes.
    poses
        Of the board, a photo each.
    residual_px
        (V,) root mean square of each photo's rests, stray places left out.
    """

    focal_px: float
    centre_px: Floats
    k1: float
    k2: float
    covariance: Floats
    poses: tuple[Pose, ...]
    residual_px: Floats

    def __post_init__(self) -> None:
        for array in (self.centre_px, self.covariance, self.residual_px):
            array.flags.writeable = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Block:
    """One photo's normal equations with its pose eliminated: (F, F) and (F,), and the way back."""

    matrix: Floats
    pull: Floats
    pose_matrix: Floats
    pose_pull: Floats
    mixed: Floats

    @classmethod
    def of(cls, rest: Floats, by_pose: Floats, by_shared: Floats, weight: Floats) -> "_Block":
        """Weigh the rests."""
        weighed_pose, weighed_shared = weight[:, None] * by_pose, weight[:, None] * by_shared
        pose_matrix, mixed = by_pose.T @ weighed_pose, by_pose.T @ weighed_shared
        pose_pull = weighed_pose.T @ rest
        back = np.linalg.solve(pose_matrix, np.column_stack([mixed, pose_pull]))
        return cls(
            matrix=by_shared.T @ weighed_shared - mixed.T @ back[:, :-1],
            pull=weighed_shared.T @ rest - mixed.T @ back[:, -1],
            pose_matrix=pose_matrix,
            pose_pull=pose_pull,
            mixed=mixed,
        )

    def pose_step(self, step: Floats) -> Floats:
        """(6,) step of the pose that goes with one of the free parameters."""
        return np.asarray(
            -np.linalg.solve(self.pose_matrix, self.pose_pull + self.mixed @ step),
            dtype=np.float64,
        )


def bundled(
    views: Sequence[BoardView], size_px: tuple[int, int], *, focal_px: float
) -> Bundle | None:
    """Solve camera, board and poses from views in the sensor's picture.

    The board may be bowed, stretched and its ink spread, all within what is usual; places that
    miss far more than others pull little. No prior holds the camera.

    Parameters
    ----------
    focal_px
        A first guess, good to a factor of two.

    Returns
    -------
    Bundle or None
        None where the views do not hold the camera at all.
    """
    try:
        start = _start(views, size_px, focal_px)
        return _solved(views, *start)
    except (cv2.error, np.linalg.LinAlgError):
        return None


def _start(
    views: Sequence[BoardView], size_px: tuple[int, int], focal_px: float
) -> tuple[Shared, Floats, list[Pose]]:
    """OpenCV's solution from corners alone."""
    shared = Shared.of(views, 1.0, np.zeros(2))
    corners = [
        np.column_stack([view.start_mm - shared.middle_mm, np.zeros(len(view.start_mm))])
        for view in views
    ]
    centre_px = 0.5 * (np.array(size_px, dtype=np.float64) - 1.0)
    guess = np.array([[focal_px, 0.0, centre_px[0]], [0.0, focal_px, centre_px[1]], [0, 0, 1.0]])
    _, matrix, lens, turns, shifts = cv2.calibrateCamera(
        [each.astype(np.float32) for each in corners],
        [view.start_px.astype(np.float32) for view in views],
        size_px,
        guess,
        np.zeros(5),
        flags=START_FLAGS,
    )
    parameters = np.zeros(SHARED_COUNT)
    parameters[[K1, K2]] = np.asarray(lens, dtype=np.float64).reshape(-1)[:2]
    poses = [
        Pose(
            rotation=np.asarray(cv2.Rodrigues(turn)[0], dtype=np.float64),
            shift_mm=np.asarray(shift, dtype=np.float64).reshape(3),
        )
        for turn, shift in zip(turns, shifts, strict=True)
    ]
    return (
        Shared.of(views, float(matrix[0, 0]), matrix[:2, 2].astype(np.float64)),
        parameters,
        poses,
    )


def _solved(
    views: Sequence[BoardView], shared: Shared, parameters: Floats, poses: list[Pose]
) -> Bundle | None:
    free, known = shared.free, np.diag(shared.information)
    for _ in range(MOST_ROUNDS):
        rests = [shared.rest_px(parameters, p, v) for p, v in zip(poses, views, strict=True)]
        weights = _weights(rests, views)
        blocks = _blocks(views, shared, parameters, poses, weights)
        matrix = known + sum(block.matrix for block in blocks)
        pull = known @ parameters[free] + sum(block.pull for block in blocks)
        step = np.asarray(-np.linalg.solve(matrix, pull), dtype=np.float64)
        parameters, poses = _stepped(views, shared, (parameters, poses), (step, blocks), weights)
        if not np.isfinite(parameters).all():
            return None
        if float(step @ matrix @ step) < SMALL**2 * free.size:
            break
    covariance = _covariance(blocks, matrix, rests, weights, views)
    camera = covariance[: K2 + 1, : K2 + 1]
    return Bundle(
        focal_px=shared.focal_px * float(np.exp(parameters[0])),
        centre_px=shared.centre_px + parameters[CENTRE],
        k1=float(parameters[K1]),
        k2=float(parameters[K2]),
        covariance=camera,
        poses=tuple(poses),
        residual_px=np.array(
            [
                np.sqrt((weight * view.u_px**2 * rest**2).sum() / (weight * view.u_px**2).sum())
                for weight, rest, view in zip(weights, rests, views, strict=True)
            ]
        ),
    )


def _weights(rests: Sequence[Floats], views: Sequence[BoardView]) -> list[Floats]:
    """Inverse variance of each place; 0 of what strays among the places of its own photo.

    Nothing in between: weights that fall with the misfit would hide how far photos disagree.
    """
    weights = []
    for rest, view in zip(rests, views, strict=True):
        misfit = np.abs(rest) / view.u_px
        usual = max(1.0, 1.4826 * float(np.median(misfit)))
        weights.append(np.asarray((misfit <= STRAY * usual) / view.u_px**2, dtype=np.float64))
    return weights


def _blocks(
    views: Sequence[BoardView],
    shared: Shared,
    parameters: Floats,
    poses: Sequence[Pose],
    weights: Sequence[Floats],
) -> list[_Block]:
    return [
        _Block.of(*shared.jacobians(parameters, pose, view), weight)
        for pose, view, weight in zip(poses, views, weights, strict=True)
    ]


def _stepped(
    views: Sequence[BoardView],
    shared: Shared,
    place: tuple[Floats, list[Pose]],
    step: tuple[Floats, list[_Block]],
    weights: Sequence[Floats],
) -> tuple[Floats, list[Pose]]:
    """The new parameters and poses: the whole step, or as much of it as brings the misfit down."""
    (parameters, poses), (move, blocks) = place, step

    def cost(there: Floats, stand: Sequence[Pose]) -> float:
        known = float(shared.information @ there[shared.free] ** 2)
        misses = zip(stand, views, weights, strict=True)
        return known + sum(
            float(weight @ shared.rest_px(there, pose, view) ** 2) for pose, view, weight in misses
        )

    here, share = cost(parameters, poses), 1.0
    for _ in range(MOST_HALVINGS):
        trial = parameters.copy()
        trial[shared.free] += share * move
        stand = [
            pose.moved(share * block.pose_step(move))
            for pose, block in zip(poses, blocks, strict=True)
        ]
        if cost(trial, stand) <= here:
            return trial, stand
        share *= 0.5
    return parameters, poses


def _covariance(
    blocks: Sequence[_Block],
    matrix: Floats,
    rests: Sequence[Floats],
    weights: Sequence[Floats],
    views: Sequence[BoardView],
) -> Floats:
    """(F, F) of the free parameters.

    By the scatter of the places; and by the jackknife over photos, widened so that twice the
    standard uncertainty covers 95 % for few photos too. The jackknife sees what the places of
    one photo have in common: refocusing, a board that moved, a bad light. The greater counts.
    """
    count = sum(rest.size for rest in rests)
    solved_count = matrix.shape[0] + POSE_COUNT * len(blocks)
    chi2 = sum(float(weight @ rest**2) for weight, rest in zip(weights, rests, strict=True))
    effective = sum(float(w @ v.u_px**2) for w, v in zip(weights, views, strict=True))
    excess = max(1.0, chi2 / (effective * max(1.0 - solved_count / count, 0.25)))
    by_scatter = np.linalg.inv(matrix) * excess
    without = np.stack([np.linalg.solve(matrix - each.matrix, each.pull) for each in blocks])
    spread = without - without.mean(axis=0)
    photos = len(blocks)
    widened = float(student_t.ppf(0.5 + 0.5 * COVERAGE, photos - 1)) / 2.0
    by_photo = (photos - 1) / photos * widened**2 * spread.T @ spread
    larger = np.sqrt(np.maximum(1.0, np.diag(by_photo) / np.diag(by_scatter)))
    return np.asarray(by_scatter * np.outer(larger, larger), dtype=np.float64)
