"""Photos laid on the base metal along the weld, and how height moves what they show there."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import GRID_STEP_PX, Axis
from beadcheck.photo import Photo
from beadcheck.surface import Points, SolvedSurface

Floats = NDArray[np.float64]
Picture = NDArray[np.float32]

HEIGHTS_MM: Final = (-3.0, 2.0, 7.0)
"""Heights at which the displacement is computed; a parabola through them and 0 is exact to a
hundredth of a pixel over what welds reach."""
FAR_OFF: Final = -1.0e4
"""A place that no photo shows."""
LOG_OFFSET: Final = 8.0
"""Code values added before the logarithm, so that noise in the dark does not count for more than
noise in the light."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """A grid on the base metal: rows across the weld, columns along it, square cells.

    Attributes
    ----------
    s_mm, across_mm
        (C,) and (R,) places of columns and rows along `axis`.
    """

    axis: Axis
    s_mm: Floats
    across_mm: Floats

    @property
    def px_per_mm(self) -> float:
        """Cells per mm."""
        return float((self.s_mm.size - 1) / (self.s_mm[-1] - self.s_mm[0]))

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.across_mm.size, self.s_mm.size

    def within(self, outlines_mm: Sequence[Points], margin_mm: float) -> NDArray[np.bool_]:
        """(R, C) the cells that lie inside one of these polygons on the surface, or near it."""
        mask = np.zeros(self.shape, dtype=np.uint8)
        first = np.array([self.s_mm[0], self.across_mm[0]])
        for outline in outlines_mm:
            corners = (self.axis.to_weld(outline) - first) * self.px_per_mm
            cv2.fillPoly(mask, [np.round(corners).astype(np.int32)], 1)
        reach = 2 * round(margin_mm * self.px_per_mm) + 1
        return np.asarray(cv2.dilate(mask, np.ones((reach, reach), np.uint8)) > 0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cast:
    """One photo laid on the ground.

    A point at the height h over the cell (x, y) shows at (x, y) + h `first` + h² `second`.

    Attributes
    ----------
    tone
        (R, C) logarithm of the grey code value: a change of brightness becomes a sum.
    inside
        (R, C) bool: the photo shows the cell.
    first, second
        (2, R, C) cells per mm, and per mm², in x and y.
    """

    tone: Picture
    inside: NDArray[np.bool_]
    first: Picture
    second: Picture

    def places(self, height_mm: Picture | np.float32) -> tuple[Picture, Picture]:
        """(R, C) columns and rows at which points of these heights show."""
        rows, columns = self.tone.shape
        moved = height_mm * (self.first + height_mm * self.second)
        moved[0] += np.arange(columns, dtype=np.float32)
        moved[1] += np.arange(rows, dtype=np.float32)[:, None]
        return moved[0], moved[1]

    def of_rows(self, rows: slice) -> "Cast":
        """The same over some rows of the ground only."""
        return Cast(
            tone=self.tone[rows],
            inside=self.inside[rows],
            first=self.first[:, rows],
            second=self.second[:, rows],
        )

    def halved(self) -> "Cast":
        """The same on a ground of half as many places each way."""
        size = self.tone.shape[1] // 2, self.tone.shape[0] // 2
        shrunk = [
            np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
            for picture in (self.tone, self.inside.astype(np.float32), *self.first, *self.second)
        ]
        half = np.float32(0.5)
        return Cast(
            tone=shrunk[0],
            inside=shrunk[1] > 0.99,
            first=half * np.stack(shrunk[2:4]),
            second=half * np.stack(shrunk[4:6]),
        )


def cast_on(ground: Ground, photo: Photo, surface: SolvedSurface) -> Cast:
    """Lay a photo on the ground, and see how height moves it."""
    rows, columns = ground.shape
    step_mm = GRID_STEP_PX / ground.px_per_mm
    node_s = ground.s_mm[0] + step_mm * np.arange(-(-columns // GRID_STEP_PX) + 1)
    node_across = ground.across_mm[0] + step_mm * np.arange(-(-rows // GRID_STEP_PX) + 1)
    nodes_mm = ground.axis.to_surface(node_s[None, :], node_across[:, None])
    shape = (node_across.size, node_s.size)
    first, second = _displacements(ground, surface, nodes_mm)
    places = _filled_in(surface.to_px(nodes_mm).reshape(*shape, 2), ground.shape)
    tone, inside = _tone(photo, places)
    return Cast(
        tone=tone,
        inside=inside,
        first=np.moveaxis(_filled_in(first.reshape(*shape, 2), ground.shape), 2, 0).copy(),
        second=np.moveaxis(_filled_in(second.reshape(*shape, 2), ground.shape), 2, 0).copy(),
    )


def _displacements(
    ground: Ground, surface: SolvedSurface, nodes_mm: Points
) -> tuple[Floats, Floats]:
    """(N, 2) each: cells per mm and per mm² by which height moves what is seen."""
    moved = np.stack(
        [
            ground.axis.to_weld(
                surface.to_mm(surface.seen_at_px(surface.in_space(nodes_mm, height_mm)))
            )
            - ground.axis.to_weld(nodes_mm)
            for height_mm in HEIGHTS_MM
        ]
    )
    heights = np.asarray(HEIGHTS_MM)
    parts = np.linalg.pinv(np.stack([heights, heights**2], axis=1)) * ground.px_per_mm
    return np.einsum("h,hnj->nj", parts[0], moved), np.einsum("h,hnj->nj", parts[1], moved)


def _filled_in(nodes: Floats, shape: tuple[int, int]) -> Picture:
    """(R, C, 2) values between nodes, bilinear; far off where a node has none."""
    known = np.where(np.isfinite(nodes), nodes, FAR_OFF).astype(np.float32)
    column_at, row_at = np.meshgrid(
        np.arange(shape[1], dtype=np.float32) / GRID_STEP_PX,
        np.arange(shape[0], dtype=np.float32) / GRID_STEP_PX,
    )
    return np.asarray(cv2.remap(known, column_at, row_at, cv2.INTER_LINEAR), dtype=np.float32)


def _tone(photo: Photo, places: Picture) -> tuple[Picture, NDArray[np.bool_]]:
    """The photo's logarithmic grey at (R, C, 2) pixels, and where it has any."""
    limit = np.array([photo.width_px - 1, photo.height_px - 1], dtype=np.float32)
    inside = np.asarray(((places >= 0.0) & (places <= limit)).all(axis=2), dtype=np.bool_)
    shown = places[inside]
    if not len(shown):
        return np.zeros(inside.shape, dtype=np.float32), inside
    # Only the pixels that are needed are made grey: a part of the photo.
    low = np.floor(shown.min(axis=0)).astype(int)
    high = np.ceil(shown.max(axis=0)).astype(int) + 1
    part = photo.pixels_bgr[low[1] : high[1], low[0] : high[0]]
    grey = cv2.cvtColor(part, cv2.COLOR_BGR2GRAY).astype(np.float32)
    tone = cv2.remap(
        grey,
        places[..., 0] - np.float32(low[0]),
        places[..., 1] - np.float32(low[1]),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    logarithm = np.log(np.asarray(tone, dtype=np.float32) + np.float32(LOG_OFFSET))
    return np.asarray(logarithm, dtype=np.float32), inside
