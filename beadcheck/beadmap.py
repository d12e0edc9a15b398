"""The one resampling of the photo: a map of the surface in mm, x along the weld and y across."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.photo import Photo
from beadcheck.surface import Points, Surface


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """A straight line on the surface along which the weld roughly runs.

    `direction` and `across` are unit vectors, square to each other; `across` points to the right
    hand of somebody who faces along `direction` and looks down on the weld.
    """

    origin_mm: tuple[float, float]
    direction: tuple[float, float]
    across: tuple[float, float]

    def to_surface(self, s_mm: NDArray[np.float64], across_mm: NDArray[np.float64]) -> Points:
        """Surface points at distances along and across; both broadcast to one shape, flattened."""
        along, across = np.broadcast_arrays(s_mm, across_mm)
        return np.stack(
            [
                self.origin_mm[i]
                + along.ravel() * self.direction[i]
                + across.ravel() * self.across[i]
                for i in (0, 1)
            ],
            axis=1,
        )

    def to_weld(self, points_mm: Points) -> Points:
        """(N, 2) distances along and across of (N, 2) surface points."""
        turn = np.array([self.direction, self.across]).T
        return np.asarray((points_mm - np.asarray(self.origin_mm)) @ turn)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BeadMap:
    """The photo resampled onto the surface.

    Attributes
    ----------
    bgr
        (R, C, 3) uint8, sRGB-coded; columns run along the weld, rows across it to the right.
    seen
        (R, C) bool: inside the photo and on the surface.
    s_mm, across_mm
        (C,) and (R,) places of the columns and rows, evenly spaced by `1 / px_per_mm`.
    """

    bgr: NDArray[np.uint8]
    seen: NDArray[np.bool_]
    s_mm: NDArray[np.float64]
    across_mm: NDArray[np.float64]
    px_per_mm: float
    axis: Axis

    def __post_init__(self) -> None:
        rows_and_columns = (self.across_mm.size, self.s_mm.size)
        if self.bgr.shape[:2] != rows_and_columns or self.seen.shape != rows_and_columns:
            msg = "map, mask and places must have one shape"
            raise ValueError(msg)
        for array in (self.bgr, self.seen, self.s_mm, self.across_mm):
            array.flags.writeable = False


UNSEEN_BGR: Final = (110.0, 110.0, 110.0)
"""What the photo does not show is an even grey, in which nobody finds a weld."""
GRID_STEP_PX: Final = 8
"""Places between which the way from map to photo is interpolated; a lens bends far less over it."""


def bead_map(
    photo: Photo,
    surface: Surface,
    axis: Axis,
    *,
    s_range_mm: tuple[float, float],
    across_range_mm: tuple[float, float],
    px_per_mm: float,
) -> BeadMap:
    """Resample a rectangle of the surface.

    The way into the photo is computed on a coarse grid and interpolated bilinearly: exact to a
    thousandth of a pixel for planes and pipes at these ranges, and much faster than pixel by pixel.
    """
    step_mm = 1.0 / px_per_mm
    columns = max(2, round((s_range_mm[1] - s_range_mm[0]) * px_per_mm) + 1)
    rows = max(2, round((across_range_mm[1] - across_range_mm[0]) * px_per_mm) + 1)
    s_mm = s_range_mm[0] + step_mm * np.arange(columns, dtype=np.float64)
    across_mm = across_range_mm[0] + step_mm * np.arange(rows, dtype=np.float64)
    grid_x = np.arange(0, columns + GRID_STEP_PX, GRID_STEP_PX, dtype=np.float64)
    grid_y = np.arange(0, rows + GRID_STEP_PX, GRID_STEP_PX, dtype=np.float64)
    nodes_mm = axis.to_surface(
        s_range_mm[0] + step_mm * grid_x[None, :], across_range_mm[0] + step_mm * grid_y[:, None]
    )
    nodes_px = surface.to_px(nodes_mm).reshape(grid_y.size, grid_x.size, 2).astype(np.float32)
    seen_nodes = np.isfinite(nodes_px).all(axis=2)
    # A far-off place keeps unseen nodes out of the photo without spoiling OpenCV's arithmetic.
    nodes_px[~seen_nodes] = -1.0e4
    column_at, row_at = np.meshgrid(
        np.arange(columns, dtype=np.float32) / GRID_STEP_PX,
        np.arange(rows, dtype=np.float32) / GRID_STEP_PX,
    )
    places = cv2.remap(nodes_px, column_at, row_at, cv2.INTER_LINEAR)
    bgr = cv2.remap(
        photo.pixels_bgr,
        places[..., 0],
        places[..., 1],
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=UNSEEN_BGR,
    )
    inside = (places[..., 0] >= 0) & (places[..., 0] <= photo.width_px - 1)
    inside &= (places[..., 1] >= 0) & (places[..., 1] <= photo.height_px - 1)
    return BeadMap(
        bgr=np.asarray(bgr, dtype=np.uint8),
        seen=inside,
        s_mm=s_mm,
        across_mm=across_mm,
        px_per_mm=px_per_mm,
        axis=axis,
    )
