"""The weld face from toe to toe, straightened at one scale whatever the photo's."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.beadmap import BeadMap
from beadcheck.photo.picture import linear_grey

Floats = NDArray[np.float64]

ROWS: Final = 121
"""From toe to toe; a tenth of a millimetre or so each on the caps of practice coupons."""
MOST_PX_PER_MM: Final = 14.0
"""Along the weld: finer light is noise, coarser ripples blur away."""
STEP_MM: Final = 0.5
"""Distance between the columns for which evidence is told."""
BLACK: Final = 0.03
"""Added to the light, as a part of its median, so that noise in black pores stays small in the
logarithm."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FaceStrip:
    """Light of the weld face.

    Attributes
    ----------
    row
        (R,) place across: -1 on the left toe, 1 on the right.
    s_mm
        (C,) places of the columns along the weld, `STEP_MM` apart or a little more.
    every
        Fine columns from one of them to the next.
    half_mm, middle_mm
        (C,) half the weld's width there, and the place midway between the toes across the map.
    log_light
        (R, F) natural logarithm of linear light at fine columns.
    px_per_mm
        Fine columns per mm.
    """

    row: Floats
    s_mm: Floats
    every: int
    half_mm: Floats
    middle_mm: Floats
    log_light: NDArray[np.float32]
    px_per_mm: float

    @property
    def row_mm(self) -> float:
        """Usual distance between rows, in mm."""
        return float(np.median(self.half_mm)) * float(self.row[1] - self.row[0])


def face_strip(
    bead: BeadMap, *, left_across_mm: Floats, right_across_mm: Floats, columns: slice
) -> FaceStrip:
    """Straighten the weld face over some columns of the map.

    Parameters
    ----------
    left_across_mm, right_across_mm
        (C,) places of the toes in every column of the map, in the map's across_mm.
    """
    left, right = left_across_mm[columns], right_across_mm[columns]
    middle, half = 0.5 * (left + right), 0.5 * (right - left)
    fine = max(1, round(2.0 * float(np.median(half)) * bead.px_per_mm / ROWS))
    row = np.linspace(-1.0, 1.0, ROWS)
    within = (np.arange(fine) - 0.5 * (fine - 1)) / fine * (row[1] - row[0])
    places = (row[:, None] + within).ravel()
    y = (middle + half * places[:, None] - bead.across_mm[0]) * bead.px_per_mm
    top = max(0, int(y.min()) - 1)
    bottom = min(bead.across_mm.size, int(y.max()) + 3)
    x = np.broadcast_to(np.arange(y.shape[1], dtype=np.float32), y.shape)
    light = cv2.remap(
        linear_grey(bead.bgr[top:bottom, columns]),
        np.ascontiguousarray(x),
        (y - top).astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    rows = light.reshape(ROWS, fine, -1).mean(axis=1)
    px_per_mm = min(bead.px_per_mm, MOST_PX_PER_MM)
    count = max(2, round(rows.shape[1] * px_per_mm / bead.px_per_mm))
    rows = cv2.resize(rows, (count, ROWS), interpolation=cv2.INTER_AREA)
    s_fine = np.linspace(bead.s_mm[columns][0], bead.s_mm[columns][-1], count)
    every = max(1, round(STEP_MM * px_per_mm))
    s_mm = s_fine[::every]
    return FaceStrip(
        row=row,
        s_mm=s_mm,
        every=every,
        half_mm=np.interp(s_mm, bead.s_mm[columns], half),
        middle_mm=np.interp(s_mm, bead.s_mm[columns], middle),
        log_light=np.log(rows + np.float32(max(BLACK * float(np.median(rows)), 1.0e-4))),
        px_per_mm=px_per_mm,
    )
