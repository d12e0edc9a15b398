"""Cells along and across the weld, in which evidence for every height is gathered."""

import math
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.profiles.pair.ground import Ground, Picture
from beadcheck.side_by_side import side_by_side

Floats = NDArray[np.float64]
Volume = NDArray[np.float32]

CELL_MM: Final = (0.2, 0.4)
"""About how large cells are, across and along the weld."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cells:
    """A coarser grid over the ground.

    Attributes
    ----------
    across_mm, s_mm
        (R,) and (C,) middles of the rows and columns.
    """

    ground: Ground
    across_mm: Floats
    s_mm: Floats

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.across_mm.size, self.s_mm.size

    @property
    def size_mm(self) -> tuple[float, float]:
        """Across and along the weld."""
        return float(np.diff(self.across_mm).mean()), float(np.diff(self.s_mm).mean())

    @property
    def pitch(self) -> tuple[int, int]:
        """Rows and columns of the ground to a cell."""
        rows, columns = self.ground.shape
        return rows // self.across_mm.size, columns // self.s_mm.size

    def means(self, picture: Picture) -> Picture:
        """(R, C) means of a picture of the ground."""
        return np.asarray(cv2.resize(picture, self.shape[::-1], interpolation=cv2.INTER_AREA))

    def summed(self, volume: Volume, reach_mm: tuple[float, float]) -> Volume:
        """(H, R, C) evidence summed over a neighbourhood, in mm².

        Parameters
        ----------
        reach_mm
            Standard deviation of the neighbourhood across and along the weld.
        """
        area_mm2 = np.float32(4.0 * math.pi * reach_mm[0] * reach_mm[1])
        across, along = (reach / size for reach, size in zip(reach_mm, self.size_mm, strict=True))

        def level_summed(level: Picture) -> Picture:
            summed = cv2.GaussianBlur(level * area_mm2, (0, 0), along, sigmaY=across)
            return np.asarray(summed, dtype=np.float32)

        return np.stack(side_by_side(level_summed, list(volume)))


def cells_along(
    axis: Axis,
    *,
    s_range_mm: tuple[float, float],
    across_range_mm: tuple[float, float],
    px_per_mm: float,
) -> Cells:
    """Cells of about `CELL_MM`, each of a whole and even number of places of its ground."""
    across_px, along_px = (2 * max(1, round(0.5 * cell * px_per_mm)) for cell in CELL_MM)
    rows = max(2, round((across_range_mm[1] - across_range_mm[0]) * px_per_mm / across_px))
    columns = max(2, round((s_range_mm[1] - s_range_mm[0]) * px_per_mm / along_px))
    step_mm = 1.0 / px_per_mm
    ground = Ground(
        axis=axis,
        s_mm=_middles(s_range_mm[0], step_mm, columns * along_px),
        across_mm=_middles(across_range_mm[0], step_mm, rows * across_px),
    )
    return Cells(
        ground=ground,
        across_mm=_middles(across_range_mm[0], step_mm * across_px, rows),
        s_mm=_middles(s_range_mm[0], step_mm * along_px, columns),
    )


def _middles(first_mm: float, step_mm: float, count: int) -> Floats:
    return np.asarray(first_mm + step_mm * (np.arange(count) + 0.5), dtype=np.float64)
