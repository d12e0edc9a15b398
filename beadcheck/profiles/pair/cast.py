"""Photos laid on the base metal along the weld, and how height moves what they show there."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import GRID_STEP_PX
from beadcheck.photo import Photo
from beadcheck.profiles.pair.cells import Cells
from beadcheck.profiles.pair.ground import Ground, Picture
from beadcheck.surface import SolvedSurface

Floats = NDArray[np.float64]

HEIGHTS_MM: Final = (-3.0, 2.0, 7.0)
"""Heights at which the displacement is computed; a parabola through them and 0 is exact to a
hundredth of a pixel over what welds reach."""
NODE_CELLS: Final = 4
"""Cells between the places at which it is computed: 2 mm or less, and a pipe hardly bends there."""
FAR_OFF: Final = -1.0e3
"""A place that no photo shows."""
LOG_OFFSET: Final = 8.0
"""Code values added before the logarithm, so that noise in the dark does not count for more than
noise in the light."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cast:
    """One photo laid on the ground of cells.

    A point at the height h over a place shows h `first` + h² `second` beside it.

    Attributes
    ----------
    tone
        Of the ground: logarithm of the grey code value, so that a change of brightness becomes a
        sum.
    inside
        Of the ground, bool: the photo shows the place.
    first, second
        (2, R, C) along and across the weld, of the cells: mm per mm, and per mm².
    """

    tone: Picture
    inside: NDArray[np.bool_]
    first: Picture
    second: Picture

    def beside_mm(self, height_mm: Picture | np.float32) -> Picture:
        """(2, R, C) how far along and across points of these heights show beside the cells."""
        return np.asarray(height_mm * (self.first + height_mm * self.second))


def cast_on(cells: Cells, photo: Photo, surface: SolvedSurface) -> Cast:
    """Lay a photo on the ground of cells, and see how height moves it."""
    tone, inside = _tone(photo, _places(cells.ground, surface))
    first, second = _displacements(cells, surface)
    return Cast(tone=tone, inside=inside, first=first, second=second)


def _places(ground: Ground, surface: SolvedSurface) -> Picture:
    """(2, R, C) pixels at which the photo shows the ground."""
    step_mm = GRID_STEP_PX / ground.px_per_mm
    rows, columns = (-(-count // GRID_STEP_PX) + 1 for count in ground.shape)
    s_mm = ground.s_mm[0] + step_mm * np.arange(columns)
    across_mm = ground.across_mm[0] + step_mm * np.arange(rows)
    nodes_mm = ground.axis.to_surface(s_mm[None, :], across_mm[:, None])
    nodes_px = surface.to_px(nodes_mm).reshape(rows, columns, 2)
    return _filled_in(nodes_px, GRID_STEP_PX, ground.shape)


def _displacements(cells: Cells, surface: SolvedSurface) -> tuple[Picture, Picture]:
    """(2, R, C) each: mm per mm and per mm² by which height moves what is seen."""
    axis = cells.ground.axis
    s_mm, across_mm = (
        places[0] + NODE_CELLS * size_mm * np.arange(-(-places.size // NODE_CELLS) + 1)
        for places, size_mm in zip((cells.s_mm, cells.across_mm), cells.size_mm[::-1], strict=True)
    )
    nodes_mm = axis.to_surface(s_mm[None, :], across_mm[:, None])
    moved = np.stack(
        [
            axis.to_weld(surface.to_mm(surface.seen_at_px(surface.in_space(nodes_mm, height_mm))))
            - axis.to_weld(nodes_mm)
            for height_mm in HEIGHTS_MM
        ]
    )
    heights = np.asarray(HEIGHTS_MM)
    parts = np.linalg.pinv(np.stack([heights, heights**2], axis=1))
    first, second = np.einsum("ph,hnj->pnj", parts, moved).reshape(2, across_mm.size, s_mm.size, 2)
    return (
        _filled_in(first, NODE_CELLS, cells.shape),
        _filled_in(second, NODE_CELLS, cells.shape),
    )


def _filled_in(nodes: Floats, step: int, shape: tuple[int, int]) -> Picture:
    """(2, R, C) values between (N, M, 2) nodes, bilinear; far off where a node has none."""
    known = np.where(np.isfinite(nodes), nodes, FAR_OFF).astype(np.float32)
    column_at, row_at = np.meshgrid(
        np.arange(shape[1], dtype=np.float32) / step, np.arange(shape[0], dtype=np.float32) / step
    )
    filled = [
        cv2.remap(plane, column_at, row_at, cv2.INTER_LINEAR) for plane in np.moveaxis(known, 2, 0)
    ]
    return np.stack(filled).astype(np.float32)


def _tone(photo: Photo, places: Picture) -> tuple[Picture, NDArray[np.bool_]]:
    """The photo's logarithmic grey at (2, R, C) pixels, and where it has any."""
    limit = np.array([photo.width_px - 1, photo.height_px - 1], dtype=np.float32)
    seen = (places >= 0.0) & (places <= limit[:, None, None])
    # Only the pixels that are needed are made grey: a part of the photo.
    ends = (places.min(axis=(1, 2)), places.max(axis=(1, 2)))
    low, high = (np.clip(end, 0.0, limit).astype(int) for end in ends)
    part = photo.pixels_bgr[low[1] : high[1] + 2, low[0] : high[0] + 2]
    grey = cv2.cvtColor(part, cv2.COLOR_BGR2GRAY).astype(np.float32)
    columns, rows = places - low.astype(np.float32)[:, None, None]
    tone = cv2.remap(grey, columns, rows, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    logarithm = np.log(np.asarray(tone, dtype=np.float32) + np.float32(LOG_OFFSET))
    return np.asarray(logarithm), np.asarray(seen.all(axis=0))
