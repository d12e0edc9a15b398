"""A grid on the base metal along the weld."""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import Axis
from beadcheck.surface import Points

Floats = NDArray[np.float64]
Picture = NDArray[np.float32]


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
