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
GRID_STEP_PX: Final = 7
"""Places between which the way from map to photo is interpolated; a lens bends far less over it.
Odd, as OpenCV enlarges a picture about its pixels' middles, which are whole pixels then."""
BAND_PX: Final = 9 * GRID_STEP_PX
"""Rows of a map that are resampled at once."""


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
    thousandth of a pixel for planes and pipes at the photo's own scale, and much faster than pixel
    by pixel.
    """
    step_mm = 1.0 / px_per_mm
    columns = max(2, round((s_range_mm[1] - s_range_mm[0]) * px_per_mm) + 1)
    rows = max(2, round((across_range_mm[1] - across_range_mm[0]) * px_per_mm) + 1)
    s_mm = s_range_mm[0] + step_mm * np.arange(columns, dtype=np.float64)
    across_mm = across_range_mm[0] + step_mm * np.arange(rows, dtype=np.float64)
    grid_s, grid_across = (
        start + step_mm * np.arange(0, pixels + GRID_STEP_PX, GRID_STEP_PX, dtype=np.float64)
        for start, pixels in ((s_range_mm[0], columns), (across_range_mm[0], rows))
    )
    nodes_mm = axis.to_surface(grid_s[None, :], grid_across[:, None])
    nodes_px = surface.to_px(nodes_mm).reshape(grid_across.size, grid_s.size, 2).astype(np.float32)
    # A far-off place keeps unseen nodes out of the photo without spoiling OpenCV's arithmetic.
    nodes_px[~np.isfinite(nodes_px).all(axis=2)] = -1.0e4
    bgr, seen = _resampled(photo, nodes_px, rows, columns)
    return BeadMap(
        bgr=bgr,
        seen=seen,
        s_mm=s_mm,
        across_mm=across_mm,
        px_per_mm=px_per_mm,
        axis=axis,
    )


def _resampled(
    photo: Photo, nodes_px: NDArray[np.float32], rows: int, columns: int
) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """Pixels of a map, (R, C, 3), and which of them the photo shows, (R, C).

    Enlarging the nodes is the fast way to interpolate between them. A band of rows at a time stays
    in the processor's cache, and places of all the pixels never take memory at once.
    """
    bgr = np.empty((rows, columns, 3), dtype=np.uint8)
    seen = np.empty((rows, columns), dtype=np.bool_)
    last_px = (photo.width_px - 1, photo.height_px - 1)
    for first in range(0, rows, BAND_PX):
        band = slice(first, min(first + BAND_PX, rows))
        nodes = nodes_px[first // GRID_STEP_PX : (first + BAND_PX) // GRID_STEP_PX + 1]
        enlarged = cv2.resize(nodes, None, fx=GRID_STEP_PX, fy=GRID_STEP_PX)
        first_node = GRID_STEP_PX // 2
        places = enlarged[first_node:, first_node:][: bgr[band].shape[0], :columns]
        cv2.remap(  # type: ignore[call-overload]  # its stubs want a second map, the library none
            photo.pixels_bgr,
            places,
            None,
            cv2.INTER_LINEAR,
            dst=bgr[band],
            borderMode=cv2.BORDER_CONSTANT,
            borderValue=UNSEEN_BGR,
        )
        seen[band] = cv2.inRange(places, (0.0, 0.0), last_px)
    return bgr, seen
