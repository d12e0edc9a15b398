"""Toes as a person placed them: points in the photo, and as lines along the weld."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.errors.by_hand import ToeOffSurfaceError
from beadcheck.quantity import Side
from beadcheck.surface import Points, Surface

LEAST_POINTS: Final = 2
SAME_TOE_PX: Final = 10.0
"""Two lines that run nearer to each other than this are one toe: a weld so narrow in the photo
cannot be measured anyway."""


class LinesFault(StrEnum):
    """What keeps two lines from being the two toes of a weld."""

    CROSS = "cross"
    SAME_TOE = "same toe"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HandToes:
    """Points along one toe or both, in pixels of the upright photo.

    The names only say which points belong together where both toes are there: which of the two
    lies left, seen facing growing s, the photo tells.

    Attributes
    ----------
    left_px, right_px
        (N, 2) points in any order; (0, 2) where the finder's toe stands.
    """

    left_px: Points
    right_px: Points

    def __post_init__(self) -> None:
        sizes = [len(points) for points in (self.left_px, self.right_px)]
        if not any(sizes) or any(0 < size < LEAST_POINTS for size in sizes):
            msg = f"a toe placed by hand has {LEAST_POINTS} points or more"
            raise ValueError(msg)
        for points in (self.left_px, self.right_px):
            if points.ndim != 2 or points.shape[1] != 2 or not np.isfinite(points).all():
                msg = "points of a toe placed by hand are finite pairs of x and y"
                raise ValueError(msg)
            points.flags.writeable = False
        fault = lines_fault(self.left_px, self.right_px)
        if fault is not None:
            msg = f"the two toes placed by hand are no two toes: {fault}"
            raise ValueError(msg)

    @property
    def both(self) -> bool:
        """Whether both toes were placed."""
        return len(self.left_px) > 0 and len(self.right_px) > 0

    @property
    def given(self) -> tuple[tuple[Side, Points], ...]:
        """The toes that were placed, as they were called."""
        named = ((Side.LEFT, self.left_px), (Side.RIGHT, self.right_px))
        return tuple((side, points) for side, points in named if len(points) > 0)


def lines_fault(left_px: Points, right_px: Points) -> LinesFault | None:
    """Whether two lines of points cross in the photo, or run along one and the same toe."""
    if min(len(left_px), len(right_px)) < LEAST_POINTS:
        return None
    left, right = in_order(left_px), in_order(right_px)
    if _cross(left, right):
        return LinesFault.CROSS
    along = common_run(left, right)
    across = np.array([-along[1], along[0]])
    (s_left, t_left), (s_right, t_right) = (
        _sorted(points @ along, points @ across) for points in (left, right)
    )
    shared = np.linspace(max(s_left[0], s_right[0]), min(s_left[-1], s_right[-1]), 50)
    if shared[0] >= shared[-1]:
        return None
    apart = np.interp(shared, s_right, t_right) - np.interp(shared, s_left, t_left)
    return LinesFault.SAME_TOE if np.median(np.abs(apart)) < SAME_TOE_PX else None


def in_order(points_px: Points) -> Points:
    """Points in their order along the line, in whatever order they were given."""
    _, _, axes = np.linalg.svd(points_px - points_px.mean(axis=0), full_matrices=False)
    return points_px[np.argsort(points_px @ axes[0], kind="stable")]


def common_run(one: Points, other: Points) -> NDArray[np.float64]:
    """Unit vector along which two lines of points run, whichever way each is listed."""
    runs = [(line[-1] - line[0]) / np.hypot(*(line[-1] - line[0])) for line in (one, other)]
    run = runs[0] + (runs[1] if runs[0] @ runs[1] >= 0.0 else -runs[1])
    return np.asarray(run / np.hypot(*run))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HandLine:
    """One toe as a person placed it, along an axis of the surface: (N,) places, s growing."""

    s_mm: NDArray[np.float64]
    across_mm: NDArray[np.float64]

    def at(self, s_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Places across the weld, straight from point to point."""
        return np.asarray(np.interp(s_mm, self.s_mm, self.across_mm))

    def covers(self, s_mm: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether places along the weld lie between the first and the last point."""
        return np.asarray((s_mm >= self.s_mm[0]) & (s_mm <= self.s_mm[-1]))


def hand_line(points_px: Points, surface: Surface, axis: Axis) -> HandLine:
    """Line through points of the photo.

    Raises
    ------
    ToeOffSurfaceError
        The line of sight of a point misses the surface.
    """
    places = axis.to_weld(on_surface(points_px, surface))
    s_mm, across_mm = _sorted(places[:, 0], places[:, 1])
    return HandLine(s_mm=s_mm, across_mm=across_mm)


def on_surface(points_px: Points, surface: Surface) -> Points:
    """Surface points of photo pixels.

    Raises
    ------
    ToeOffSurfaceError
        The line of sight of a point misses the surface.
    """
    points_mm = surface.to_mm(points_px)
    if not np.isfinite(points_mm).all():
        raise ToeOffSurfaceError
    return points_mm


def shared_mm(one: HandLine, other: HandLine) -> tuple[float, float]:
    """First and last place along the weld where both lines are; last before first where nowhere."""
    return max(one.s_mm[0], other.s_mm[0]), min(one.s_mm[-1], other.s_mm[-1])


def _sorted(
    s: NDArray[np.float64], across: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    order = np.argsort(s, kind="stable")
    return s[order], across[order]


def _cross(one: Points, other: Points) -> bool:
    """Whether any step of one line meets any step of the other."""
    a, b = one[:-1, None], one[1:, None]
    c, d = other[None, :-1], other[None, 1:]

    def turn(p: Points, q: Points, r: Points) -> NDArray[np.float64]:
        first, second = q - p, r - p
        return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])

    meets = (turn(a, b, c) * turn(a, b, d) < 0) & (turn(c, d, a) * turn(c, d, b) < 0)
    return bool(meets.any())
