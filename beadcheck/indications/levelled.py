"""The map along the weld, made coarse and into contrast, with weld face and base metal marked."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import BeadMap
from beadcheck.surface import Points, Surface
from beadcheck.toes import Toes

COARSE_PX_PER_MM: Final = 10.0
"""Enough for a spot of 0.4 mm, and cheap."""
DARK_FLOOR: Final = 12.0
"""Added to sRGB-coded lightness before the logarithm, so that noise in black is no contrast."""
INSIDE_TOE_MM: Final = 0.35
OUTSIDE_TOE_MM: Final = 0.5
"""Strips along the toes that belong to neither weld face nor base metal: their shadows fall
there."""
NEAR_PAPER_MM: Final = 1.2
"""The target's paper throws a shadow this far, and has ruler ticks at its edge."""
EDGE_MM: Final = 0.25

Mask = NDArray[np.bool_]
Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LevelMap:
    """Contrast along the weld.

    Attributes
    ----------
    light
        (R, C) logarithm of lightness: differences are contrasts.
    s_mm, across_mm
        (C,) and (R,) places of the columns and rows.
    left_mm, right_mm
        (C,) places of the toes across the weld.
    face, base
        (R, C) bool: well inside the weld face; base metal in view, clear of the toes and the
        target's paper.
    """

    light: Floats
    s_mm: NDArray[np.float64]
    across_mm: NDArray[np.float64]
    left_mm: NDArray[np.float64]
    right_mm: NDArray[np.float64]
    face: Mask
    base: Mask
    px_per_mm: float

    @property
    def width_mm(self) -> float:
        """Typical weld width."""
        return float(np.median(self.right_mm - self.left_mm))

    def px(self, length_mm: float) -> int:
        """Length in whole pixels of this map, at least 1."""
        return max(1, round(length_mm * self.px_per_mm))


def level_map(bead: BeadMap, toes: Toes, surface: Surface) -> LevelMap:
    """Contrast between the first and the last station."""
    first, last = np.searchsorted(bead.s_mm, (toes.s_mm[0], toes.s_mm[-1]))
    scale = min(1.0, COARSE_PX_PER_MM / bead.px_per_mm)
    size = (max(2, round((last - first) * scale)), max(2, round(bead.across_mm.size * scale)))
    grey = cv2.cvtColor(bead.bgr[:, first:last], cv2.COLOR_BGR2GRAY)
    seen = bead.seen[:, first:last].astype(np.uint8)
    s_mm = _coarse(bead.s_mm[first:last], size[0])
    across_mm = _coarse(bead.across_mm, size[1])
    light = np.log(cv2.resize(grey, size, interpolation=cv2.INTER_AREA) + np.float32(DARK_FLOOR))
    left_mm, right_mm = (
        np.interp(s_mm, toes.s_mm, bead.axis.to_weld(toe)[:, 1])
        for toe in (toes.left_mm, toes.right_mm)
    )
    px_per_mm = bead.px_per_mm * scale
    in_view = np.asarray(cv2.resize(seen, size, interpolation=cv2.INTER_NEAREST), np.uint8)
    in_view[[0, -1]] = 0
    in_view[:, [0, -1]] = 0
    in_view &= 1 - _paper(bead, surface, s_mm, across_mm, px_per_mm)
    across = across_mm[:, None]
    shown = cv2.erode(in_view, _square(EDGE_MM * px_per_mm)).astype(bool)
    face = (across > left_mm + INSIDE_TOE_MM) & (across < right_mm - INSIDE_TOE_MM)
    base = (across < left_mm - OUTSIDE_TOE_MM) | (across > right_mm + OUTSIDE_TOE_MM)
    return LevelMap(
        light=np.asarray(light, dtype=np.float32),
        s_mm=s_mm,
        across_mm=across_mm,
        left_mm=left_mm,
        right_mm=right_mm,
        face=face & shown,
        base=base & shown,
        px_per_mm=px_per_mm,
    )


def _coarse(places_mm: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """Middles of `count` equal parts of a row of pixels, given the pixels' own middles."""
    step = (places_mm[-1] - places_mm[0]) / (places_mm.size - 1)
    edge = places_mm[0] - 0.5 * step
    return np.asarray(edge + (np.arange(count) + 0.5) * step * places_mm.size / count)


def _paper(
    bead: BeadMap,
    surface: Surface,
    s_mm: NDArray[np.float64],
    across_mm: NDArray[np.float64],
    px_per_mm: float,
) -> NDArray[np.uint8]:
    """(R, C) 1 on the target's paper and near it."""
    covered = np.zeros((across_mm.size, s_mm.size), dtype=np.uint8)
    start = np.array([s_mm[0], across_mm[0]])
    for outline_mm in surface.target_outline_mm():
        corners: Points = (bead.axis.to_weld(outline_mm) - start) * px_per_mm
        cv2.fillPoly(covered, [np.round(corners).astype(np.int32)], (1,))
    if not covered.any():
        return covered
    return np.asarray(cv2.dilate(covered, _square(NEAR_PAPER_MM * px_per_mm)), dtype=np.uint8)


def _square(half_px: float) -> NDArray[np.uint8]:
    side = 2 * max(1, round(half_px)) + 1
    return np.ones((side, side), dtype=np.uint8)
