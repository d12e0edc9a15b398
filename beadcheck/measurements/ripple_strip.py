"""The weld face cut out between its toes, as rows of ripple contrast along the weld."""

import math
from dataclasses import dataclass
from typing import Final, TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter1d

from beadcheck.beadmap import BeadMap
from beadcheck.photo.picture import linear_grey

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
Values = TypeVar("Values", Floats, Complexes)

ROWS: Final = 32
"""Rows that the strip is averaged to: across one of them a crest bends by less than a tenth of a
spacing."""

EDGE: Final = 0.8
"""Outermost row, in half widths from the middle: beyond it the toe's own shade drowns the
ripples."""

SLOW_LIGHT: Final = 0.5
"""Light that varies over more than this part of the weld width (standard deviation) is not
ripple."""

CLIP: Final = 2.5
"""Contrast is cut off at this many robust standard deviations, so that spatter and glare weigh as
much as a ripple."""

BLACK: Final = 0.03
"""Added to the light, as a part of its median, so that noise in black pores stays small in the
logarithm."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strip:
    """Ripple contrast between the toes.

    Attributes
    ----------
    row
        (R,) place of the rows across the weld: -1 on the left toe, 0 in the middle, 1 on the right.
    s_mm
        (C,) places of the columns along the weld, evenly spaced.
    half_width_mm
        Median of half the weld width.
    contrast
        (R, C) logarithm of linear light, slow changes removed, each row in units of its own spread.
    """

    row: Floats
    s_mm: Floats
    half_width_mm: float
    contrast: Floats

    @property
    def px_per_mm(self) -> float:
        """Columns per mm."""
        return (self.s_mm.size - 1) / float(self.s_mm[-1] - self.s_mm[0])


def seen_columns(bead: BeadMap, middle_mm: Floats, s_range_mm: tuple[float, float]) -> slice:
    """Longest run of columns in the range whose middle lies in the photo and has toes."""
    rows = np.rint((middle_mm - bead.across_mm[0]) * bead.px_per_mm)
    inside = np.isfinite(rows) & (rows >= 0) & (rows < bead.across_mm.size)
    inside &= (bead.s_mm >= s_range_mm[0]) & (bead.s_mm <= s_range_mm[1])
    columns = np.flatnonzero(inside)
    inside[columns] &= bead.seen[rows[columns].astype(np.intp), columns]
    steps = np.flatnonzero(np.diff(np.r_[False, inside, False].astype(np.int8)))
    if steps.size == 0:
        return slice(0, 0)
    starts, ends = steps[::2], steps[1::2]
    longest = int(np.argmax(ends - starts))
    return slice(int(starts[longest]), int(ends[longest]))


def weld_strip(
    bead: BeadMap, *, left_across_mm: Floats, right_across_mm: Floats, columns: slice
) -> Strip:
    """Straighten the weld face between its toes.

    Parameters
    ----------
    left_across_mm, right_across_mm
        (C,) places of the toes in every column of the map, in the map's across_mm.
    columns
        The columns to use.
    """
    left, right = left_across_mm[columns], right_across_mm[columns]
    middle, half = 0.5 * (left + right), 0.5 * np.abs(right - left)
    half_width_mm = float(np.median(half))
    fine = max(1, round(2.0 * EDGE * half_width_mm * bead.px_per_mm / ROWS))
    row = EDGE * (2.0 * (np.arange(ROWS * fine) + 0.5) / (ROWS * fine) - 1.0)
    y = (middle + half * row[:, None] - bead.across_mm[0]) * bead.px_per_mm
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
    rows = light.reshape(ROWS, fine, -1).mean(axis=1, dtype=np.float64)
    return Strip(
        row=row.reshape(ROWS, fine).mean(axis=1),
        s_mm=np.asarray(bead.s_mm[columns]),
        half_width_mm=half_width_mm,
        contrast=_contrast(rows, slow_px=SLOW_LIGHT * 2.0 * half_width_mm * bead.px_per_mm),
    )


def smoothed(rows: Values, spread_px: float) -> Values:
    """Rows smoothed along their last axis by three boxes, nearly a Gaussian, at any width fast."""
    width = max(1, round(math.sqrt(4.0 * spread_px**2 + 1.0)))
    for _ in range(3):
        rows = uniform_filter1d(rows, width, axis=-1)
    return rows


def power_together(rows: Complexes, count: int) -> Floats:
    """(..., C) power of so many neighbouring (..., R, C) rows laid over each other, all summed."""
    last = rows.shape[-2] - count
    together = rows[..., 1 : last + 1, :].copy()
    for further in range(2, count + 1):
        together += rows[..., further : last + further, :]
    return np.asarray(power_of_all(together))


def power_of_all(rows: Complexes) -> Floats:
    """(..., C) power of (..., R, C) rows, summed over them."""
    return np.asarray((rows.real**2 + rows.imag**2).sum(axis=-2))


def _contrast(light: Floats, *, slow_px: float) -> Floats:
    """Logarithm of light without its slow part, every row in units of its own robust spread."""
    log_light = np.log(light + max(BLACK * float(np.median(light)), 1.0e-4))
    fast = log_light - smoothed(log_light, min(slow_px, light.shape[1] / 8))
    spread = 1.4826 * np.median(np.abs(fast), axis=1, keepdims=True)
    # Rows without any contrast must not be blown up to the level of the others.
    spread = np.maximum(spread, 0.2 * float(np.median(spread)) + 1.0e-4)
    return np.asarray(np.clip(fast / spread, -CLIP, CLIP))
